/*
 * inflow_test.c - candidate inflow veins whose every figure is made by hand:
 * their order, what is told apart, and which is named.
 *
 * What is held against is the rule as docs/inflow.md states it, worked out here
 * anew.
 */
#include "support/check.h"
#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define MANY (BL_INFLOW_MOST + 1)
#define NONE ((double)NAN)

/* Assessments, studies and sources of one comparison. */
static bl_assessment made[MANY];
static bl_source sources[MANY];
static bl_inflow_input inputs[MANY];
static bl_study *plain; /* without labels */

static int set_up(void **state) {
    (void)state;
    plain = vein_study_of_text("frame,position_mm,x_mm,y_mm\n"
                               "0,0,0,0\n0,0,9,0\n0,0,0,9\n");
    return 0;
}

static int tear_down(void **state) {
    (void)state;
    bl_study_free(plain);
    return 0;
}

static bl_inflow_figure figure(double value, double half) {
    bool known = !isnan(value);
    return (bl_inflow_figure){
        value,
        {value - half, value + half},
        known ? NULL : "it is not known here",
    };
}

/* Half the width of every interval: by measure. */
static const double halves[] = {2.0, 1.0, 3.0, 0.1};

/* A candidate with these figures, all else as it should be. */
static void set_one(size_t i, double least, double mean, double narrowed,
                    double flow) {
    const double values[] = {least, mean, narrowed, flow};
    made[i] = (bl_assessment){.reference_from = BL_FROM_GIVEN};
    made[i].options.inflow_mm = 50.0;
    made[i].inflow = (bl_inflow_stretch){.span = {40.0, 90.0}, .frames = 51};
    for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
        made[i].inflow.figures[m] = figure(values[m], halves[m]);
    }
    sources[i] = (bl_source){.file = "vein.csv",
                             .crc32 = (uint32_t)i + 1,
                             .bytes = 1,
                             .options = ""};
    inputs[i] = (bl_inflow_input){plain, &made[i], &sources[i], NULL};
}

static bl_inflow *compare(size_t count) {
    bl_inflow *out = NULL;
    bl_message message = {.text = ""};
    if (bl_inflow_new(inputs, count, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    assert_int_equal(out->candidate_count, count);
    return out;
}

/* Compares, and checks order by letters, what is named and the reason. */
static void check_outcome(size_t count, const char *letters, bool named,
                          const char *why) {
    bl_inflow *of = compare(count);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(of->candidates[i].letter, letters[i]);
    }
    assert_int_equal(of->named, named);
    if (strstr(of->why, why) == NULL) {
        fail_msg("'%s' is not in '%s'", why, of->why);
    }
    bl_inflow_free(of);
}

static void test_larger_least_area_is_named(void **state) {
    (void)state;
    set_one(0, 40.0, 60.0, 10.0, 2.0);
    set_one(1, 50.0, 70.0, 0.0, 1.0);
    set_one(2, 30.0, 50.0, 20.0, 3.0);
    check_outcome(3, "BAC", true, "B (vein.csv) is the larger inflow");
}

/* Intervals that touch overlap: 40 + 2 and 44 - 2. */
static void test_touching_is_not_apart(void **state) {
    (void)state;
    set_one(0, 40.0, 60.0, 10.0, 2.0);
    set_one(1, 44.0, 70.0, 0.0, 1.0);
    check_outcome(2, "BA", false,
                  "B (44.0 mm2, 95 % 42.0 to 46.0) is not told "
                  "apart from A");
    set_one(1, 44.001, 70.0, 0.0, 1.0);
    check_outcome(2, "BA", true, "B (vein.csv)");
}

/* All whose intervals meet that of the best are listed. */
static void test_others_are_listed(void **state) {
    (void)state;
    set_one(0, 40.0, 60.0, 0.0, 1.0);
    set_one(1, 41.0, 60.0, 0.0, 1.0);
    set_one(2, 42.0, 60.0, 0.0, 1.0);
    set_one(3, 30.0, 60.0, 0.0, 1.0);
    check_outcome(4, "CBAD", false, "is not told apart from B and A:");
    set_one(3, 39.5, 60.0, 0.0, 1.0);
    check_outcome(4, "CBAD", false, "is not told apart from B, A and D:");
}

static void test_contradiction(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 63.0, 0.0, 1.0);
    check_outcome(2, "AB", false, "least area speaks for A, mean area for B");
    bl_inflow *of = compare(2);
    assert_null(strstr(of->why, "its own healthy vein"));
    bl_inflow_free(of);
    set_one(1, 40.0, 60.0, 0.0, 0.79);
    check_outcome(2, "AB", false,
                  "least area speaks for A, flow index for B; flow "
                  "index holds each against its own healthy vein");
    set_one(0, 50.0, 60.0, 9.0, 1.0);
    set_one(1, 40.0, 60.0, 2.0, 1.0);
    check_outcome(2, "AB", false,
                  "least area speaks for A, narrowed length for B; narrowed "
                  "length holds each against its own healthy vein");
    set_one(1, 40.0, 60.0, 4.0, 1.0);
    check_outcome(2, "AB", true, "no other measure says otherwise");
}

