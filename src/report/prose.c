/*
 * prose.c - words in the right column of a report, within 80 characters unless
 * a label or file name is long.
 */
#include "report/prose.h"

#include "report/source.h"

#include <math.h>

#define LINE_WIDTH 80

void prose_next_line(text *out) {
    text_add(out, "\n");
    source_heading(out, "");
}

void prose_number(text *out, double value, unsigned decimals,
                  const char *unit) {
    if (isnan(value)) {
        text_add(out, "unknown");
    } else {
        text_fixed(out, value, decimals);
        text_add(out, unit);
    }
}

/* Words wrapped at LINE_WIDTH, continued under the right column, `indent` in
 * from it, where the first of them is written too. */
static void wrapped_in(text *out, unsigned indent, const char *words) {
    size_t column = SOURCE_HEADING_WIDTH + indent;
    while (*words != '\0') {
        size_t size = 0;
        while (words[size] != '\0' && words[size] != ' ') {
            size++;
        }
        bool first = column == SOURCE_HEADING_WIDTH + indent;
        if (!first && column + 1 + size > LINE_WIDTH) {
            prose_next_line(out);
            text_format(out, "%*s", (int)indent, "");
            column = SOURCE_HEADING_WIDTH + indent;
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

void prose_wrapped(text *out, const char *words) {
    wrapped_in(out, 0, words);
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
        wrapped_in(out, indent, text_c(words));
    }
    out->failed = out->failed || words->failed;
    text_free(words);
}
