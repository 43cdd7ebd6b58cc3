/*
 * couple.h - two tables of one vein, read, assessed and compared.
 */
#ifndef CLI_COUPLE_H
#define CLI_COUPLE_H

#include "cli/session.h"

/* Each table has its own request: what is of one only differs. */
typedef struct couple {
    request second_wanted;
    session first;
    session second;
    bl_assessment *before;
    bl_assessment *after;
    bl_comparison *comparison;
} couple;

/* EXIT_USAGE, after saying so, when inputs or outputs are one file. */
int couple_check_inputs(const request *wanted);

/* Says what was wrong and what was noticed. 0 or an exit status; free with
 * couple_close in any case. */
int couple_open(couple *out, const request *wanted);
void couple_close(couple *of);

/* The tables as reports take them, as long as the couple lives. */
bl_compared_table couple_first(const couple *of);
bl_compared_table couple_second(const couple *of);

#endif