static void test_what_was_not_traced(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    made[0].inflow.is_shorter = true;
    made[0].inflow.span.from_mm = 70.0;
    check_outcome(2, "AB", false, "of A only 20.0 of 50 mm were traced");
    set_one(0, 50.0, NONE, 0.0, 1.0);
    check_outcome(2, "AB", false, "a gap lies in the stretch of A");
    /* What is smaller as far as it was traced, is. */
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    made[1].inflow.is_shorter = true;
    check_outcome(2, "AB", true, "A (vein.csv)");
    set_one(1, 40.0, NONE, NONE, NONE);
    check_outcome(2, "AB", true, "A (vein.csv)");
}

/* That of the smaller one as well: it may not be so small. */
static void test_doubtful_contour(void **state) {
    (void)state;
    for (size_t i = 0; i < 2; i++) {
        set_one(0, 50.0, 60.0, 0.0, 1.0);
        set_one(1, 40.0, 60.0, 0.0, 1.0);
        made[i].inflow.minimum.frame = 7;
        made[i].inflow.minimum.doubt.jump = true;
        check_outcome(2, "AB", false,
                      i == 0 ? "the least area of A is doubtful: the area of "
                               "frame 7"
                             : "the least area of B is doubtful: the area of "
                               "frame 7");
    }
}

static void test_without_intervals(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    for (size_t i = 0; i < 2; i++) {
        for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
            made[i].inflow.figures[m].interval = (bl_interval){NONE, NONE};
        }
    }
    check_outcome(2, "AB", false, "without intervals none is told apart");
    /* Nor where only another one's is not known. */
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    check_outcome(2, "AB", false, "is not told apart from B");
}

/* Equals as printed go by the next measure; what is unknown comes last. */
static void test_order_of_equals(void **state) {
    (void)state;
    set_one(0, 50.04, 60.0, 0.0, 1.0);
    set_one(1, 49.96, 61.0, 0.0, 1.0);
    set_one(2, 50.0, 61.04, 3.0, 1.0);
    set_one(3, 50.0, 61.0, 0.04, 0.994);
    set_one(4, 50.0, 61.0, 0.0, 1.004);
    set_one(5, 50.0, 61.0, NONE, NONE);
    check_outcome(6, "DBECFA", false, "by least area");
}

static void test_ranks_are_shared(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 70.0, 0.0, 2.0);
    set_one(2, 45.0, 65.0, NONE, 1.0);
    static const char letters[] = "ACB";
    static const size_t ranks[][BL_INFLOW_MEASURES] = {
        {1, 3, 1, 1}, {2, 2, 0, 1}, {3, 1, 1, 3}};
    bl_inflow *of = compare(3);
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(of->candidates[i].letter, letters[i]);
        for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
            assert_int_equal(of->candidates[i].ranks[m], ranks[i][m]);
        }
    }
    /* What is not known of one is told apart from nothing. */
    assert_false(of->verdicts[BL_INFLOW_NARROWED].told_apart);
    assert_non_null(strstr(of->verdicts[BL_INFLOW_NARROWED].words,
                           "not known of C: it is not known here"));
    bl_inflow_free(of);
}

