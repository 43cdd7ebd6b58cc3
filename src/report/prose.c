/*
 * prose.c - words in the right column of a report, within 80 characters unless
 * a label or file name is long.
 */
#include "report/prose.h"

#include "report/source.h"

#include <math.h>
#include <string.h>

#define LINE_WIDTH 80

void prose_next_line(text *out) {
    text_add(out, "\n");
    source_heading(out, "");
}

void prose_number(text *out, double value, unsigned decimals,
                  const char *unit) {
    if (isnan(value)) {
        text_add(out, "not known");
    } else {
        text_fixed(out, value, decimals);
        text_add(out, unit);
    }
}

/* Words wrapped at LINE_WIDTH, continued `margin` in, where the first of them
 * is written too; `end` gives the length of what stays together. */
static void wrapped_from(text *out, size_t margin, const char *words,
                         size_t (*end)(const char *words)) {
    size_t column = margin;
    while (*words != '\0') {
        size_t size = end(words);
        bool first = column == margin;
        if (!first && column + 1 + size > LINE_WIDTH) {
            text_format(out, "\n%*s", (int)margin, "");
            column = margin;
        } else if (!first) {
            text_add(out, " ");
            column++;
        }
        text_bytes(out, words, size);
        column += size;
        words += size;
        words += *words == ' ';
    }
    text_add(out, "\n");
}

static size_t word_end(const char *words) {
    return strcspn(words, " ");
}

static bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/* Whether a blank stands between a number and its unit, or in "12 x 40". */
static bool is_within_number(char before, const char *blank) {
    static const char *const behind[] = {"mm", "%", "x ", "deg"};
    bool kept = before == 'x' && is_digit(blank[1]);
    for (size_t i = 0; i < sizeof behind / sizeof behind[0]; i++) {
        kept = kept || (is_digit(before) &&
                        strncmp(blank + 1, behind[i], strlen(behind[i])) == 0);
    }
    return kept;
}

static size_t number_end(const char *words) {
    size_t size = word_end(words);
    while (size > 0 && words[size] == ' ' &&
           is_within_number(words[size - 1], words + size)) {
        size += 1 + word_end(words + size + 1);
    }
    return size;
}

void prose_flow(text *out, const char *words) {
    wrapped_from(out, 0, words, number_end);
}

void prose_wrapped(text *out, const char *words) {
    wrapped_from(out, SOURCE_HEADING_WIDTH, words, word_end);
}

void prose_paragraph(text *out, const char *heading, text *words) {
    source_heading(out, heading);
    prose_wrapped(out, text_c(words));
    out->failed = out->failed || words->failed;
    text_free(words);
}

void prose_wrapped_line(text *out, unsigned indent, text *words) {
    if (words->size > 0) {
        source_heading(out, "");
        text_format(out, "%*s", (int)indent, "");
        wrapped_from(out, SOURCE_HEADING_WIDTH + indent, text_c(words),
                     word_end);
    }
    out->failed = out->failed || words->failed;
    text_free(words);
}
