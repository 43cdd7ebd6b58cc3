/*
 * record_parts.h - the paragraphs of a record, in their order.
 *
 * Numbers are those of the commands they come from, printed as there; words
 * that can be shared with these are. Lists that grow with a table end after
 * LIMIT_RECORD_LISTED and say so; devices, what is said of these, confluences
 * that they cross and their overlaps are told to the last, as they are what was
 * put in.
 */
#ifndef REPORT_RECORD_PARTS_H
#define REPORT_RECORD_PARTS_H

#include "boreline.h"
#include "report/record_page.h"

/* record_pullback.c: which vein, how it was recorded, what it is held against.
 */
void record_pullback(record_page *to, const char *part,
                     const bl_compared_table *of);

/* record_place.c: least area, worst place, vein by vein. */
void record_places(record_page *to, const char *part,
                   const bl_compared_table *of);

/* record_narrowing.c: narrowings and compression points. */
void record_narrowings(record_page *to, const char *part,
                       const bl_compared_table *of);

/* record_plan.c: what would be treated and with what. */
void record_plan(record_page *to, const bl_compared_table *of,
                 const bl_plan *plan);

/* record_comparison.c: the second table held against the first. */
void record_comparison(record_page *to, const bl_record *of);

/* record_trust.c: what intervals contain, warnings, and which file it was. */
void record_trust(record_page *to, const char *part,
                  const bl_compared_table *of);

/* A paragraph of warnings, where there are some. */
void record_warnings(record_page *to, const char *part,
                     const char *const *warnings, size_t count);

/* " (95 % interval 60.2 to 64.9 %)"; where it is not known, nothing. */
void record_interval(text *out, bl_interval of, const char *unit);

/* " and 3 more, which --format json lists" behind a list of so many; nothing
 * where all were told. */
void record_more(text *out, size_t count);
/* The same as a sentence of its own. */
void record_more_sentence(text *out, size_t count);

#endif
