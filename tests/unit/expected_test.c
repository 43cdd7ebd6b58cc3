/*
 * expected_test.c - a reference that steps at marks: narrowings and shoulders
 * against closed forms, and a pullback against its mirror image.
 *
 * Areas that are expected (Jayaraj 2021, docs/definitions.md): common iliac
 * 200, external iliac 150, common femoral 125 mm2; of the cava none.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LENGTH_MM 120.0
/* Between frames, which lie at whole millimetres. */
#define CAVAL_MM 10.4
#define ILIAC_MM 50.3

static vein one;
static char notes[512];

static void set_marks(const char *travel, double caval, double iliac,
                      double ligament) {
    (void)snprintf(notes, sizeof notes,
                   "# travel = %s\n"
                   "# mark = iliocaval_confluence @ %.17g\n"
                   "# mark = internal_iliac_confluence @ %.17g\n"
                   "# mark = inguinal_ligament @ %.17g\n",
                   travel, caval, iliac, ligament);
    one.notes = notes;
}

/* Round vein of these areas: cava and common iliac, external iliac. */
static void set_areas(double cranial_mm2, double caudal_mm2) {
    vein_straight(&one, LENGTH_MM, 1.0, cranial_mm2);
    for (size_t i = 0; i < one.count; i++) {
        if (one.frames[i].position_mm > ILIAC_MM) {
            one.frames[i].area_mm2 = caudal_mm2;
        }
    }
    set_marks("caudal", CAVAL_MM, ILIAC_MM, LENGTH_MM + 1.0);
}

static bl_status try_expected(const bl_study *study, bl_assessment **out,
                              bl_message *message) {
    bl_assess_options options = bl_assess_defaults();
    options.reference = BL_REFERENCE_EXPECTED;
    options.smooth_mm = 0.0;
    return bl_assess(study, &options, out, message);
}

static bl_assessment *assess_expected(const bl_study *study) {
    bl_assessment *out = NULL;
    bl_message message;
    if (try_expected(study, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    return out;
}

static bl_assessment *assess(bl_study **study) {
    *study = vein_study(&one);
    return assess_expected(*study);
}

static void done(bl_study *study, bl_assessment *of) {
    bl_assessment_free(of);
    bl_study_free(study);
}

static double diameter_mm(double area_mm2) {
    return 2.0 * sqrt(area_mm2 / 3.14159265358979323846);
}

/* Where the diameter, linear from x to x + 1, has come to that of an area. */
static double crossing_mm(double x, double from_mm2, double to_mm2,
                          double at_mm2) {
    return x + (diameter_mm(at_mm2) - diameter_mm(from_mm2)) /
                   (diameter_mm(to_mm2) - diameter_mm(from_mm2));
}

static void test_reference_steps(void **state) {
    (void)state;
    set_areas(200.0, 120.0);
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->reference_from, BL_FROM_EXPECTED);
    assert_int_equal(got->segment_count, 0);
    for (size_t i = 0; i < got->profile_count; i++) {
        const bl_profile_point *at = &got->profile[i];
        if (at->position_mm < CAVAL_MM) {
            check_unknown(at->reference_area_mm2);
        } else {
            check_close(at->reference_area_mm2,
                        at->position_mm < ILIAC_MM ? 200.0 : 150.0, 1e-12,
                        "mm2");
        }
    }
    check_close(got->worst.area_stenosis_pct, 20.0, 1e-10, "%");
    check_close(got->worst.reference_area_mm2, 150.0, 1e-12, "mm2");
    check_unknown(got->worst_by_rule_pct[BL_RULE_TAPER]);
    assert_non_null(strstr(got->reference_why, "Jayaraj"));
    assert_int_equal(got->narrowing_count, 0);
    done(study, got);
}

/* 95 mm2 is half of 200, not of 150: narrowed up to the mark, not beyond. */
static void test_narrowing_ends_at_the_step(void **state) {
    (void)state;
    set_areas(95.0, 95.0);
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->narrowing_count, 1);
    const bl_narrowing *it = &got->narrowings[0];
    /* Nothing is expected of the cava, so it may begin before. */
    check_close(it->span.from_mm, CAVAL_MM, 0.0, "mm");
    check_close(it->shoulders.from_mm, CAVAL_MM, 0.0, "mm");
    assert_true(it->open_from);
    check_close(it->span.to_mm, ILIAC_MM, 0.0, "mm");
    /* Below 120 mm2, 20 % of 150, to the end: no shoulder is seen. */
    check_close(it->shoulders.to_mm, LENGTH_MM, 0.0, "mm");
    assert_true(it->open_to);
    check_close(it->worst.area_stenosis_pct, 52.5, 1e-10, "%");
    done(study, got);
}

