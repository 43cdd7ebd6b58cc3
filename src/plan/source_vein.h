/*
 * source_vein.h - whether what devices are sized by is of another vein.
 */
#ifndef PLAN_SOURCE_VEIN_H
#define PLAN_SOURCE_VEIN_H

#include "plan/planner.h"

typedef enum source_vein {
    SOURCE_NEAR,      /* nothing speaks against it */
    SOURCE_ONE_SIDED, /* no reference on the other side of the treated vein */
    SOURCE_WIDE,      /* outside the cava, as wide as one */
    SOURCE_CAVA       /* marks: in the cava, what is treated is not */
} source_vein;

/* The worst that holds of a treatment. */
source_vein source_vein_of(const planner *in, const treatment *of);

/* Adds what is told of a treatment; nothing where the source is near. */
void source_vein_tell(sentences *to, const planner *in, const treatment *of);

/* The same of all treatments as a doubt. */
void source_vein_doubt(sentences *to, const planner *in, const treatment *list,
                       size_t count);

#endif
