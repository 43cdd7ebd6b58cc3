/*
 * stages.c - what the two tables of a comparison are called.
 */
#include "base/stages.h"

#define TREATED "after treatment"

const char *stages_first(const bl_comparison *of) {
    return of->since_after ? TREATED : "before";
}

const char *stages_second(const bl_comparison *of) {
    return of->follow_up ? "at follow-up" : of->since_after ? "later" : "after";
}

const char *stages_first_short(const bl_comparison *of) {
    return of->since_after ? "after" : "before";
}

const char *stages_second_short(const bl_comparison *of) {
    return of->follow_up ? "follow-up" : stages_second(of);
}

const char *stages_second_alone(const bl_comparison *of) {
    return of->follow_up || of->since_after ? stages_second(of) : TREATED;
}
