/*
 * veins_test.c - which vein a position lies in, under every set of marks and
 * both directions of travel; the normal areas of definitions.md.
 */
#include "support/check.h"

#include "boreline.h"
#include "pullback/veins.h"

#include <math.h>
#include <string.h>

#define BORDERS 4

static const char *const names[BORDERS] = {
    "iliocaval_confluence", "internal_iliac_confluence", "inguinal_ligament",
    "femoral_confluence"};

/* Between borders i - 1 and i, cranial to caudal. */
static const bl_vein veins[BORDERS + 1] = {
    BL_VEIN_CAVA, BL_VEIN_COMMON_ILIAC, BL_VEIN_EXTERNAL_ILIAC,
    BL_VEIN_COMMON_FEMORAL, BL_VEIN_FEMORAL};

/* Where border i lies when position grows caudally. */
static const double places[BORDERS] = {-10.0, 40.0, 130.0, 190.0};

/* A vein is known when both of its ends are; the outermost two have one. */
static bl_vein expected_in(unsigned vein, unsigned given) {
    bool cranial = vein == 0 || ((given >> (vein - 1)) & 1U) != 0;
    bool caudal = vein == BORDERS || ((given >> vein) & 1U) != 0;
    return cranial && caudal ? veins[vein] : BL_VEIN_UNKNOWN;
}

static void check_marks(unsigned given, bl_end travel) {
    bl_mark marks[BORDERS + 1];
    size_t count = 0;
    double sign = travel == BL_END_CAUDAL ? 1.0 : -1.0;
    marks[count++] = (bl_mark){.name = "a lymph node", .position_mm = 60.0};
    for (unsigned i = 0; i < BORDERS; i++) {
        if (((given >> i) & 1U) != 0) {
            marks[count++] =
                (bl_mark){.name = names[i], .position_mm = sign * places[i]};
        }
    }
    bl_pullback of = {.travel = travel, .marks = marks, .mark_count = count};
    for (unsigned vein = 0; vein <= BORDERS; vein++) {
        double from = vein == 0 ? -50.0 : places[vein - 1];
        double to = vein == BORDERS ? 250.0 : places[vein];
        double inner[] = {from + 0.001, (from + to) / 2.0, to - 0.001};
        for (size_t i = 0; i < 3; i++) {
            assert_int_equal(bl_pullback_vein_at(&of, sign * inner[i]),
                             expected_in(vein, given));
        }
    }
}

static void test_every_set_of_marks(void **state) {
    (void)state;
    for (unsigned given = 0; given < 1U << BORDERS; given++) {
        check_marks(given, BL_END_CAUDAL);
        check_marks(given, BL_END_CRANIAL);
    }
}

/* A border belongs to the vein caudal of it. */
static void test_at_a_border(void **state) {
    (void)state;
    bl_mark marks[BORDERS];
    for (unsigned i = 0; i < BORDERS; i++) {
        marks[i] = (bl_mark){.name = names[i], .position_mm = places[i]};
    }
    bl_pullback of = {
        .travel = BL_END_CAUDAL, .marks = marks, .mark_count = BORDERS};
    for (unsigned i = 0; i < BORDERS; i++) {
        assert_int_equal(bl_pullback_vein_at(&of, places[i]), veins[i + 1]);
    }
    assert_int_equal(bl_pullback_vein_at(&of, (double)NAN), BL_VEIN_UNKNOWN);
}

/* The pieces say what each position says, in either direction and for marks in
 * any order. */
static void test_pieces(void **state) {
    (void)state;
    dice from = {3};
    for (int round = 0; round < 2000; round++) {
        bl_mark marks[BORDERS];
        size_t count = 0;
        for (unsigned i = 0; i < BORDERS; i++) {
            double x = (double)(dice_next(&from) % 10);
            if (dice_next(&from) % 4 != 0) {
                marks[count++] = (bl_mark){.name = names[i], .position_mm = x};
            }
        }
        bl_pullback of = {.travel = (bl_end)(dice_next(&from) % 2),
                          .marks = marks,
                          .mark_count = count};
        vein_line line = vein_line_of(&of);
        vein_piece pieces[VEIN_PIECES];
        size_t held = vein_line_pieces(&line, pieces);
        assert_in_range(held, 1, VEIN_PIECES);
        assert_true(isinf(pieces[0].span.from_mm));
        assert_true(isinf(pieces[held - 1].span.to_mm));
        for (size_t i = 0; i < held; i++) {
            double low = fmax(pieces[i].span.from_mm, -2.0);
            double high = fmin(pieces[i].span.to_mm, 12.0);
            assert_true(high > low);
            for (double x = low + 0.25; x < high; x += 0.25) {
                assert_int_equal(vein_line_at(&line, x), pieces[i].vein);
            }
            if (i > 0) {
                check_close(pieces[i].span.from_mm, pieces[i - 1].span.to_mm, 0,
                            "mm");
                assert_int_not_equal(pieces[i].vein, pieces[i - 1].vein);
            }
        }
    }
}

