/*
 * stocked.h - what a plan is made with.
 */
#ifndef CLI_STOCKED_H
#define CLI_STOCKED_H

#include "cli/session.h"

/* Reads the stock where one is asked for; before the table, since without it
 * nothing else is needed. 0 or an exit status. */
int stocked_read(const request *wanted, bl_stock **out);

/* The options of the plan, of which the table tells where frames lie. 0 or an
 * exit status. */
int stocked_options(const session *of, const bl_stock *stock,
                    bl_plan_options *out);

#endif
