/*
 * inflows.h - candidate inflow veins whose every figure is made by hand.
 */
#ifndef SUPPORT_INFLOWS_H
#define SUPPORT_INFLOWS_H

#include "boreline.h"
#include "support/check.h"

#define INFLOWS_MANY (BL_INFLOW_MOST + 1)

/* Of one comparison: what inflows_set makes, to be changed before it. */
extern bl_assessment inflows_made[INFLOWS_MANY];
extern bl_source inflows_sources[INFLOWS_MANY];
extern bl_inflow_input inflows_inputs[INFLOWS_MANY];

/* Half the width of every interval: by measure. */
extern const double inflows_halves[BL_INFLOW_MEASURES];

/* Of a group: makes the study without notes that all are of, and frees it. */
int inflows_set_up(void **state);
int inflows_tear_down(void **state);

/* A study with these lines of notes. The caller frees it. */
bl_study *inflows_study(const char *notes);

/* Unknown for NaN. */
bl_inflow_figure inflows_figure(double value, double half);

/* A candidate with these figures over 40..90 mm, all else as it should be. */
void inflows_set(size_t i, double least, double mean, double narrowed,
                 double flow);

/* The first so many; fails the test on an error. The caller frees it. */
bl_inflow *inflows_compare(size_t count);

/* Compares, and checks order by letters, what is named and the reason. */
void inflows_check(size_t count, const char *letters, bool named,
                   const char *why);

/* Whether a note of the candidate in that place, or a warning, has the words.
 */
bool inflows_notes(const bl_inflow *of, size_t i, const char *words);
bool inflows_warns(const bl_inflow *of, const char *words);

#endif