static void test_not_known_of_any(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, NONE, NONE);
    set_one(1, 40.0, 60.0, NONE, NONE);
    bl_inflow *of = compare(2);
    assert_int_equal(of->verdicts[BL_INFLOW_FLOW].best, 2);
    assert_string_equal(of->verdicts[BL_INFLOW_FLOW].words,
                        "not known of any: it is not known here");
    assert_true(of->named);
    bl_inflow_free(of);
}

/* What is known of one alone is better than nothing: no verdict, no rank. */
static void test_known_of_one_alone(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, NONE, NONE);
    set_one(1, 40.0, 60.0, 20.0, 6.8);
    bl_inflow *of = compare(2);
    const bl_inflow_verdict *narrowed = &of->verdicts[BL_INFLOW_NARROWED];
    assert_int_equal(narrowed->best, 2);
    assert_false(narrowed->told_apart);
    assert_string_equal(
        narrowed->words,
        "only that of B (20.0 mm, 95 % 17.0 to 23.0) is known, so there is "
        "nothing to hold it against; not known of A: it is not known here");
    assert_int_equal(of->candidates[1].ranks[BL_INFLOW_NARROWED], 0);
    assert_int_equal(of->candidates[1].ranks[BL_INFLOW_MEAN_AREA], 1);
    assert_true(of->named);
    assert_non_null(
        strstr(of->why, "; no other measure that could be compared says "
                        "otherwise; narrowed length and flow index could not "
                        "be compared, not being known of every vein"));
    bl_inflow_free(of);
    set_one(1, 40.0, NONE, NONE, NONE);
    check_outcome(2, "AB", true,
                  "above all others; mean area, narrowed length and flow index "
                  "could not be compared");
}

/* Of three, two are known: apart from each other, not from the third. */
static void test_known_of_some(void **state) {
    (void)state;
    set_one(0, 50.0, 60.0, 0.0, NONE);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    set_one(2, 30.0, 60.0, 0.0, 3.0);
    bl_inflow *of = compare(3);
    const bl_inflow_verdict *flow = &of->verdicts[BL_INFLOW_FLOW];
    assert_int_equal(flow->best, 1);
    assert_false(flow->told_apart);
    assert_non_null(strstr(flow->words, "meets no other that is known; not "
                                        "known of A"));
    assert_non_null(strstr(of->why, "otherwise; flow index could not be"));
    bl_inflow_free(of);
}

static bl_study *noted_study(const char *notes) {
    char table[256];
    (void)snprintf(table, sizeof table,
                   "%sframe,position_mm,x_mm,y_mm\n0,0,0,0\n0,0,9,0\n0,0,0,9\n",
                   notes);
    return vein_study_of_text(table);
}

/* Candidates of 40..90 mm, the first with these notes. */
static void check_shared(const char *notes, bool named, const char *why) {
    bl_study *marked = noted_study(notes);
    set_one(0, 40.0, 60.0, 0.0, 1.0);
    set_one(1, 50.0, 60.0, 0.0, 1.0);
    inputs[0].study = marked;
    check_outcome(2, "BA", named, why);
    bl_inflow *of = compare(2);
    bool offered = strstr(of->why, "--within") != NULL;
    assert_int_equal(offered, strstr(why, "--within") != NULL);
    bl_inflow_free(of);
    bl_study_free(marked);
}

/* Cranial of where the candidates part, what is read is none's own. */
static void test_shared_vein(void **state) {
    (void)state;
    static const char with[] = "none is named: the stretch of A runs on "
                               "cranial of the femoral confluence, into vein "
                               "that candidates share; --within 35 leaves";
    check_shared("# mark = femoral_confluence @ 55\n", false, with);
    check_shared("# mark = femoral_confluence @ 55\n"
                 "# mark = inguinal_ligament @ 45\n",
                 false, with);
    check_shared("# mark = femoral_confluence @ 54.2\n", false, with);
    check_shared("# mark = deep_femoral_mouth @ 55\n", false,
                 "of the deep femoral mouth, into vein that candidates share; "
                 "--within 35");
    check_shared("# travel = cranial\n# mark = femoral_confluence @ 55\n",
                 false, "share; --within 15");
    /* At the stretch's cranial end it is in no one's way. */
    check_shared("# mark = femoral_confluence @ 40\n", true, "B (vein.csv)");
    check_shared("# travel = cranial\n# mark = femoral_confluence @ 90\n", true,
                 "B (vein.csv)");
    check_shared("# mark = somewhere @ 55\n", true, "B (vein.csv)");
}