/* The shoulder too: 130 mm2 is beyond 80 % of 150, and far from it of 200. */
static void test_shoulder_ends_at_the_step(void **state) {
    (void)state;
    set_areas(130.0, 130.0);
    for (size_t i = 30; i <= 40; i++) {
        one.frames[i].area_mm2 = 50.0;
    }
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->narrowing_count, 1);
    const bl_narrowing *it = &got->narrowings[0];
    check_close(it->span.from_mm, crossing_mm(29.0, 130.0, 50.0, 100.0), 1e-12,
                "mm");
    check_close(it->span.to_mm, crossing_mm(40.0, 50.0, 130.0, 100.0), 1e-12,
                "mm");
    check_close(it->shoulders.to_mm, ILIAC_MM, 0.0, "mm");
    assert_false(it->open_to);
    done(study, got);
}

/* A mark does not part what is narrowed on both sides of it. */
static void test_one_narrowing_across_the_step(void **state) {
    (void)state;
    set_areas(200.0, 150.0);
    for (size_t i = 45; i <= 55; i++) {
        one.frames[i].area_mm2 = 60.0;
    }
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->narrowing_count, 1);
    const bl_narrowing *it = &got->narrowings[0];
    check_close(it->span.from_mm, crossing_mm(44.0, 200.0, 60.0, 100.0), 1e-12,
                "mm");
    check_close(it->span.to_mm, crossing_mm(55.0, 60.0, 150.0, 75.0), 1e-12,
                "mm");
    check_close(it->shoulders.from_mm, crossing_mm(44.0, 200.0, 60.0, 160.0),
                1e-12, "mm");
    check_close(it->shoulders.to_mm, crossing_mm(55.0, 60.0, 150.0, 120.0),
                1e-12, "mm");
    check_close(it->worst.area_stenosis_pct, 70.0, 1e-10, "%");
    assert_true(it->worst.position_mm < ILIAC_MM);
    done(study, got);
}

/* 105 mm2 falls to 95 between two frames with the mark between them: for a
 * part of a millimetre half of 200 is reached, in no frame. */
static void test_no_narrowing_without_a_frame(void **state) {
    (void)state;
    set_areas(101.0, 90.0);
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->narrowing_count, 0);
    done(study, got);
}

/* A frame on the mark is the caudal vein's, whichever way the catheter goes. */
static void test_frame_on_the_mark(void **state) {
    (void)state;
    static const char *const travels[] = {"caudal", "cranial"};
    for (size_t i = 0; i < 2; i++) {
        vein_straight(&one, LENGTH_MM, 1.0, 95.0);
        double caval = i == 0 ? 10.0 : 110.0;
        set_marks(travels[i], caval, 60.0, i == 0 ? 200.0 : -80.0);
        bl_study *study;
        bl_assessment *got = assess(&study);
        check_close(got->profile[60].reference_area_mm2, 150.0, 1e-12, "mm2");
        assert_int_equal(got->narrowing_count, 1);
        const bl_narrowing *it = &got->narrowings[0];
        check_close(it->span.from_mm, fmin(caval, 60.0), 0.0, "mm");
        check_close(it->span.to_mm, fmax(caval, 60.0), 0.0, "mm");
        assert_true(fabs(it->worst.position_mm - 60.0) > 0.5);
        done(study, got);
    }
}

/* Of an expected area the shape is a circle's: an ellipse of aspect ratio 4
 * has a minimum diameter far below 3/4 of its perimeter diameter. */
static void test_pressed_flat(void **state) {
    (void)state;
    set_areas(200.0, 150.0);
    for (size_t i = 20; i <= 30; i++) {
        one.frames[i].aspect = 4.0;
    }
    one.frames[5].aspect = 4.0; /* in the cava: nothing to be held against */
    bl_study *study;
    bl_assessment *got = assess(&study);
    assert_int_equal(got->compression_count, 1);
    assert_true(got->compressions[0].place.position_mm >= 20.0);
    assert_true(got->compressions[0].place.position_mm <= 30.0);
    done(study, got);
}

/* --------------------------------------------------------- its mirror image */

