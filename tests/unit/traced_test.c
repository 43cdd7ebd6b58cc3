/*
 * traced_test.c - what a study says of contours that were hardly traced as
 * they stand, and of a change of scale: the words, the place, the flag, and
 * the limits of base/tracing.h that stand in src/study. Those of one contour
 * are in stray_test.c, those of areas along the line in rescale_test.c.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define TEXT_BYTES 262144

static char text[TEXT_BYTES];
static size_t held;

static void add(const char *words) {
    size_t size = strlen(words);
    assert_true(held + size < TEXT_BYTES);
    memcpy(text + held, words, size + 1);
    held += size;
}

static void begin(const char *notes) {
    held = 0;
    add(notes);
    add("# step_mm = 1\nframe,kind,x_mm,y_mm\n");
}

/* A round contour, `points` of the `count` it should have. */
static void add_part_at(double x_mm, int frame, const char *kind,
                        double radius_mm, int points, int count) {
    for (int i = 0; i < points; i++) {
        char line[96];
        double angle = 2.0 * PI * (i + 0.3) / count;
        (void)snprintf(line, sizeof line, "%d,%s,%.6f,%.6f\n", frame, kind,
                       x_mm + radius_mm * cos(angle), radius_mm * sin(angle));
        add(line);
    }
}

static void add_part(int frame, const char *kind, double radius_mm, int points,
                     int count) {
    add_part_at(0.0, frame, kind, radius_mm, points, count);
}

/* All of one, a little unlike those of other frames. */
static void add_round(int frame, int points) {
    add_part(frame, "lumen", 8.0 + 0.01 * frame, points, points);
}

/* The finding that holds these words, NULL for none; no two hold them. */
static const bl_finding *find(const bl_study *study, const char *words) {
    const bl_finding *found = NULL;
    for (size_t i = 0; i < bl_study_finding_count(study); i++) {
        const bl_finding *one = &bl_study_findings(study)[i];
        if (strstr(one->message.text, words) != NULL) {
            assert_null(found);
            found = one;
        }
    }
    return found;
}

/* Whether the table makes a finding that begins in a frame with such words. */
static bool says(const char *words, int64_t frame) {
    bl_study *study = vein_study_of_text(text);
    const bl_finding *found = find(study, words);
    if (found != NULL) {
        assert_int_equal(found->frame, frame);
    }
    bl_study_free(study);
    return found != NULL;
}

/* Bit i is set when the row of index i has the flag. */
static uint64_t doubted(void) {
    bl_study *study = vein_study_of_text(text);
    uint64_t bits = 0;
    for (size_t i = 0; i < bl_study_row_count(study); i++) {
        uint32_t flags = bl_study_rows(study)[i].measures.flags;
        bits |= (uint64_t)((flags & BL_FLAG_DOUBTED) != 0) << i;
    }
    bl_study_free(study);
    return bits;
}

/* -------------------------------------------------------------------- cut */

#define CUT "the last contour, of frame"

static void test_cut(void **state) {
    (void)state;
    for (int others = 4; others <= 5; others++) {
        for (int points = 10; points <= 24; points++) {
            begin("");
            for (int i = 0; i < others; i++) {
                add_round(i, 24);
            }
            add_part(others, "lumen", 8.0, points, 24);
            bool cut = others == 5 && points < 24;
            assert_int_equal(says(CUT, 5), cut);
            if (cut) {
                assert_true((doubted() & 32) != 0);
            }
        }
    }
}

/* 19 of 20 others are 95 %, 18 are not. */
static void test_cut_of_alike(void **state) {
    (void)state;
    for (int unlike = 0; unlike <= 2; unlike++) {
        begin("");
        for (int i = 0; i < 20; i++) {
            add_round(i, i < unlike ? 25 : 24);
        }
        add_part(20, "lumen", 8.0, 20, 24);
        assert_int_equal(says(CUT, 20), unlike < 2);
    }
}

/* Of its own kind; and the last line counts, not the last frame. */
static void test_cut_of_kind(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 10; i++) {
        add_round(i, 36);
        add_part(i, "device", 6.0 + 0.01 * i, 24, 24);
    }
    add_part(10, "lumen", 8.0, 30, 36);
    assert_true(says(CUT, 10));
    begin("");
    for (int i = 9; i >= 0; i--) {
        add_round(i, i == 0 ? 20 : 24);
    }
    assert_true(says(CUT, 0));
    begin("");
    for (int i = 0; i < 10; i++) {
        add_round(9 - i, i == 0 ? 20 : 24);
    }
    assert_false(says(CUT, 9));
}

