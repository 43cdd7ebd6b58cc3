/*
 * veins_test.c - which vein a position lies in, under every set of marks and
 * both directions of travel; the normal areas of definitions.md.
 */
#include "support/check.h"

#include "boreline.h"
#include "pullback/veins.h"

#include <math.h>

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
    check_close(bl_vein_normal_area_mm2(BL_VEIN_COMMON_ILIAC), 200, 0, "mm2");
    check_close(bl_vein_normal_area_mm2(BL_VEIN_EXTERNAL_ILIAC), 150, 0, "mm2");
    check_close(bl_vein_normal_area_mm2(BL_VEIN_COMMON_FEMORAL), 125, 0, "mm2");
    check_unknown(bl_vein_normal_area_mm2(BL_VEIN_CAVA));
    check_unknown(bl_vein_normal_area_mm2(BL_VEIN_FEMORAL));
    check_unknown(bl_vein_normal_area_mm2(BL_VEIN_UNKNOWN));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_set_of_marks),
        cmocka_unit_test(test_at_a_border),
        cmocka_unit_test(test_misspelt_borders),
        cmocka_unit_test(test_normal_areas),
    };
    return cmocka_run_group_tests_name("veins", tests, NULL, NULL);
}