static void test_misspelt_borders(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"illiocaval_confluence", "iliocaval_confluence"},
        {"deep_femoral_mouht", "deep_femoral_mouth"},
        {"internal iliac confluence", "internal_iliac_confluence"},
        {"inguinal_ligement", "inguinal_ligament"},
        {"femoral_conflunce", "femoral_confluence"},
        {"femoral_confluence", NULL},
        {"saphenofemoral_confluence", NULL},
        {"renal vein", NULL},
        {"", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *meant = vein_border_meant(cases[i][0]);
        if (cases[i][1] == NULL) {
            assert_null(meant);
        } else {
            assert_non_null(meant);
            assert_string_equal(meant, cases[i][1]);
        }
    }
}

#define NONE ((double)NAN)

/* The table of docs/definitions.md, by column: normal minimal area of Jayaraj
 * et al., J Vasc Surg Venous Lymphat Disord 2021;9:1408-15; nominal diameter of
 * Raju et al., Phlebology 2018;33:451-7, from memory; medians of area and
 * diameter of the morphometry paper, Phlebology, iliac vein morphometry by
 * intravascular ultrasound. */
static const struct {
    bl_vein vein;
    const char *side;
    bl_published of; /* minimal, nominal, median area, median diameter */
} published[] = {
    {BL_VEIN_CAVA, "", {NONE, NONE, 265.3, 18.4}},
    {BL_VEIN_CAVA, "left", {NONE, NONE, 265.3, 18.4}},
    {BL_VEIN_COMMON_ILIAC, "", {200, 16, NONE, NONE}},
    {BL_VEIN_COMMON_ILIAC, "left", {200, 16, 193.9, 15.7}},
    {BL_VEIN_COMMON_ILIAC, "right", {200, 16, 166.9, 14.2}},
    {BL_VEIN_EXTERNAL_ILIAC, "", {150, 14, NONE, NONE}},
    {BL_VEIN_EXTERNAL_ILIAC, "left", {150, 14, 136.5, 12.8}},
    {BL_VEIN_EXTERNAL_ILIAC, "right", {150, 14, 140.9, 13.5}},
    {BL_VEIN_COMMON_FEMORAL, "", {125, 12, NONE, NONE}},
    {BL_VEIN_COMMON_FEMORAL, "right", {125, 12, NONE, NONE}},
    {BL_VEIN_FEMORAL, "left", {NONE, NONE, NONE, NONE}},
    {BL_VEIN_UNKNOWN, "", {NONE, NONE, NONE, NONE}},
};

static void check_published(double value, double expected, const char *unit) {
    if (isnan(expected)) {
        check_unknown(value);
    } else {
        check_close(value, expected, 0.0, unit);
    }
}

/* Medians of the iliac veins by side, of the cava of any; a diameter is not
 * made of an area. The area that is normal is the minimal one. */
static void test_published(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof published / sizeof published[0]; i++) {
        bl_vein vein = published[i].vein;
        const bl_published *of = &published[i].of;
        bl_published got = bl_published_of(vein, published[i].side);
        check_published(got.minimal_area_mm2, of->minimal_area_mm2, "mm2");
        check_published(got.nominal_diameter_mm, of->nominal_diameter_mm, "mm");
        check_published(got.median_area_mm2, of->median_area_mm2, "mm2");
        check_published(got.median_diameter_mm, of->median_diameter_mm, "mm");
        check_published(bl_normals_area_mm2(NULL, vein, published[i].side),
                        of->minimal_area_mm2, "mm2");
    }
}

static void test_published_sources(void **state) {
    (void)state;
    assert_non_null(
        strstr(bl_published_source(BL_PUBLISHED_MINIMAL_AREA), "Jayaraj"));
    assert_non_null(
        strstr(bl_published_source(BL_PUBLISHED_NOMINAL_DIAMETER), "Raju"));
    assert_non_null(
        strstr(bl_published_source(BL_PUBLISHED_MEDIAN), "morphometry"));
    assert_non_null(
        strstr(bl_published_source(BL_PUBLISHED_NOMINAL_DIAMETER), "memory"));
    assert_null(bl_published_source(BL_PUBLISHED_COUNT));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_set_of_marks),
        cmocka_unit_test(test_at_a_border),
        cmocka_unit_test(test_pieces),
        cmocka_unit_test(test_misspelt_borders),
        cmocka_unit_test(test_published),
        cmocka_unit_test(test_published_sources),
    };
    return cmocka_run_group_tests_name("veins", tests, NULL, NULL);
}
