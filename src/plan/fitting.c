/*
 * fitting.c - which devices fit where on a treated stretch, and how well.
 */
#include "plan/fitting.h"

#include "base/constants.h"

#include <math.h>

#define HUNDREDTHS 100.0

fitting_place fitting_mid(int32_t from, int32_t covers) {
    return (fitting_place){from, from + covers};
}

fitting_site fitting_stretched(const fitting_site *of, double factor) {
    fitting_site out = *of;
    out.factor = factor;
    out.cover = (int32_t)ceil(of->cover * factor - GROUND_SAME_MM);
    out.room_cranial = (int32_t)floor(of->room_cranial * factor);
    out.room_caudal = (int32_t)floor(of->room_caudal * factor);
    return out;
}

double fitting_at_mm(const fitting_site *site, int32_t tenths) {
    return site->at_mm + (double)tenths / SHELF_TENTHS / site->factor;
}

bl_status fitting_table_build(const ground *on, const fitting_site *site,
                              const shelf *stock, bl_size_by by, arena *owner,
                              fitting_table *out) {
    int32_t longest =
        stock->count > 0 ? stock->kinds[stock->longest[0]].covers : 0;
    size_t count = (size_t)(site->room_cranial + site->cover + longest) + 1;
    fitting_sum *sums = arena_alloc(owner, count, sizeof *sums);
    if (sums == NULL) {
        return BL_ERR_MEMORY;
    }
    int32_t first = -site->room_cranial;
    for (size_t i = 0; i < count; i++) {
        ground_sum here =
            ground_sum_at(on, fitting_at_mm(site, first + (int32_t)i));
        sums[i] = (fitting_sum){here.known_mm, here.reference_mm2[by]};
    }
    *out = (fitting_table){sums, first, first + (int32_t)count - 1};
    return BL_OK;
}

bl_interval fitting_range(const fitting_table *table, int32_t from,
                          int32_t to) {
    bl_interval out = {HUGE_VAL, 0.0};
    for (int32_t i = from; i < to; i++) {
        const fitting_sum *low = &table->sums[i - table->first];
        double known = low[1].known_mm - low[0].known_mm;
        if (known > 0.0) {
            double mean = (low[1].reference_mm2 - low[0].reference_mm2) / known;
            out.low = fmin(out.low, mean);
            out.high = fmax(out.high, mean);
        }
    }
    return out.low <= out.high ? out : (bl_interval){0.0, HUGE_VAL};
}

bool fitting_may(const fitting_rules *rules, const shelf *stock,
                 bl_interval reference_mm, double diameter_mm) {
    double wider = diameter_mm - shelf_first_diameter(
                                     stock, reference_mm.high + GROUND_SAME_MM);
    return shelf_is_wide(diameter_mm, reference_mm.low - GROUND_SAME_MM) &&
           !(wider > rules->step_mm + GROUND_SAME_MM);
}

fitting_fit fitting_of(const fitting_table *table, const fitting_rules *rules,
                       const shelf *stock, fitting_letting letting,
                       fitting_place place, double diameter_mm) {
    const fitting_fit none = {FITTING_NONE, 0, 0};
    const fitting_sum *from = &table->sums[place.from - table->first];
    const fitting_sum *to = &table->sums[place.to - table->first];
    double known = to->known_mm - from->known_mm;
    double wanted = (to->reference_mm2 - from->reference_mm2) / known;
    double oversize = diameter_mm - wanted;
    if (!(known > GROUND_SAME_MM) || !shelf_is_wide(diameter_mm, wanted)) {
        return none;
    }
    double wider = diameter_mm - shelf_first_diameter(stock, wanted);
    if (wider > rules->step_mm + GROUND_SAME_MM) {
        return none;
    }
    if (letting < LETTING_LIMIT && !isnan(rules->limit_pct) &&
        oversize > rules->limit_pct / 100.0 * wanted + GROUND_SAME_MM) {
        return none;
    }
    return (fitting_fit){(int16_t)floor(fmax(oversize, 0.0) * HUNDREDTHS + 0.5),
                         (int16_t)floor(wider * SHELF_TENTHS + 0.5), 0};
}