static void random_vein(dice *from, double marks[3]) {
    one.count = 0;
    double x = 0.0;
    for (size_t i = 0; i < 60; i++) {
        /* Steps of quarters, none and gaps among them, are exact. */
        unsigned step = (unsigned)(dice_next(from) % 24);
        x += i == 0 ? 0.0 : step == 23 ? 6.0 : 0.25 * (step % 6 + 1);
        double area = 40.0 + 2.0 * (double)(dice_next(from) % 90);
        double aspect = 1.0 + 0.1 * (double)(dice_next(from) % 20);
        one.frames[one.count++] = (vein_frame){x, area, aspect};
    }
    double at = -5.0;
    for (size_t i = 0; i < 3; i++) {
        at += 0.25 * (double)(4 + dice_next(from) % 100);
        marks[i] = at;
    }
}

/* The same vein seen by a catheter that went the other way. */
static void turn_around(double marks[3]) {
    double length = one.frames[one.count - 1].position_mm;
    for (size_t i = 0; i < one.count / 2; i++) {
        vein_frame kept = one.frames[i];
        one.frames[i] = one.frames[one.count - 1 - i];
        one.frames[one.count - 1 - i] = kept;
    }
    for (size_t i = 0; i < one.count; i++) {
        one.frames[i].position_mm = length - one.frames[i].position_mm;
    }
    for (size_t i = 0; i < 3; i++) {
        marks[i] = length - marks[i];
    }
}

static void check_mirrored(const bl_assessment *a, const bl_assessment *b,
                           double length) {
    assert_int_equal(a->narrowing_count, b->narrowing_count);
    for (size_t i = 0; i < a->narrowing_count; i++) {
        const bl_narrowing *x = &a->narrowings[i];
        const bl_narrowing *y = &b->narrowings[a->narrowing_count - 1 - i];
        check_close(x->span.from_mm, length - y->span.to_mm, 1e-9, "mm");
        check_close(x->span.to_mm, length - y->span.from_mm, 1e-9, "mm");
        check_close(x->shoulders.from_mm, length - y->shoulders.to_mm, 1e-9,
                    "mm");
        check_close(x->shoulders.to_mm, length - y->shoulders.from_mm, 1e-9,
                    "mm");
        assert_int_equal(x->open_from, y->open_to);
        assert_int_equal(x->open_to, y->open_from);
        check_close(x->worst.area_stenosis_pct, y->worst.area_stenosis_pct,
                    1e-9, "%");
        check_close(x->min_area_mm2, y->min_area_mm2, 1e-9, "mm2");
    }
    assert_int_equal(a->compression_count, b->compression_count);
    for (size_t i = 0; i < a->compression_count; i++) {
        const bl_compression *x = &a->compressions[i];
        const bl_compression *y =
            &b->compressions[a->compression_count - 1 - i];
        check_close(x->span.from_mm, length - y->span.to_mm, 1e-9, "mm");
        check_close(x->span.to_mm, length - y->span.from_mm, 1e-9, "mm");
    }
}

/* Every frame at the threshold lies in a narrowing; none is where no area is
 * expected. */
static void check_frames(const bl_assessment *of) {
    for (size_t i = 0; i < of->profile_count; i++) {
        const bl_profile_point *at = &of->profile[i];
        bool inside = false;
        for (size_t k = 0; k < of->narrowing_count; k++) {
            bl_span span = of->narrowings[k].span;
            inside = inside || (at->position_mm >= span.from_mm - 1e-9 &&
                                at->position_mm <= span.to_mm + 1e-9);
        }
        if (at->area_mm2 < 0.5 * at->reference_area_mm2 - 1e-9) {
            assert_true(inside);
        }
    }
    for (size_t k = 0; k < of->narrowing_count; k++) {
        assert_true(of->narrowings[k].worst.area_stenosis_pct > 50.0 - 1e-9);
    }
}

static void test_mirror_image(void **state) {
    (void)state;
    dice from = {11};
    size_t seen = 0;
    for (int round = 0; round < 150; round++) {
        double marks[3];
        random_vein(&from, marks);
        double length = one.frames[one.count - 1].position_mm;
        set_marks("caudal", marks[0], marks[1], marks[2]);
        bl_study *study = vein_study(&one);
        turn_around(marks);
        set_marks("cranial", marks[0], marks[1], marks[2]);
        bl_study *mirrored = vein_study(&one);
        bl_assessment *a = NULL;
        bl_assessment *b = NULL;
        bl_message message;
        bl_status status = try_expected(study, &a, &message);
        assert_int_equal(try_expected(mirrored, &b, &message), status);
        if (status == BL_OK) {
            check_mirrored(a, b, length);
            check_frames(a);
            check_frames(b);
            seen += a->narrowing_count;
        }
        done(study, a);
        done(mirrored, b);
    }
    assert_true(seen > 500);
}

/* ------------------------------------------------------------------- faults */