/* Where no length leaves it out, none is offered. */
static void test_all_shared(void **state) {
    (void)state;
    static const char *const notes[] = {"# mark = femoral_confluence @ 85.1\n",
                                        "# mark = femoral_confluence @ 90\n",
                                        "# mark = femoral_confluence @ 95\n",
                                        "# mark = inguinal_ligament @ 55\n"};
    for (size_t i = 0; i < sizeof notes / sizeof notes[0]; i++) {
        check_shared(notes[i], false, "into vein that candidates share");
    }
}

/* Of the first, 0..90 mm: one area, and at 20 mm another. */
#define WAY_POINTS 19
static bl_profile_point way[WAY_POINTS];

static void set_way(double area_mm2, double least_mm2) {
    for (size_t i = 0; i < WAY_POINTS; i++) {
        way[i] = (bl_profile_point){.position_mm = 5.0 * (double)i,
                                    .area_mm2 = i == 4 ? least_mm2 : area_mm2};
    }
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    made[0].profile = way;
    made[0].profile_count = WAY_POINTS;
}

/* The interval is 4 wide and the other's ends at 42: less than 46 is smaller.
 * With the other's at 47, less than 47 is. */
static void test_smaller_cranially(void **state) {
    (void)state;
    set_way(60.0, 46.0);
    check_outcome(2, "AB", true, "A (vein.csv)");
    set_way(60.0, 45.99);
    check_outcome(2, "AB", false,
                  "none is named: cranial of its stretch A is smaller than in "
                  "it: 46.0 mm2 at 20.0 mm; what comes through");
    set_way(60.0, 46.99);
    set_one(1, 44.0, 60.0, 0.0, 1.0);
    check_outcome(2, "AB", true, "A (vein.csv)");
    made[1].inflow.figures[0].interval.high = 47.0;
    check_outcome(2, "AB", false, "A is smaller than in it: 47.0 mm2");
    /* As large as in the stretch is never smaller. */
    set_way(60.0, 50.0);
    made[0].inflow.figures[0].interval = (bl_interval){52.0, 53.0};
    made[1].inflow.figures[0].interval.high = 51.0;
    check_outcome(2, "AB", true, "A (vein.csv)");
    /* That of the smaller one keeps nobody from being named. */
    set_way(60.0, 1.0);
    made[0].inflow.figures[0] = figure(30.0, halves[0]);
    check_outcome(2, "BA", true, "B (vein.csv)");
}

static void test_narrowed_cranially(void **state) {
    (void)state;
    bl_narrowing narrowings[] = {
        {.span = {18.0, 22.0},
         .worst = {.position_mm = 20.0,
                   .area_mm2 = 51.0,
                   .area_stenosis_pct = 60.0}},
        {.span = {25.0, 42.0},
         .worst = {.position_mm = 39.0,
                   .area_mm2 = 7.9,
                   .area_stenosis_pct = 90.0}},
    };
    set_way(60.0, 55.0);
    made[0].narrowings = narrowings;
    made[0].narrowing_count = 1;
    check_outcome(2, "AB", false,
                  "cranial of its stretch A is narrowed by 60 % of area, to "
                  "51.0 mm2, at 20.0 mm; what");
    made[0].narrowing_count = 2;
    check_outcome(2, "AB", false, "by 90 % of area, to 7.9 mm2, at 39.0 mm");
    /* Worst in the stretch, it is among the stretch's own figures. */
    narrowings[1].worst.position_mm = 41.0;
    made[0].narrowings = &narrowings[1];
    made[0].narrowing_count = 1;
    check_outcome(2, "AB", true, "A (vein.csv)");
}

