/*
 * shelf.h - the stock as the search sees it: devices of one diameter that cover
 * the same length are one kind.
 */
#ifndef PLAN_SHELF_H
#define PLAN_SHELF_H

#include "base/arena.h"
#include "boreline.h"

/* Lengths are counted in tenths of a millimetre: what a device covers is taken
 * down to one, what is to be covered up to one. */
#define SHELF_TENTHS 10.0

#define SHELF_UNCOUNTED UINT32_MAX

typedef struct shelf_kind {
    double diameter_mm;
    int32_t covers;  /* tenths, shortened as the stock says */
    size_t diameter; /* its number among the diameters */
    size_t first;    /* device of the stock that is the first of the kind */
    uint32_t count;  /* of all its devices, SHELF_UNCOUNTED without a count */
} shelf_kind;

typedef struct shelf {
    const bl_stock_device *devices;
    size_t device_count;
    size_t *kind_of;   /* of each device; SIZE_MAX of those that are out */
    shelf_kind *kinds; /* in the order of the list, none that is out */
    size_t count;
    double *diameters; /* of the kinds, rising */
    size_t diameter_count;
    size_t *longest; /* numbers of kinds by length, falling */
    bool counted;    /* some kind is */
} shelf;

/* stock may be NULL: an empty shelf. BL_ERR_MEMORY. */
bl_status shelf_build(const bl_stock *stock, arena *owner, shelf *out);

/* What a device covers, in tenths. */
int32_t shelf_covers(double length_mm, double foreshortening_pct);

/* A length taken up to tenths. */
int32_t shelf_tenths_up(double length_mm);
/* A length taken down to tenths, 0 at least. */
int32_t shelf_tenths_down(double length_mm);

/* Whether two sizes are one. */
bool shelf_same(double a, double b);

/* Whether a device is as wide as the vein, but for half a tenth. */
bool shelf_is_wide(double diameter_mm, double wanted_mm);

/* The first diameter that is as wide as the vein; NaN: none. */
double shelf_first_diameter(const shelf *of, double wanted_mm);

/* What so many devices, 1 at least, can cover at most, counts left aside, in
 * tenths. The shelf must not be empty. */
int64_t shelf_reach(const shelf *of, size_t devices, int32_t overlap);

/* The device to take where `taken` of a kind were taken before. */
const bl_stock_device *shelf_take(const shelf *of, size_t kind, size_t taken);

#endif