/* A point that is there twice is not lost. */
static void test_cut_but_for_repeats(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 6; i++) {
        add_round(i, 24);
    }
    add_part(6, "lumen", 8.0, 23, 24);
    assert_true(says(CUT, 6));
    char last[96];
    const char *line = text + held - 2;
    while (line[-1] != '\n') {
        line--;
    }
    (void)snprintf(last, sizeof last, "%s", line);
    add(last);
    assert_false(says(CUT, 6));
}

/* ------------------------------------------------------------------- held */

#define HELD "the very points of the frame before"

static void test_held(void **state) {
    (void)state;
    static const char *const frames[] = {
        "1 contour has " HELD " (frame 1)",
        "2 contours have " HELD " (frames 1..2)",
        "3 contours have " HELD " (frames 1..2 and 4)",
        "6 contours have " HELD " (frames 1..2, 4, 6, 8 and 10)",
        "7 contours have " HELD
        " (frames 1..2, 4, 6, 8, 10 and 1 more stretch)",
        "8 contours have " HELD
        " (frames 1..2, 4, 6, 8, 10 and 2 more stretches)"};
    static const int same[][16] = {
        {0, 0},
        {0, 0, 0},
        {0, 0, 0, 1, 1},
        {0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4},
        {0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5},
        {0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6}};
    static const int counts[] = {2, 3, 5, 11, 13, 15};
    for (size_t k = 0; k < 6; k++) {
        begin("");
        for (int i = 0; i < counts[k]; i++) {
            add_part(i, "lumen", 8.0 + 0.25 * same[k][i], 12, 12);
        }
        assert_true(says(frames[k], 1));
        assert_int_equal(doubted(), 0);
    }
}

/* Other kinds, contours made by hand, and the least digit of one point. */
static void test_not_held(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 4; i++) {
        add_round(i, 24);
        add_part(i, "device", 6.0, 24, 24);
    }
    assert_false(says(HELD, 1));
    begin("");
    for (int i = 0; i < 4; i++) {
        add_part(i, "lumen", 8.0, 11, 11);
    }
    assert_false(says(HELD, 1));
    begin("");
    add_part(0, "lumen", 8.0, 24, 24);
    add_part(1, "lumen", 8.0, 24, 24);
    assert_true(says(HELD, 1));
    text[held - 2] = text[held - 2] == '1' ? '2' : '1';
    assert_false(says(HELD, 1));
}

/* What lies between in the table does not hide it. */
static void test_held_out_of_order(void **state) {
    (void)state;
    begin("");
    add_part(3, "lumen", 8.0, 24, 24);
    add_part(1, "lumen", 7.0, 24, 24);
    add_part(2, "device", 8.0, 24, 24);
    add_part(4, "lumen", 8.0, 24, 24);
    assert_true(says("1 contour has " HELD " (frame 4)", 4));
}

/* ----------------------------------------------------------------- strays */

/* Seven frames; the fifth point of frame 3 is moved to (x, y). */
static void add_with_point(double x, double y) {
    begin("");
    for (int i = 0; i < 7; i++) {
        if (i != 3) {
            add_round(i, 24);
            continue;
        }
        for (int k = 0; k < 24; k++) {
            char line[96];
            double angle = 2.0 * PI * (k + 0.3) / 24.0;
            (void)snprintf(line, sizeof line, "3,lumen,%.6f,%.6f\n",
                           k == 4 ? x : 8.03 * cos(angle),
                           k == 4 ? y : 8.03 * sin(angle));
            add(line);
        }
    }
}

static void test_point(void **state) {
    (void)state;
    /* Angles of the fifth point of 24: 64.5 degrees. */
    double c = cos(4.3 / 12.0 * PI);
    double s = sin(4.3 / 12.0 * PI);
    add_with_point(8.03 * c, 8.03 * s);
    assert_false(says("lies far from both", 3));
    assert_int_equal(doubted(), 0);
    add_with_point(80.3 * c, 80.3 * s);
    assert_true(says("point 5 of the 24 of frame 3 lies far from both points "
                     "beside it: its edges are ",
                     3));
    assert_int_equal(doubted(), 8);
    add_with_point(0.803 * c, 0.803 * s);
    assert_true(says("point 5 of the 24 of frame 3 lies far from both points "
                     "beside it: its edges are 3.5 times the others",
                     3));
    assert_int_equal(doubted(), 8);
    add_with_point(0.0, 0.0);
    assert_true(says("1 contour turns back at a point of exactly 0,0 (frame "
                     "3)",
                     3));
    assert_int_equal(doubted(), 8);
}

