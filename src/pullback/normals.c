/*
 * normals.c - the areas that healthy veins are expected to have.
 *
 * The columns of the published table are of three studies and measure three
 * things, so that none follows from another (12 mm is 113.1 mm2, 125 mm2 is
 * 12.62 mm): each is kept as it was published, and what was not is unknown.
 * The one that stenosis may be counted against is the normal minimal area. The
 * cava has none: a median of people without disease is another measure, and
 * one denominator must not change its kind at the confluence.
 */
#include "pullback/normals.h"

#include "base/constants.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct published_row {
    bl_vein vein;
    const char *side; /* "" for any */
    double minimal_area_mm2;
    double nominal_diameter_mm;
    double median_area_mm2;
    double median_diameter_mm;
} published_row;

static const published_row published[] = {
    {BL_VEIN_CAVA, "", UNKNOWN, UNKNOWN, 265.3, 18.4},
    {BL_VEIN_COMMON_ILIAC, "", 200.0, 16.0, UNKNOWN, UNKNOWN},
    {BL_VEIN_COMMON_ILIAC, "left", UNKNOWN, UNKNOWN, 193.9, 15.7},
    {BL_VEIN_COMMON_ILIAC, "right", UNKNOWN, UNKNOWN, 166.9, 14.2},
    {BL_VEIN_EXTERNAL_ILIAC, "", 150.0, 14.0, UNKNOWN, UNKNOWN},
    {BL_VEIN_EXTERNAL_ILIAC, "left", UNKNOWN, UNKNOWN, 136.5, 12.8},
    {BL_VEIN_EXTERNAL_ILIAC, "right", UNKNOWN, UNKNOWN, 140.9, 13.5},
    {BL_VEIN_COMMON_FEMORAL, "", 125.0, 12.0, UNKNOWN, UNKNOWN},
};

static const char *const sources[BL_PUBLISHED_COUNT] = {
    [BL_PUBLISHED_MINIMAL_AREA] =
        ("Jayaraj et al., J Vasc Surg Venous Lymphat Disord "
         "2021;9:1408-15"),
    [BL_PUBLISHED_NOMINAL_DIAMETER] =
        "Raju et al., Phlebology 2018;33:451-7 (from memory)",
    [BL_PUBLISHED_MEDIAN] =
        "Phlebology, iliac vein morphometry by intravascular ultrasound",
};

const char *bl_published_source(bl_published_column column) {
    return (unsigned)column < BL_PUBLISHED_COUNT ? sources[column] : NULL;
}

static double first_known(double a, double b) {
    return isnan(a) ? b : a;
}

bl_published bl_published_of(bl_vein vein, const char *side) {
    bl_published out = {UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN};
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        const published_row *row = &published[i];
        if (row->vein == vein &&
            (row->side[0] == '\0' || strcmp(row->side, side) == 0)) {
            out = (bl_published){
                first_known(out.minimal_area_mm2, row->minimal_area_mm2),
                first_known(out.nominal_diameter_mm, row->nominal_diameter_mm),
                first_known(out.median_area_mm2, row->median_area_mm2),
                first_known(out.median_diameter_mm, row->median_diameter_mm)};
        }
    }
    return out;
}

const normals_row *normals_find(const bl_normals *of, bl_vein vein,
                                const char *side) {
    for (size_t i = 0; i < of->count; i++) {
        if (of->rows[i].vein == vein && strcmp(of->rows[i].side, side) == 0) {
            return &of->rows[i];
        }
    }
    return NULL;
}

double bl_normals_area_mm2(const bl_normals *of, bl_vein vein,
                           const char *side) {
    if (of == NULL) {
        return bl_published_of(vein, side).minimal_area_mm2;
    }
    const normals_row *row = normals_find(of, vein, side);
    row = row != NULL ? row : normals_find(of, vein, "");
    return row != NULL ? row->area_mm2 : UNKNOWN;
}

const char *bl_normals_source(const bl_normals *of) {
    return of == NULL ? sources[BL_PUBLISHED_MINIMAL_AREA] : of->source;
}

void bl_normals_free(bl_normals *of) {
    if (of != NULL) {
        arena_free(&of->memory);
        free(of);
    }
}
