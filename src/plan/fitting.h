/*
 * fitting.h - which devices fit where on a treated stretch, and how well.
 */
#ifndef PLAN_FITTING_H
#define PLAN_FITTING_H

#include "plan/ground.h"
#include "plan/shelf.h"

/* What the user asks of a chain. */
typedef struct fitting_rules {
    int32_t overlap; /* tenths */
    double step_mm;
    double limit_pct; /* NaN: none */
    bl_size_by by;
} fitting_rules;

/* Rules that are let go, one after the other, where the stock does not allow
 * them: each is let go with those before it. */
typedef enum fitting_letting {
    LETTING_NONE,
    LETTING_LIMIT, /* of oversize */
    LETTING_ORDER, /* no device wider than the one cranial of it */
    LETTING_STEP,  /* of neighbours' diameters */
    LETTING_COUNT
} fitting_letting;

/* A stretch to be covered from its cranial landing point to its caudal one.
 * Lengths in tenths as they are planned for: factor times what was traced. */
typedef struct fitting_site {
    double at_mm; /* the cranial landing point on the ground */
    double factor;
    int32_t cover;
    int32_t room_cranial; /* healthy vein beyond the landing points that */
    int32_t room_caudal;  /* devices may lie in */
    bool cranial_first;   /* what is left of one device lies there, as far as
                             there is room, rather than caudally */
    bool tapers;          /* the reference does not grow caudally */
    bl_interval first_mm; /* diameters that may lie at the cranial end */
    bl_interval last_mm;  /* and at the caudal one */
} fitting_site;

/* Tenths from the cranial landing point. */
typedef struct fitting_place {
    int32_t from;
    int32_t to;
} fitting_place;

/* Where a device lies that is laid from `from` on. */
fitting_place fitting_mid(int32_t from, int32_t covers);

/* The site when all lengths are factor times what was traced. */
fitting_site fitting_stretched(const fitting_site *of, double factor);

/* A place on the ground. */
double fitting_at_mm(const fitting_site *site, int32_t tenths);

/* Running integrals of the reference that devices are sized by, of every tenth
 * of a site and what devices can reach beyond it. */
typedef struct fitting_sum {
    double known_mm;
    double reference_mm2;
} fitting_sum;

typedef struct fitting_table {
    const fitting_sum *sums;
    int32_t first; /* tenths of sums[0] */
    int32_t last;
} fitting_table;

/* BL_ERR_MEMORY. */
bl_status fitting_table_build(const ground *on, const fitting_site *site,
                              const shelf *stock, bl_size_by by, arena *owner,
                              fitting_table *out);

/* The least and the greatest reference of a tenth between two places, which no
 * mean over tenths there passes; none is known: all there is. */
bl_interval fitting_range(const fitting_table *table, int32_t from, int32_t to);

/* How a device fits a place; small, since there are many of them. */
typedef struct fitting_fit {
    int16_t oversize; /* hundredths of a millimetre, FITTING_NONE: not at all */
    int16_t wider;    /* than the default size, tenths */
    int16_t back;     /* how far it is moved back, tenths */
} fitting_fit;

#define FITTING_NONE (-1)

/* The default size is the first diameter of the stock that is as wide as the
 * reference over the place. What fits is that wide and at most a step wider;
 * and within the limit, unless that is let go. */
fitting_fit fitting_of(const fitting_table *table, const fitting_rules *rules,
                       const shelf *stock, fitting_letting letting,
                       fitting_place place, double diameter_mm);

/* Whether it can fit anywhere the reference's mean lies in a range. */
bool fitting_may(const fitting_rules *rules, const shelf *stock,
                 bl_interval reference_mm, double diameter_mm);

#endif
