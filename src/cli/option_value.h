/*
 * option_value.h - reading the values of options.
 */
#ifndef CLI_OPTION_VALUE_H
#define CLI_OPTION_VALUE_H

#include "cli/request.h"

/* Says that an option's value is not the number that is wanted, and what may be
 * meant; EXIT_USAGE. */
int option_not_a_number(const char *option, const char *value,
                        const char *wanted);

/* The number before `sign`, which *at is set behind; to the end for 0. */
bool option_read_part(const char **at, char sign, double *out);

/* planning_options.c: those of a plan alone; 0 or EXIT_USAGE, having said why.
 */
int apply_landing(request *to, const char *value);
int apply_margin(request *to, const char *value);
int apply_overlap(request *to, const char *value);
int apply_join(request *to, const char *value);
int apply_diameter_step(request *to, const char *value);
int apply_oversize_limit(request *to, const char *value);
int apply_size_by(request *to, const char *value);
int apply_device(request *to, const char *value);

/* comparing_options.c: those of a comparison alone; as above. */
int apply_shift(request *to, const char *value);
int apply_treated(request *to, const char *value);
int apply_gap_tolerance(request *to, const char *value);
int apply_edge(request *to, const char *value);
int apply_nominal(request *to, const char *value);

#endif
