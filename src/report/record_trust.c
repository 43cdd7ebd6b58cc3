/*
 * record_trust.c - how far the numbers can be trusted: what intervals contain,
 * warnings, and which file it was.
 */
#include "report/record_parts.h"

#include "base/limits.h"
#include "report/assessment_text.h"
#include "report/source.h"

#include <string.h>

static void interval_words(text *out, const bl_assessment *of) {
    text words = {0};
    if (of->intervals.resamples == 0) {
        record_sentence(out, "none: the profile is smoothed over more than 5 "
                             "mm");
        return;
    }
    interval_text_contents(&words, of);
    record_sentence_of(out, &words);
}

void record_warnings(record_page *to, const char *part,
                     const char *const *warnings, size_t count) {
    text *out = record_page_begin(to, part, "notes");
    for (size_t i = 0; i < count && i < LIMIT_RECORD_LISTED; i++) {
        record_sentence(out, warnings[i]);
    }
    record_more_sentence(out, count);
}

static void source_words(text *out, const bl_source *of) {
    text words = {0};
    if (strcmp(of->file, "-") == 0) {
        text_add(&words, "standard input");
    } else {
        text_add(&words, "file ");
        record_name(&words, of->file);
    }
    text_add(&words, ", CRC-32 ");
    source_checksum(&words, of);
    record_sentence_of(out, &words);
}

void record_trust(record_page *to, const char *part,
                  const bl_compared_table *of) {
    interval_words(record_page_begin(to, part, "intervals"), of->assessment);
    record_warnings(to, part, of->assessment->warnings,
                    of->assessment->warning_count);
    source_words(record_page_begin(to, part, "input"), of->source);
}
