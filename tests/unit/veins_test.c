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
                marks[count++] = (bl_mark){names[i], x};
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

static void test_normal_areas(void **state) {
    (void)state;
    check_close(bl_normals_area_mm2(NULL, BL_VEIN_COMMON_ILIAC, ""), 200, 0,
                "mm2");
    check_close(bl_normals_area_mm2(NULL, BL_VEIN_EXTERNAL_ILIAC, ""), 150, 0,
                "mm2");
    check_close(bl_normals_area_mm2(NULL, BL_VEIN_COMMON_FEMORAL, ""), 125, 0,
                "mm2");
    check_unknown(bl_normals_area_mm2(NULL, BL_VEIN_CAVA, ""));
    check_unknown(bl_normals_area_mm2(NULL, BL_VEIN_FEMORAL, ""));
    check_unknown(bl_normals_area_mm2(NULL, BL_VEIN_UNKNOWN, ""));
}

/* docs/definitions.md: medians of the iliac veins by side, of the cava of any;
 * a diameter is not made of an area. */
static void test_published(void **state) {
    (void)state;
    bl_published of = bl_published_of(BL_VEIN_COMMON_ILIAC, "left");
    check_close(of.minimal_area_mm2, 200, 0, "mm2");
    check_close(of.nominal_diameter_mm, 16, 0, "mm");
    check_close(of.median_area_mm2, 193.9, 0, "mm2");
    check_close(of.median_diameter_mm, 15.7, 0, "mm");
    of = bl_published_of(BL_VEIN_EXTERNAL_ILIAC, "right");
    check_close(of.nominal_diameter_mm, 14, 0, "mm");
    check_close(of.median_area_mm2, 140.9, 0, "mm2");
    check_close(of.median_diameter_mm, 13.5, 0, "mm");
    check_unknown(bl_published_of(BL_VEIN_COMMON_ILIAC, "").median_area_mm2);
    of = bl_published_of(BL_VEIN_COMMON_FEMORAL, "left");
    check_close(of.nominal_diameter_mm, 12, 0, "mm");
    check_unknown(of.median_area_mm2);
    of = bl_published_of(BL_VEIN_CAVA, "");
    check_close(of.median_area_mm2, 265.3, 0, "mm2");
    check_close(of.median_diameter_mm, 18.4, 0, "mm");
    check_unknown(of.minimal_area_mm2);
    check_unknown(of.nominal_diameter_mm);
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
        cmocka_unit_test(test_normal_areas),
        cmocka_unit_test(test_published),
    };
    return cmocka_run_group_tests_name("veins", tests, NULL, NULL);
}