static void test_open(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 6; i++) {
        add_part(i, "lumen", 8.0 + 0.01 * i, i == 2 || i == 3 ? 15 : 24, 24);
    }
    assert_true(says("2 contours have one edge far longer than all others "
                     "(frames 2..3): were they traced part of the way round",
                     2));
    assert_int_equal(doubted(), 12);
}

/* Points are told of once, where reading has told of them. */
static void test_told_once(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 3; i++) {
        add_round(i, 24);
        add(i == 1 ? "1,lumen,0,0\n1,lumen,0,0\n" : "");
    }
    assert_true(says("1 contour ends in points at exactly 0,0", 1));
    assert_false(says("turns back", 1));
    assert_int_equal(doubted(), 2);
    held = 0;
    add("# step_mm = 1\nframe,angle_deg,radius_mm\n");
    for (int i = 0; i < 60; i++) {
        char line[96];
        int frame = i / 20;
        (void)snprintf(line, sizeof line, "%d,%.1f,8.%d\n", frame,
                       i % 20 * (frame == 1 ? 9.0 : 18.0), frame);
        add(line);
    }
    assert_true(says("1 contour has no point in a quarter of the turn", 1));
    assert_false(says("one edge far longer", 1));
    assert_int_equal(doubted(), 2);
}

/* Only lumens are assessed. */
static void test_other_kinds(void **state) {
    (void)state;
    begin("");
    for (int i = 0; i < 3; i++) {
        add_round(i, 24);
        add_part(i, "device", 6.0 + 0.01 * i, 14, 24);
    }
    assert_false(says("one edge far longer", 0));
    assert_int_equal(doubted(), 0);
}

/* ------------------------------------------------------------------ scale */

#define RESCALED "all at once and with the same shape"

/* Sixteen frames 1 mm apart; areas are so many times larger from frame 8 on,
 * at 8 mm. Medians of five are those of the frames 5 and 10, of 150.5 mm2 and,
 * twice that, 301, or half of it, 76: 2.00 and 1.98 times. */
static bool is_rescaled(const char *notes, double times) {
    begin(notes);
    for (int i = 0; i < 16; i++) {
        double area = 150.0 * (i < 8 ? 1.0 : times) + 0.1 * i;
        add_part(i, "lumen", sqrt(area / PI), 24, 24);
    }
    return says(RESCALED, 8);
}

static void test_rescaled(void **state) {
    (void)state;
    assert_true(is_rescaled("", 2.0));
    assert_true(says("from here on areas are 2.00 times larger than up to "
                     "frame 7, " RESCALED,
                     8));
    assert_true(is_rescaled("", 0.5));
    assert_true(says("from here on areas are 1.98 times smaller than up to "
                     "frame 7, " RESCALED,
                     8));
    assert_false(is_rescaled("", 1.55));
    assert_int_equal(doubted(), 0);
}