static void test_no_mark_tells(void **state) {
    (void)state;
    bl_message message;
    bl_assessment *none = NULL;
    set_areas(200.0, 150.0);
    one.notes = "# mark = inguinal_ligament @ -20\n";
    bl_study *study = vein_study(&one);
    assert_int_equal(try_expected(study, &none, &message), BL_ERR_REFERENCE);
    assert_non_null(strstr(message.text, "no mark tells which vein"));
    assert_non_null(strstr(message.text, "--mark 'iliocaval_confluence @ "));
    bl_study_free(study);
    one.notes = "# mark = iliocaval_confluence @ 130\n"; /* all of it cava */
    study = vein_study(&one);
    assert_int_equal(try_expected(study, &none, &message), BL_ERR_REFERENCE);
    assert_non_null(strstr(message.text, "no area is expected of any vein"));
    bl_study_free(study);
    assert_null(none);
}

static void test_words_where_nothing_is_expected(void **state) {
    (void)state;
    set_areas(200.0, 150.0);
    bl_study *study;
    bl_assessment *got = assess(&study);
    bool said = false;
    for (size_t i = 0; i < got->warning_count; i++) {
        said = said ||
               strcmp(got->warnings[i],
                      "0.0..10.4 mm, inferior vena cava: no area is expected "
                      "of it (only a median of people without disease is "
                      "published, 265.3 mm2), so there is no reference and no "
                      "percentage, and nothing is called narrowed there") == 0;
    }
    assert_true(said);
    done(study, got);
}

/* A table of the user's own, also where the reference is given. */
static void test_own_table(void **state) {
    (void)state;
    static const char table[] = "vein,side,area_mm2,source\n"
                                "common iliac vein,left,180,here\n"
                                "external iliac vein,,160,there\n"
                                "inferior vena cava,,300,\n";
    bl_normals *own = NULL;
    assert_int_equal(
        bl_normals_from_text(table, sizeof table - 1, "own.csv", &own, NULL),
        BL_OK);
    bl_assess_options options = bl_assess_defaults();
    options.expected = own;
    options.reference = BL_REFERENCE_EXPECTED;
    options.smooth_mm = 0.0;
    set_areas(90.0, 80.0);
    bl_study *study = vein_study(&one);
    bl_assessment *got = NULL;
    bl_message message;
    assert_int_equal(bl_assess(study, &options, &got, &message), BL_OK);
    /* The side is not known, so that the common iliac vein has none. */
    check_close(got->profile[0].reference_area_mm2, 300.0, 0.0, "mm2");
    check_unknown(got->profile[20].reference_area_mm2);
    check_close(got->profile[60].reference_area_mm2, 160.0, 0.0, "mm2");
    assert_non_null(strstr(got->reference_why, "own.csv: here; there"));
    assert_string_equal(got->warnings[got->reading_warning_count],
                        "the table of expected areas has rows of one side for "
                        "the common iliac vein, which are not used: the side "
                        "is not known; give it with --side left or right");
    done(study, got);
    (void)snprintf(notes + strlen(notes), sizeof notes - strlen(notes),
                   "# side = left\n# reference = 20..40\n");
    study = vein_study(&one);
    options.reference = BL_REFERENCE_DEFAULT;
    assert_int_equal(bl_assess(study, &options, &got, &message), BL_OK);
    check_close(got->segments[0].share_of_normal_pct, 50.0, 1e-10, "%");
    assert_int_equal(got->segments[0].vein, BL_VEIN_COMMON_ILIAC);
    check_close(got->minimum.share_of_normal_pct, 50.0, 1e-10, "%");
    bool said = false;
    for (size_t i = 0; i < got->warning_count; i++) {
        said = said || strstr(got->warnings[i],
                              "well below the expected area of 180 mm2 "
                              "(common iliac vein)") != NULL;
    }
    assert_true(said);
    done(study, got);
    bl_normals_free(own);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_reference_steps),
        cmocka_unit_test(test_narrowing_ends_at_the_step),
        cmocka_unit_test(test_shoulder_ends_at_the_step),
        cmocka_unit_test(test_one_narrowing_across_the_step),
        cmocka_unit_test(test_no_narrowing_without_a_frame),
        cmocka_unit_test(test_frame_on_the_mark),
        cmocka_unit_test(test_pressed_flat),
        cmocka_unit_test(test_mirror_image),
        cmocka_unit_test(test_no_mark_tells),
        cmocka_unit_test(test_words_where_nothing_is_expected),
        cmocka_unit_test(test_own_table),
    };
    return cmocka_run_group_tests_name("expected", tests, NULL, NULL);
}
