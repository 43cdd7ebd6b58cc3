/*
 * prose.h - words in the right column of a report.
 */
#ifndef REPORT_PROSE_H
#define REPORT_PROSE_H

#include "base/text.h"

/* Ends a line and begins the next in the right column. */
void prose_next_line(text *out);

/* A number with its unit, or "not known". */
void prose_number(text *out, double value, unsigned decimals, const char *unit);

/* Words wrapped over the whole line, to the end of their last one; a number
 * keeps its unit. */
void prose_flow(text *out, const char *words);

/* Words wrapped in the right column, where the first of them is written, to
 * the end of their last line. */
void prose_wrapped(text *out, const char *words);

/* Composed words under a heading, which are freed. */
void prose_paragraph(text *out, const char *heading, text *words);

/* A line of its own of composed words, so far in from the right column, which
 * are freed; without words none. */
void prose_wrapped_line(text *out, unsigned indent, text *words);

#endif