/* A confluence within 10 mm of the frames 7 and 8, the wider vein cranial. */
static void test_confluence(void **state) {
    (void)state;
    static const struct {
        const char *notes;
        double times;
        bool told;
    } cases[] = {
        {"# mark = iliocaval_confluence @ -3\n", 0.5, false},
        {"# mark = iliocaval_confluence @ -3.001\n", 0.5, true},
        {"# mark = iliocaval_confluence @ 18\n", 0.5, false},
        {"# mark = iliocaval_confluence @ 18.001\n", 0.5, true},
        {"# mark = internal_iliac_confluence @ 7\n", 0.5, false},
        {"# mark = femoral_confluence @ 7\n", 0.5, false},
        {"# mark = deep_femoral_mouth @ 7\n", 0.5, false},
        {"# mark = inguinal_ligament @ 7\n", 0.5, true},
        {"# mark = lesion @ 7\n", 0.5, true},
        {"# mark = iliocaval_confluence @ 7\n", 2.0, true},
        {"# travel = cranial\n# mark = iliocaval_confluence @ 7\n", 2.0, false},
        {"# travel = cranial\n# mark = iliocaval_confluence @ 7\n", 0.5, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal(is_rescaled(cases[i].notes, cases[i].times),
                         cases[i].told);
    }
}

/* --------------------------------------------------- check and assessment */

/* What check says, an assessment keeps, in the same words; and places that
 * stand on a doubted contour are told. */
static void test_same_words(void **state) {
    (void)state;
    double c = cos(4.3 / 12.0 * PI);
    double s = sin(4.3 / 12.0 * PI);
    add_with_point(0.803 * c, 0.803 * s);
    bl_study *study = vein_study_of_text(text);
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_NONE;
    options.smooth_mm = 0.0;
    bl_assessment *got = NULL;
    bl_check *check = NULL;
    assert_int_equal(bl_assess(study, &options, &got, NULL), BL_OK);
    assert_int_equal(bl_check_study(study, NULL, &options, 0, &check), BL_OK);
    size_t said = 0;
    for (size_t i = 0; i < check->finding_count; i++) {
        const char *words = check->findings[i].message.text;
        if (strstr(words, "point 5 of the 24 of frame 3 lies far from both "
                          "points") != NULL) {
            assert_true(vein_warns(got, words));
            said++;
        }
    }
    assert_int_equal(said, 1);
    assert_true(vein_warns(got, "the least area, at 3.0 mm, is doubtful: the "
                                "contour of frame 3 is hardly what was "
                                "traced"));
    bl_check_free(check);
    bl_assessment_free(got);
    bl_study_free(study);
}

/* ------------------------------------------------------------------ filled */

/* Three polar contours of 24 radii; in that of frame 1 `many` from angle 22 on
 * are the same. */
static void add_filled(int many, double radius_mm) {
    held = 0;
    add("# step_mm = 1\nframe,angle_deg,radius_mm\n");
    for (int i = 0; i < 72; i++) {
        char line[96];
        bool filled = i / 24 == 1 && (i % 24 + 2) % 24 < many;
        (void)snprintf(line, sizeof line, "%d,%d,%.3f\n", i / 24, i % 24 * 15,
                       filled ? radius_mm : 8.0 + (i % 2) / 1000.0);
        add(line);
    }
}

/* 8.001 and 8 beside them: 12.001, 1.5 times either, and 12 are both sides of
 * the limit; so are 5.334 and 5.335 inwards. */
static void test_filled(void **state) {
    (void)state;
    const char *words = "1 contour has the very same radius at 3 neighbouring "
                        "angles";
    add_filled(3, 12.002);
    assert_true(says(words, 1));
    assert_int_equal(doubted(), 2);
    add_filled(3, 12.001);
    assert_false(says(words, 1));
    assert_int_equal(doubted(), 0);
    add_filled(2, 12.002);
    assert_false(says(words, 1));
    add_filled(3, 5.334);
    assert_true(says(words, 1));
    add_filled(3, 5.335);
    assert_false(says(words, 1));
    add_filled(9, 30.0);
    assert_true(says("(30 in frame 1)", 1));
}

/* ------------------------------------------------------------------- kinds */

static void add_kinds(double lumen_mm, const char *other, double other_mm) {
    begin("");
    for (int i = 0; i < 3; i++) {
        add_part(i, "lumen", i == 1 ? lumen_mm : 8.0 + 0.01 * i, 24, 24);
        add_part(i, other, i == 1 ? other_mm : 9.0 + 0.01 * i, 24, 24);
    }
}

/* Areas go with the square of radii; both contours have 24 points. */
static void test_kinds(void **state) {
    (void)state;
    const char *words = "1 frame has a lumen contour larger than the vessel "
                        "contour (frame 1)";
    add_kinds(8.0 * sqrt(1.05) + 0.0001, "vessel", 8.0);
    assert_true(says(words, 1));
    assert_int_equal(doubted(), 4);
    add_kinds(8.0 * sqrt(1.05) - 0.0001, "vessel", 8.0);
    assert_false(says(words, 1));
    assert_int_equal(doubted(), 0);
    /* A device may lie around the lumen or in it. */
    add_kinds(8.0, "device", 6.0);
    assert_false(says("are the kinds swapped", 1));
    add_kinds(8.0, "device", 10.0);
    assert_false(says("are the kinds swapped", 1));
    add_part(3, "device", 8.3, 24, 24);
    add_part(3, "vessel", 8.0, 24, 24);
    assert_true(says("1 frame has a device contour larger than the vessel", 3));
    assert_true(says("1 frame has a device contour and no lumen contour", 3));
}

/* A lumen of 7.5 mm radius, off its vessel's centre or its device's. */
static void add_off(double x_mm, const char *other, double other_mm) {
    begin("");
    for (int i = 0; i < 3; i++) {
        add_part_at(i == 1 ? x_mm : 0.0, i, "lumen", 7.5 + 0.01 * i, 60, 60);
        add_part(i, other, other_mm + 0.01 * i, 60, 60);
    }
}

/* A ring 0.2 mm wide is left of a vessel around its lumen, and so wide a
 * tolerance: its centre would lie out of the vessel. A circle of radius r in
 * one of R may be off by R - r, which is not told. */
static void test_kinds_of_other_origins(void **state) {
    (void)state;
    const char *words = "1 frame has a lumen contour that does not lie in the "
                        "vessel contour (frame 1): are the kinds drawn to "
                        "different origins";
    add_off(3.0, "vessel", 7.7);
    assert_true(says(words, 1));
    add_off(0.99, "vessel", 7.7);
    assert_false(says("different origins", 1));
    for (double wall = 0.2; wall < 8.0; wall += 0.4) {
        add_off(wall, "vessel", 7.5 + wall);
        assert_false(says("different origins", 1));
    }
    add_off(30.0, "vessel", 15.0);
    assert_true(says(words, 1));
    /* Circles touch at 15.5 mm; polygons of 60 points have 0.05 % less
     * perimeter. */
    words = "1 frame has a lumen contour beside the device contour (frame 1)";
    add_off(15.53, "device", 8.0);
    assert_true(says(words, 1));
    add_off(15.48, "device", 8.0);
    assert_false(says("different origins", 1));
}

/* What left the vessel is told of once, whichever of the two it is. */
static void test_origin_told_once(void **state) {
    (void)state;
    for (int device = 0; device < 2; device++) {
        begin("");
        for (int i = 0; i < 3; i++) {
            double off = i == 1 ? 30.0 : 0.0;
            add_part_at(device ? 0.0 : off, i, "lumen", 7.5 + 0.01 * i, 60, 60);
            add_part_at(device ? off : 0.0, i, "device", 7.0 + 0.01 * i, 60,
                        60);
            add_part(i, "vessel", 8.0 + 0.01 * i, 60, 60);
        }
        assert_true(says(device ? "1 frame has a device contour that does not "
                                  "lie in the vessel contour (frame 1)"
                                : "1 frame has a lumen contour that does not "
                                  "lie in the vessel contour (frame 1)",
                         1));
        assert_false(says("beside the device contour", 1));
    }
}

/* -------------------------------------------------------------- standing */

/* Frames 0 to 9 + `more` stand, of which the last five are wider by `ratio` in
 * area; then ten move. */
static void add_standing(int more, double ratio) {
    begin("# motion = frame 10..frame 20\n");
    for (int i = -more; i <= 20; i++) {
        bool wide = i >= 5 && i < 10;
        add_part(i + more, "lumen", wide ? 8.0 * sqrt(ratio) : 8.0, 24, 24);
    }
}

static void test_standing(void **state) {
    (void)state;
    const char *words = "10 frames before motion stand at 0.0 mm, and areas "
                        "there go from";
    add_standing(0, 1.6 + 1e-4);
    assert_true(says(words, -1));
    add_standing(0, 1.6 - 1e-4);
    assert_false(says(words, -1));
    /* Nine are too few. */
    begin("# motion = frame 9..frame 20\n");
    for (int i = 0; i <= 20; i++) {
        add_part(i, "lumen", i < 4 ? 8.0 : 16.0, 24, 24);
    }
    assert_false(says("frames before motion", -1));
}

/* -------------------------------------------------------------------- alone */

/* So many frames 1 mm apart, and one `beyond` the last of them. */
static void add_alone(int frames, int beyond) {
    begin("");
    for (int i = 0; i < frames; i++) {
        add_round(i, 24);
    }
    add_round(frames - 1 + beyond, 24);
}

static void test_alone(void **state) {
    (void)state;
    add_alone(12, 21);
    assert_true(says("frame 32 lies alone, 21.0 mm beyond all others", 32));
    add_alone(12, 20);
    assert_false(says("lies alone", 31));
    add_alone(8, 21);
    assert_false(says("lies alone", 28));
    begin("");
    add_round(0, 24);
    for (int i = 30; i < 42; i++) {
        add_round(i, 24);
    }
    assert_true(says("frame 0 lies alone, 30.0 mm before all others", 0));
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_cut),
        cmocka_unit_test(test_cut_of_alike),
        cmocka_unit_test(test_cut_of_kind),
        cmocka_unit_test(test_cut_but_for_repeats),
        cmocka_unit_test(test_held),
        cmocka_unit_test(test_not_held),
        cmocka_unit_test(test_held_out_of_order),
        cmocka_unit_test(test_point),
        cmocka_unit_test(test_open),
        cmocka_unit_test(test_told_once),
        cmocka_unit_test(test_other_kinds),
        cmocka_unit_test(test_rescaled),
        cmocka_unit_test(test_confluence),
        cmocka_unit_test(test_filled),
        cmocka_unit_test(test_kinds),
        cmocka_unit_test(test_kinds_of_other_origins),
        cmocka_unit_test(test_origin_told_once),
        cmocka_unit_test(test_standing),
        cmocka_unit_test(test_alone),
        cmocka_unit_test(test_same_words),
    };
    return cmocka_run_group_tests_name("traced", tests, NULL, NULL);
}
