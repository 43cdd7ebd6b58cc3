/*
 * tail.c - where the last device of a chain lies.
 *
 * It may lie anywhere from where it would begin to where it would end with what
 * is to be covered. Moved back from the place where it just lies in the room
 * that there is none of it lies outside of that, moved forth ever more; so the
 * best of the places where it fits is the nearest that is moved back, else the
 * nearest that is moved forth. Both are looked up.
 */
#include "plan/tail.h"

static int32_t most(int32_t a, int32_t b) {
    return a > b ? a : b;
}

static int32_t least(int32_t a, int32_t b) {
    return a < b ? a : b;
}

/* How far it may be moved back. */
static int32_t furthest(const fitting_site *site, int32_t from,
                        int32_t covers) {
    int32_t beyond = from + covers - site->cover;
    return least(beyond, from > 0 ? from : site->room_cranial);
}

fitting_place tail_wanted(const fitting_site *site, int32_t from,
                          int32_t covers) {
    int32_t beyond = from + covers - site->cover;
    int32_t back = most(beyond - site->room_caudal, 0);
    if (site->cranial_first && from == 0) {
        back = most(back, beyond);
    }
    return fitting_mid(from - least(back, furthest(site, from, covers)),
                       covers);
}

bl_status tail_build(const fitting_table *table, const fitting_rules *rules,
                     const shelf *stock, const fitting_site *site,
                     fitting_letting letting, const shelf_kind *kind,
                     arena *owner, tail_table *out) {
    int32_t first = most(site->cover - kind->covers, -site->room_cranial);
    size_t count = (size_t)most(site->cover - first, 0) + 1;
    out->first = first;
    out->cranial = arena_alloc(owner, count, sizeof *out->cranial);
    out->caudal = arena_alloc(owner, count, sizeof *out->caudal);
    if (out->cranial == NULL || out->caudal == NULL) {
        return BL_ERR_MEMORY;
    }
    int32_t last = TAIL_NONE;
    for (size_t i = 0; i < count; i++) {
        int32_t from = first + (int32_t)i;
        fitting_fit fit =
            fitting_of(table, rules, stock, letting,
                       fitting_mid(from, kind->covers), kind->diameter_mm);
        last = fit.oversize == FITTING_NONE ? last : from;
        out->cranial[i] = last;
    }
    last = TAIL_NONE;
    for (size_t i = count; i-- > 0;) {
        int32_t from = first + (int32_t)i;
        last = out->cranial[i] == from ? from : last;
        out->caudal[i] = last;
    }
    return BL_OK;
}

int32_t tail_place(const tail_table *of, const fitting_site *site, int32_t from,
                   int32_t covers, int32_t back) {
    int32_t wanted = tail_wanted(site, from, covers).from;
    int32_t least_from = from - least(furthest(site, from, covers), back);
    if (wanted >= least_from) {
        int32_t there = of->cranial[wanted - of->first];
        if (there != TAIL_NONE && there >= least_from) {
            return there;
        }
    }
    int32_t there = of->caudal[most(wanted, least_from) - of->first];
    return there != TAIL_NONE && there <= from ? there : TAIL_NONE;
}
