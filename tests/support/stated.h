/*
 * stated.h - what the vessel maker states of a table that it made.
 */
#ifndef SUPPORT_STATED_H
#define SUPPORT_STATED_H

#include "support/check.h"

/* The value of a name in a table of truths or results, `name,...,value`; fails
 * the test when it is not there. */
double stated(const char *path, const char *name);

#endif
