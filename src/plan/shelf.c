/*
 * shelf.c - the stock as the search sees it.
 */
#include "plan/shelf.h"

#include "base/constants.h"
#include "plan/ground.h"

#include <math.h>

/* No plan is so long. */
#define MOST_MM 1e6

int32_t shelf_tenths_up(double length_mm) {
    double length = fmin(fmax(length_mm, 0.0), MOST_MM);
    return (int32_t)ceil(length * SHELF_TENTHS - GROUND_SAME_MM);
}

int32_t shelf_tenths_down(double length_mm) {
    double length = fmin(fmax(length_mm, 0.0), MOST_MM);
    return (int32_t)floor(length * SHELF_TENTHS + GROUND_SAME_MM);
}

int32_t shelf_covers(double length_mm, double foreshortening_pct) {
    return shelf_tenths_down(length_mm * (1.0 - foreshortening_pct / 100.0));
}

bool shelf_same(double a, double b) {
    return fabs(a - b) <= GROUND_SAME_MM;
}

/* The kind of this diameter and cover; count where it is a new one. */
static size_t find_kind(const shelf *of, double diameter_mm, int32_t covers) {
    size_t i = 0;
    while (i < of->count &&
           (!shelf_same(of->kinds[i].diameter_mm, diameter_mm) ||
            of->kinds[i].covers != covers)) {
        i++;
    }
    return i;
}

static uint32_t add_counts(uint32_t a, uint32_t b) {
    return a >= SHELF_UNCOUNTED - b ? SHELF_UNCOUNTED : a + b;
}

static void add_device(shelf *to, size_t i) {
    const bl_stock_device *device = &to->devices[i];
    to->kind_of[i] = SIZE_MAX;
    uint32_t count = device->counted ? device->count : SHELF_UNCOUNTED;
    int32_t covers =
        shelf_covers(device->length_mm, device->foreshortening_pct);
    if (count == 0 || covers == 0) {
        return;
    }
    size_t kind = find_kind(to, device->diameter_mm, covers);
    if (kind == to->count) {
        to->kinds[to->count++] = (shelf_kind){
            .diameter_mm = device->diameter_mm, .covers = covers, .first = i};
    }
    to->kinds[kind].count = add_counts(to->kinds[kind].count, count);
    to->kind_of[i] = kind;
}

static void sort_diameters(shelf *of) {
    for (size_t i = 0; i < of->count; i++) {
        double diameter = of->kinds[i].diameter_mm;
        size_t at = of->diameter_count;
        while (at > 0 && of->diameters[at - 1] > diameter + GROUND_SAME_MM) {
            at--;
        }
        if (at > 0 && shelf_same(of->diameters[at - 1], diameter)) {
            continue;
        }
        for (size_t k = of->diameter_count++; k > at; k--) {
            of->diameters[k] = of->diameters[k - 1];
        }
        of->diameters[at] = diameter;
    }
}

static void number_kinds(shelf *of) {
    for (size_t i = 0; i < of->count; i++) {
        shelf_kind *kind = &of->kinds[i];
        while (!shelf_same(of->diameters[kind->diameter], kind->diameter_mm)) {
            kind->diameter++;
        }
        of->counted = of->counted || kind->count != SHELF_UNCOUNTED;
        size_t at = i;
        while (at > 0 && of->kinds[of->longest[at - 1]].covers < kind->covers) {
            of->longest[at] = of->longest[at - 1];
            at--;
        }
        of->longest[at] = i;
    }
}

bl_status shelf_build(const bl_stock *stock, arena *owner, shelf *out) {
    size_t count = stock == NULL ? 0 : bl_stock_device_count(stock);
    shelf made = {
        .devices = stock == NULL ? NULL : bl_stock_devices(stock),
        .device_count = count,
        .kind_of = arena_alloc(owner, count, sizeof *made.kind_of),
        .kinds = arena_alloc(owner, count, sizeof *made.kinds),
        .diameters = arena_alloc(owner, count, sizeof *made.diameters),
        .longest = arena_alloc(owner, count, sizeof *made.longest),
    };
    if (made.kind_of == NULL || made.kinds == NULL || made.diameters == NULL ||
        made.longest == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t i = 0; i < count; i++) {
        add_device(&made, i);
    }
    sort_diameters(&made);
    number_kinds(&made);
    *out = made;
    return BL_OK;
}

bool shelf_is_wide(double diameter_mm, double wanted_mm) {
    return diameter_mm > wanted_mm - GROUND_PRINTED_MM + GROUND_SAME_MM;
}

double shelf_first_diameter(const shelf *of, double wanted_mm) {
    size_t low = 0;
    size_t high = of->diameter_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (shelf_is_wide(of->diameters[middle], wanted_mm)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low < of->diameter_count ? of->diameters[low] : UNKNOWN;
}

int64_t shelf_reach(const shelf *of, size_t devices, int32_t overlap) {
    int64_t longest = of->kinds[of->longest[0]].covers;
    int64_t more = longest > overlap ? longest - overlap : 0;
    return longest + more * (int64_t)(devices - 1);
}

const bl_stock_device *shelf_take(const shelf *of, size_t kind, size_t taken) {
    size_t before = 0;
    const bl_stock_device *last = &of->devices[of->kinds[kind].first];
    for (size_t i = 0; i < of->device_count; i++) {
        if (of->kind_of[i] == kind) {
            last = &of->devices[i];
            before += last->count;
            if (!last->counted || before > taken) {
                break;
            }
        }
    }
    return last;
}