static void test_gap_cranially(void **state) {
    (void)state;
    bl_span gap = {10.0, 30.0};
    bl_narrowing narrowing = {
        .span = {31.0, 33.0},
        .worst = {.position_mm = 32.0, .area_stenosis_pct = 70.0}};
    set_way(60.0, 60.0);
    made[0].gaps = &gap;
    made[0].gap_count = 1;
    check_outcome(2, "AB", false,
                  "A has no usable frame over 10.0..30.0 mm, occluded or not "
                  "traced; what");
    made[0].narrowings = &narrowing;
    made[0].narrowing_count = 1;
    check_outcome(2, "AB", false,
                  "at 32.0 mm and has no usable frame over 10.0..30.0 mm");
}

/* Shared vein is in the way of all alike; without a mark it is not known. */
static void check_way_to(const char *notes, bool named, bool bordered) {
    bl_study *marked = noted_study(notes);
    set_way(60.0, 10.0);
    inputs[0].study = marked;
    bl_inflow *of = compare(2);
    bool unknown = strstr(of->why, "no mark tells where its own") != NULL;
    assert_int_equal(of->named, named);
    assert_int_equal(unknown, !named && !bordered);
    assert_int_equal(of->candidates[0].note_count, named ? 0 : 1);
    bl_inflow_free(of);
    bl_study_free(marked);
}

static void test_way_ends_at_shared_vein(void **state) {
    (void)state;
    check_way_to("", false, false);
    check_way_to("# mark = somewhere @ 25\n", false, false);
    check_way_to("# mark = femoral_confluence @ 25\n", true, true);
    check_way_to("# mark = femoral_confluence @ 40\n", true, true);
    check_way_to("# mark = femoral_confluence @ 15\n", false, true);
    check_way_to("# mark = deep_femoral_mouth @ 25\n"
                 "# mark = iliocaval_confluence @ 2\n",
                 true, true);
}

/* Pulled the other way, cranial is at higher positions. */
static void test_way_of_cranial_travel(void **state) {
    (void)state;
    bl_study *marked =
        noted_study("# travel = cranial\n# mark = femoral_confluence @ 85\n");
    set_way(60.0, 60.0);
    inputs[0].study = marked;
    made[0].inflow.span = (bl_span){0.0, 50.0};
    way[18].area_mm2 = 10.0;
    check_outcome(2, "AB", true, "A (vein.csv)");
    way[16].area_mm2 = 12.0;
    check_outcome(2, "AB", false, "smaller than in it: 12.0 mm2 at 80.0 mm");
    bl_study_free(marked);
}

static bool has_note(const bl_inflow *of, size_t i, const char *words) {
    bool any = false;
    for (size_t k = 0; k < of->candidates[i].note_count; k++) {
        any = any || strstr(of->candidates[i].notes[k], words) != NULL;
    }
    return any;
}

static bool has_warning(const bl_inflow *of, const char *words) {
    bool any = false;
    for (size_t k = 0; k < of->warning_count; k++) {
        any = any || strstr(of->warnings[k], words) != NULL;
    }
    return any;
}

static void test_notes(void **state) {
    (void)state;
    bl_study *marked = noted_study("# mark = femoral_confluence @ 55\n"
                                   "# side = left\n# stage = before\n");
    bl_narrowing open = {.span = {70.0, 90.0}, .span_open_to = true};
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    inputs[0].study = marked;
    inputs[1].no_reference = "nothing is healthy";
    made[0].narrowings = &open;
    made[0].narrowing_count = 1;
    made[0].inflow.left_out = 2;
    made[1].inflow.left_out = 1;
    made[1].reference_from = BL_FROM_NOTHING;
    sources[1].crc32 = sources[0].crc32;
    bl_inflow *of = compare(2);
    assert_true(has_note(of, 0,
                         "the femoral confluence lies in its stretch, "
                         "at 55.0 mm"));
    assert_true(has_note(of, 0, "it is narrowed to the end of the pullback"));
    assert_true(has_note(of, 0, "2 frames in its stretch"));
    assert_true(has_note(of, 1, "1 frame in its stretch"));
    assert_true(has_note(of, 1, "not known: nothing is healthy"));
    assert_true(has_warning(of, "A and B are one table"));
    assert_true(has_warning(of, "different sides (A left, B not given)"));
    assert_true(has_warning(of, "different stages (A before, B not given)"));
    assert_true(has_warning(of, "(A given, B none)"));
    bl_inflow_free(of);
    set_one(0, 50.0, 60.0, 0.0, 1.0);
    set_one(1, 40.0, 60.0, 0.0, 1.0);
    of = compare(2);
    assert_int_equal(of->warning_count, 0);
    assert_int_equal(of->candidates[0].note_count, 0);
    bl_inflow_free(of);
    bl_study_free(marked);
}

