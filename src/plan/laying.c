/*
 * laying.c - devices in their places.
 *
 * The search judges devices where they will lie, and they are laid there.
 */
#include "plan/laying.h"

#include "base/constants.h"

#include <math.h>

size_t laying_turned(const planner *in, size_t i, size_t count) {
    return in->ground.turn > 0.0 ? i : count - 1 - i;
}

static double percent(double part, double whole) {
    return 100.0 * part / whole;
}

static double square(double x) {
    return x * x;
}

bl_device laying_device(const planner *in, const bl_stock_device *of,
                        double diameter_mm, double length_mm, double from_mm,
                        double to_mm) {
    bl_size_by by = in->rules.by;
    ground_mean over = ground_mean_over(&in->ground, from_mm, to_mm);
    double area = over.reference_mm[BL_SIZE_BY_AREA];
    double perimeter = over.reference_mm[BL_SIZE_BY_PERIMETER];
    double wanted = over.reference_mm[by];
    ground_node cranial = ground_node_at(&in->ground, from_mm);
    ground_node caudal = ground_node_at(&in->ground, to_mm);
    return (bl_device){
        .of = of,
        .diameter_mm = diameter_mm,
        .length_mm = length_mm,
        .span = ground_span(&in->ground, from_mm, to_mm),
        .reference_diameter_mm = wanted,
        .area_diameter_mm = area,
        .perimeter_diameter_mm = perimeter,
        .oversize_mm = diameter_mm - wanted,
        .oversize_pct = percent(diameter_mm - wanted, wanted),
        .oversize_area_pct =
            percent(square(diameter_mm) - square(area), square(area)),
        .oversize_perimeter_pct = percent(diameter_mm - perimeter, perimeter),
        .oversize_cranial_mm = diameter_mm - cranial.reference_mm[by],
        .oversize_caudal_mm = diameter_mm - caudal.reference_mm[by],
        .unjudged_mm = over.known_mm > GROUND_SAME_MM
                           ? ground_unjudged_mm(&in->ground, from_mm, to_mm)
                           : to_mm - from_mm,
    };
}

bl_status laying_chain(const planner *in, bl_device *devices, size_t count,
                       double factor, bl_chain *out) {
    double *overlaps = arena_alloc(in->owner, count, sizeof *overlaps);
    if (overlaps == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; in->ground.turn < 0.0 && i < count / 2; i++) {
        bl_device first = devices[i];
        devices[i] = devices[count - 1 - i];
        devices[count - 1 - i] = first;
    }
    for (size_t i = 0; i + 1 < count; i++) {
        bl_span own = devices[i].span;
        bl_span next = devices[i + 1].span;
        /* One may lie wholly in the other. */
        overlaps[i] = factor * (fmin(own.to_mm, next.to_mm) -
                                fmax(own.from_mm, next.from_mm));
    }
    *out = (bl_chain){devices, count, overlaps, 0.0};
    return BL_OK;
}

/* Where the devices of a treatment lie, in tenths. */
static void place_all(const planner *in, const treatment *of,
                      fitting_place *places) {
    int32_t from = 0;
    for (size_t i = 0; i < of->chain.count; i++) {
        int32_t covers = in->stock.kinds[of->chain.kinds[i]].covers;
        bool last = i + 1 == of->chain.count;
        places[i] = fitting_mid(last ? of->chain.last_from : from, covers);
        from = places[i].to - in->rules.overlap;
    }
}

/* taken: how many of each kind went into chains before. */
static bl_status lay(const planner *in, const treatment *of, double factor,
                     uint32_t *taken, bl_chain *out) {
    size_t count = of->served ? of->chain.count : 0;
    bl_device *devices = arena_alloc(in->owner, count, sizeof *devices);
    if (devices == NULL) {
        return BL_ERR_MEMORY;
    }
    fitting_site site = fitting_stretched(&of->site, factor);
    fitting_place places[LIMIT_CHAIN];
    double beyond = 0.0;
    if (count > 0) {
        place_all(in, of, places);
        double first = fitting_at_mm(&site, places[0].from);
        double last = fitting_at_mm(&site, places[count - 1].to);
        beyond = fmax(of->ends[0].at_mm - first, 0.0) +
                 fmax(last - of->ends[1].at_mm, 0.0);
    }
    for (size_t i = 0; i < count; i++) {
        size_t kind = of->chain.kinds[i];
        const bl_stock_device *device =
            shelf_take(&in->stock, kind, taken[kind]++);
        devices[i] =
            laying_device(in, device, device->diameter_mm, device->length_mm,
                          fitting_at_mm(&site, places[i].from),
                          fitting_at_mm(&site, places[i].to));
    }
    bl_status status = laying_chain(in, devices, count, factor, out);
    out->beyond_mm = factor * beyond;
    return status;
}

bl_status laying_chains(const planner *in, const treatment *list, size_t count,
                        double factor, bl_chain **out) {
    bl_chain *chains = arena_alloc(in->owner, count, sizeof *chains);
    uint32_t *taken = arena_alloc(in->owner, in->stock.count, sizeof *taken);
    if (chains == NULL || taken == NULL) {
        return BL_ERR_MEMORY;
    }
    bl_status status = BL_OK;
    for (size_t i = 0; i < count && status == BL_OK; i++) {
        status = lay(in, &list[i], factor, taken,
                     &chains[laying_turned(in, i, count)]);
    }
    *out = chains;
    return status;
}