static void check_refused(size_t count, bl_status status, const char *why) {
    bl_inflow *out = NULL;
    bl_message message;
    assert_int_equal(bl_inflow_new(inputs, count, &out, &message), status);
    assert_null(out);
    assert_non_null(strstr(message.text, why));
}

/* At the limit and one past it, and what cannot be meant. */
static void test_refused(void **state) {
    (void)state;
    for (size_t i = 0; i < MANY; i++) {
        set_one(i, 50.0 + 5.0 * (double)i, 90.0, 0.0, 1.0);
    }
    check_refused(0, BL_ERR_ARGUMENT, "give two or more");
    check_refused(1, BL_ERR_ARGUMENT, "give two or more");
    check_refused(MANY, BL_ERR_LIMIT,
                  "17 inflow veins are more than the limit "
                  "of 16");
    check_outcome(BL_INFLOW_MOST, "PONMLKJIHGFEDCBA", true, "P (vein.csv)");
    made[1].options.inflow_mm = 40.0;
    check_refused(2, BL_ERR_ARGUMENT, "over one length");
    made[1].options.inflow_mm = 0.0;
    check_refused(2, BL_ERR_ARGUMENT, "over one length");
}

/* Thousands at random, held against the rule once more. */
static void test_rule_at_random(void **state) {
    (void)state;
    dice by = {77};
    size_t named = 0;
    for (int round = 0; round < 5000; round++) {
        size_t count = 2 + dice_next(&by) % 4;
        for (size_t i = 0; i < count; i++) {
            set_one(i, dice_between(&by, 20, 60), dice_between(&by, 60, 64),
                    dice_between(&by, 0, 8), dice_between(&by, 1, 1.3));
        }
        bl_inflow *of = compare(count);
        size_t first = (size_t)(of->candidates[0].letter - 'A');
        bool expected = true;
        for (size_t i = 0; i < count; i++) {
            for (size_t m = 0; i != first && m < BL_INFLOW_MEASURES; m++) {
                double ahead = made[first].inflow.figures[m].value -
                               made[i].inflow.figures[m].value;
                ahead = m >= 2 ? -ahead : ahead;
                bool ok =
                    m == 0 ? ahead > 2 * halves[m] : ahead >= -2 * halves[m];
                expected = expected && ok;
            }
        }
        assert_int_equal(of->named, expected);
        named += of->named;
        bl_inflow_free(of);
    }
    /* Both happen. */
    assert_true(named > 200 && named < 4800);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_larger_least_area_is_named),
        cmocka_unit_test(test_touching_is_not_apart),
        cmocka_unit_test(test_others_are_listed),
        cmocka_unit_test(test_contradiction),
        cmocka_unit_test(test_what_was_not_traced),
        cmocka_unit_test(test_doubtful_contour),
        cmocka_unit_test(test_without_intervals),
        cmocka_unit_test(test_order_of_equals),
        cmocka_unit_test(test_ranks_are_shared),
        cmocka_unit_test(test_not_known_of_any),
        cmocka_unit_test(test_known_of_one_alone),
        cmocka_unit_test(test_known_of_some),
        cmocka_unit_test(test_shared_vein),
        cmocka_unit_test(test_all_shared),
        cmocka_unit_test(test_smaller_cranially),
        cmocka_unit_test(test_narrowed_cranially),
        cmocka_unit_test(test_gap_cranially),
        cmocka_unit_test(test_way_ends_at_shared_vein),
        cmocka_unit_test(test_way_of_cranial_travel),
        cmocka_unit_test(test_notes),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_rule_at_random),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
