/*
 * positions_test.c - where frames lie: every way against its closed form, or
 * against the sum of each single frame's travel; which way is taken; marks and
 * references by frame; what is refused and in which words.
 */
#include "support/check.h"
#include "support/table.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define TEXT_BYTES 65536

/* A table in text under way. */
typedef struct table {
    char text[TEXT_BYTES];
    size_t size;
} table;

static void add(table *to, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void add(table *to, const char *format, ...) {
    va_list arguments;
    va_start(arguments, format);
    int size = vsnprintf(to->text + to->size, TEXT_BYTES - to->size, format,
                         arguments);
    va_end(arguments);
    assert_true(size >= 0 && to->size + (size_t)size < TEXT_BYTES);
    to->size += (size_t)size;
}

/* Blocks of one square each; heading is what follows 'frame N'. */
static void add_frame(table *to, long frame, const char *heading) {
    add(to, "frame %ld%s\n0 0\n4 0\n4 4\n0 4\n", frame, heading);
}

/* Notes and frames, ended by -1, read; row i lies at expected[i]. */
static bl_study *placed(const char *notes, const long *frames,
                        const double *expected, double tolerance) {
    static table of;
    of.size = 0;
    add(&of, "%s", notes);
    for (size_t i = 0; frames[i] >= 0; i++) {
        add_frame(&of, frames[i], "");
    }
    bl_study *study = table_study(of.text, BL_COLUMNS_ASSESS);
    const bl_row *rows = bl_study_rows(study);
    for (size_t i = 0; frames[i] >= 0; i++) {
        assert_int_equal(rows[i].frame, frames[i]);
        check_close(rows[i].position_mm, expected[i], tolerance, "mm");
    }
    return study;
}

static void check_placed(const char *notes, const long *frames,
                         const double *expected, double tolerance) {
    bl_study_free(placed(notes, frames, expected, tolerance));
}

#define FRAMES(...) ((const long[]){__VA_ARGS__, -1})
#define AT(...) ((const double[]){__VA_ARGS__})

static void test_rate(void **state) {
    (void)state;
    bl_study *study =
        placed("# speed_mm_per_s = 1.5\n# frame_rate_hz = 30\n",
               FRAMES(100, 101, 130, 400), AT(0.0, 0.05, 1.5, 15.0), 1e-15);
    const bl_pullback *of = bl_study_pullback(study);
    assert_int_equal(of->position_from, BL_POSITION_RATE);
    check_close(of->speed_mm_per_s, 1.5, 0.0, "mm/s");
    check_close(of->frame_rate_hz, 30.0, 0.0, "Hz");
    check_close(of->length_mm, 15.0, 1e-15, "mm");
    check_unknown(of->step_mm);
    bl_study_free(study);
}

static void test_step(void **state) {
    (void)state;
    /* Before times, which are there too. */
    check_placed("# step_mm = 0.5\n# speed_mm_per_s = 9\n# frame_rate_hz = 1\n",
                 FRAMES(4, 5, 9), AT(0.0, 0.5, 2.5), 0.0);
}

static void test_known_positions(void **state) {
    (void)state;
    check_placed("# step_mm = 7\n# at = 20 = 10\n# at = 0 = 5\n# at = 10 = 6\n",
                 FRAMES(0, 5, 10, 12, 20), AT(5.0, 5.5, 6.0, 6.8, 10.0), 2e-15);
}

static void test_motion(void **state) {
    (void)state;
    const long *frames = FRAMES(0, 3, 10, 15, 20, 30);
    check_placed("# speed_mm_per_s = 2\n# frame_rate_hz = 4\n"
                 "# motion = frame 10..frame 20\n",
                 frames, AT(0, 0, 0, 2.5, 5, 5), 0.0);
    check_placed("# step_mm = 0.25\n# motion = frame 10..frame 20\n", frames,
                 AT(0, 0, 0, 1.25, 2.5, 2.5), 0.0);
    /* Known positions keep their own zero. */
    check_placed("# at = 10 = 100\n# at = 20 = 140\n"
                 "# motion = frame 10..frame 20\n",
                 frames, AT(100, 100, 100, 120, 140, 140), 0.0);
    /* The motion began before the first frame of the table. */
    check_placed("# step_mm = 1\n# motion = frame 5..frame 99\n", FRAMES(8, 9),
                 AT(3, 4), 0.0);
}

/* Frames of random schedules, with times of their own in every second round,
 * against the sum over single frames. */
static void test_schedule(void **state) {
    (void)state;
    dice from = {23};
    for (int round = 0; round < 200; round++) {
        static table of;
        double speeds[6];
        long starts[6];
        long pieces = 1 + (long)(dice_next(&from) % 6);
        long first = (long)(dice_next(&from) % 50);
        bool timed = round % 2 == 1;
        of.size = 0;
        add(&of, "# frame_rate_hz = 8\n# speed_mm_per_s = ");
        for (long i = 0; i < pieces; i++) {
            starts[i] = i == 0
                            ? (long)(dice_next(&from) % 2) * first
                            : starts[i - 1] + 1 + (long)(dice_next(&from) % 40);
            speeds[i] = (double)(1 + dice_next(&from) % 64) / 16.0;
            add(&of, "%s%ld: %.17g", i > 0 ? ", " : "", starts[i], speeds[i]);
        }
        add(&of, "\n");
        long frames[20];
        long frame = first;
        for (size_t i = 0; i < 20; i++) {
            char heading[40] = "";
            if (timed) {
                (void)snprintf(heading, sizeof heading, " time=%.17g",
                               (double)frame / 8.0);
            }
            frames[i] = frame;
            add_frame(&of, frame, heading);
            frame += 1 + (long)(dice_next(&from) % 15);
        }
        bl_study *study = table_study(of.text, BL_COLUMNS_ASSESS);
        double position = 0.0;
        size_t at = 0;
        for (frame = first; at < 20; frame++) {
            if (frame == frames[at]) {
                /* Sixteenths over eight: every sum is exact; a mean speed
                 * between two frames is a quotient. */
                check_close(bl_study_rows(study)[at].position_mm, position,
                            timed ? 1e-12 : 0.0, "mm");
                at++;
            }
            long piece = pieces - 1;
            while (piece > 0 && starts[piece] > frame) {
                piece--;
            }
            position += speeds[piece] / 8.0;
        }
        assert_true(bl_study_pullback(study)->speed_is_schedule);
        bl_study_free(study);
    }
}

static void check_text(const char *text, bl_position_from from,
                       const double *expected, size_t count) {
    bl_study *study = table_study(text, BL_COLUMNS_ASSESS);
    assert_int_equal(bl_study_row_count(study), count);
    assert_int_equal(bl_study_pullback(study)->position_from, from);
    for (size_t i = 0; i < count; i++) {
        check_close(bl_study_rows(study)[i].position_mm, expected[i], 4e-15,
                    "mm");
    }
    bl_study_free(study);
}

#define SQUARE "\n0 0\n4 0\n4 4\n"

static void test_times(void **state) {
    (void)state;
    check_text("# speed_mm_per_s = 2\n# frame_rate_hz = 1000\n"
               "frame 5 time=10.5" SQUARE "frame 6 time=11" SQUARE
               "frame 9 time=14.25" SQUARE,
               BL_POSITION_TIME, AT(0.0, 1.0, 7.5), 3);
    /* Speed 1 to frame 10, then 3: frames are 0.1 s apart. */
    check_text("# speed_mm_per_s = 0: 1, 10: 3\n"
               "frame 0 time=5" SQUARE "frame 10 time=6" SQUARE
               "frame 20 time=7" SQUARE,
               BL_POSITION_TIME, AT(0.0, 1.0, 4.0), 3);
    /* A piece that changes between two frames: its time in proportion. */
    check_text("# speed_mm_per_s = 0: 1, 5: 3\n"
               "frame 0 time=0" SQUARE "frame 10 time=2" SQUARE,
               BL_POSITION_TIME, AT(0.0, 4.0), 2);
    check_text("# speed_mm_per_s = 2\n# motion = frame 1..frame 3\n"
               "frame 0 time=0" SQUARE "frame 1 time=1" SQUARE
               "frame 3 time=2" SQUARE "frame 4 time=9" SQUARE,
               BL_POSITION_TIME, AT(0.0, 0.0, 2.0, 2.0), 4);
}

/* The column comes before everything else and may lie anywhere. */
static void test_column(void **state) {
    (void)state;
    check_text("# step_mm = 1\n# at = 0 = 0\n# at = 9 = 9\n"
               "frame 0 position=-3.5 time=1" SQUARE
               "frame 2 position=8,25 time=1" SQUARE,
               BL_POSITION_COLUMN, AT(-3.5, 8.25), 2);
    check_text("frame,x_mm,y_mm,position_mm\n7,0,0,2\n7,4,0,2\n7,4,4,2\n"
               "8,0,0,1.5\n8,4,0,1.5\n8,4,4,1.5\n",
               BL_POSITION_COLUMN, AT(1.5, 2.0), 2);
}

static void test_marks_by_frame(void **state) {
    (void)state;
    bl_study *study = placed("# step_mm = 0.5\n# mark = late @ frame 16\n"
                             "# mark = early @ 1\n# mark = first @ frame 10\n"
                             "# reference = 3..4\n"
                             "# reference = frame 10..frame 12\n",
                             FRAMES(10, 14, 18), AT(0, 2, 4), 0.0);
    const bl_pullback *of = bl_study_pullback(study);
    assert_int_equal(of->mark_count, 3); /* by position */
    assert_string_equal(of->marks[0].name, "first");
    check_close(of->marks[0].position_mm, 0.0, 0.0, "mm");
    assert_string_equal(of->marks[1].name, "early");
    assert_string_equal(of->marks[2].name, "late");
    check_close(of->marks[2].position_mm, 3.0, 0.0, "mm");
    assert_int_equal(of->reference_count, 2);
    check_close(of->references[0].from_mm, 0.0, 0.0, "mm");
    check_close(of->references[0].to_mm, 1.0, 0.0, "mm");
    check_close(of->references[1].from_mm, 3.0, 0.0, "mm");
    bl_study_free(study);
}

#define TWO "frame 4" SQUARE "frame 8" SQUARE
#define TIMED "frame 4 time=1" SQUARE "frame 8 time=2" SQUARE

static void test_refusals(void **state) {
    (void)state;
    static const struct {
        const char *text;
        uint64_t line;
        uint64_t column;
        const char *expected;
    } cases[] = {
        {TWO, 0, 0,
         "no pullback speed and no frame rate; add --speed MM_PER_S and "
         "--frame-rate HZ or the notes '# speed_mm_per_s = MM_PER_S' and "
         "'# frame_rate_hz = HZ'"},
        {"# frame_rate_hz = 9\n" TWO, 0, 0,
         "no pullback speed; add --speed MM_PER_S or a note "
         "'# speed_mm_per_s = MM_PER_S'"},
        {"# frame_rate_hz = 9\n" TIMED, 0, 0,
         "no pullback speed; add --speed MM_PER_S or a note "
         "'# speed_mm_per_s = MM_PER_S'"},
        {"# speed_mm_per_s = 9\n" TWO, 0, 0,
         "no frame rate; add --frame-rate HZ or a note "
         "'# frame_rate_hz = HZ'"},
        {"\n# at = 4 = 2\n" TWO, 2, 0,
         "one known position is not enough; give a second 'at' note or --at "
         "FRAME=MM"},
        {"# at = 5 = 2\n# at = 9 = 3\n" TWO, 3, 0,
         "frame 4 is outside the known positions, frames 5 to 9; give an 'at' "
         "note or --at FRAME=MM that covers it"},
        {"# at = 4 = 2\n# at = 7 = 3\n" TWO, 7, 0,
         "frame 8 is outside the known positions, frames 4 to 7; give an 'at' "
         "note or --at FRAME=MM that covers it"},
        {"# at = 4 = 3\n# at = 8 = 2\n" TWO, 2, 0,
         "the known position of frame 8 lies before that of frame 4; "
         "positions grow with the frame number"},
        {"# frame_rate_hz = 9\n# speed_mm_per_s = 5: 1\n" TWO, 2, 0,
         "the speed schedule starts at frame 5, the pullback at frame 4; "
         "begin the schedule there"},
        {"# step_mm = 1\n# motion = frame 9..frame 12\n" TWO, 2, 0,
         "motion is outside the frames of the table, frame 4 to frame 8; "
         "correct it"},
        {"# speed_mm_per_s = 1\n# motion = frame 3..frame 8\n" TIMED, 2, 0,
         "motion reaches beyond the frames of the table, where no time is "
         "known; give it within frame 4 to frame 8"},
        {"# speed_mm_per_s = 1\nframe 1 time=2" SQUARE "frame 2 time=1" SQUARE,
         6, 0,
         "the time of frame 2 is before that of frame 1; times must not run "
         "backwards"},
        {"frame 1 position=2" SQUARE "frame 2" SQUARE, 5, 0,
         "frame 2 has no position, frame 1 has one; give every frame one, or "
         "none"},
        {"# speed_mm_per_s = 1\nframe 1" SQUARE "frame 2 time=1" SQUARE, 2, 0,
         "frame 1 has no time, frame 2 has one; give every frame one, or "
         "none"},
        {"# step_mm = 1\n# mark = a b @ frame 9\n" TWO, 2, 1,
         "mark 'a b' names frame 9, outside the frames of the table, 4 to 8; "
         "name one of these"},
        {"# step_mm = 1\n# reference = frame 3..frame 5\n" TWO, 2, 1,
         "reference names frame 3, outside the frames of the table, 4 to 8; "
         "name one of these"},
        {"# step_mm = 1\n# reference = frame 5..frame 10\n" TWO, 2, 1,
         "reference names frame 10, outside the frames of the table, 4 to 8; "
         "name one of these"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        table_refused(cases[i].text, BL_ERR_INPUT, cases[i].line,
                      cases[i].column, cases[i].expected);
    }
    bl_message message = {0};
    assert_int_equal(
        table_read("# step_mm = 1\n" TWO, "mark", "z @ frame 2", &message),
        BL_ERR_INPUT);
    assert_string_equal(message.text,
                        "--mark 'z' names frame 2, outside the frames of the "
                        "table, 4 to 8; name one of these");
    assert_int_equal(message.line, 0);
}

/* What another source of positions makes needless is said, by the name that
 * the user gave it. */
static void test_unused(void **state) {
    (void)state;
    bl_study_options options = {.columns = BL_COLUMNS_ASSESS,
                                .keep_contours = false};
    bl_study *study = NULL;
    static const char text[] = "# frame_rate_hz = 3\n# step_mm = 1\n" TWO;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    assert_int_equal(bl_study_set(study, "speed_mm_per_s", "2"), BL_OK);
    assert_int_equal(bl_study_feed(study, text, sizeof text - 1), BL_OK);
    assert_int_equal(bl_study_finish(study), BL_OK);
    assert_int_equal(bl_study_finding_count(study), 2);
    const bl_finding *found = bl_study_findings(study);
    assert_string_equal(found[0].message.text,
                        "the note 'frame_rate_hz' is not used: positions come "
                        "from step_mm");
    assert_int_equal(found[0].message.line, 1);
    assert_string_equal(found[1].message.text,
                        "--speed is not used: positions come from step_mm");
    assert_int_equal(found[1].message.line, 0);
    bl_study_free(study);
}

/* A finding of a table that is read, the last of `count`; count 0 for none. */
static void test_doubts(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t count;
        uint64_t line;
        const char *expected;
    } cases[] = {
        {"# speed_mm_per_s = 1\n# frame_rate_hz = 4\n" TIMED, 1, 2,
         "the note 'frame_rate_hz' is not used: positions come from time_s"},
        {"# speed_mm_per_s = 1\n# frame_rate_hz = 30\n" TIMED, 2, 7,
         "times contradict the frame rate: frame 8 is 1.00 s after frame 4, "
         "and 0.13 s by the rate; positions come from time_s, drop or correct "
         "the other"},
        {"# speed_mm_per_s = 1\n# frame_rate_hz = 30\nframe 4 time=0" SQUARE
         "frame 8 time=132" SQUARE,
         2, 3,
         "by time_s frame 8 is 132.000 s after frame 4, which is 0.0303 "
         "frames/s; are the times in milliseconds? Then divide them by 1000"},
        {"# speed_mm_per_s = 900\nframe 4 time=0" SQUARE
         "frame 8 time=0.002" SQUARE,
         1, 2,
         "by time_s frame 8 is 0.002 s after frame 4, which is 2000 frames/s; "
         "are the times in minutes? Then multiply them by 60"},
        {"# speed_mm_per_s = 1\nframe 4 time=0" SQUARE "frame 8 time=20" SQUARE,
         0, 0, NULL},
        {"frame 4 position=1" SQUARE "frame 8 position=2" SQUARE, 0, 0, NULL},
        {"# travel = cranial\nframe 1 position=9" SQUARE
         "frame 2 position=2" SQUARE,
         1, 6,
         "position_mm falls as frame numbers grow (frame 1 at 9.00 mm, frame "
         "2 at 2.00 mm), and travel = cranial takes larger positions for the "
         "cranial ones; count positions as the catheter is withdrawn, or where "
         "larger is more caudal add --travel caudal or a note '# travel = "
         "caudal'"},
        {"frame 1 position=1" SQUARE "frame 2 position=3" SQUARE
         "frame 3 position=2.5" SQUARE,
         1, 9,
         "position_mm goes back 1 time as frame numbers grow, here (frame 2 "
         "at 3.00 mm, frame 3 at 2.50 mm); was the catheter pushed? Else "
         "correct it"},
        {"# at = 0 = 0\n# at = 4 = 2\n# at = 8 = 5\nframe 0" SQUARE
         "frame 8" SQUARE,
         0, 0, NULL},
        {"# at = 0 = 0\n# at = 4 = 2\n# at = 8 = 5.01\nframe 0" SQUARE
         "frame 8" SQUARE,
         1, 2,
         "known positions give 0.500 mm a frame from frame 0 to 4 and 0.752 mm "
         "a frame from frame 4 to 8; was the catheter pulled so unevenly? Else "
         "correct the known positions: lengths are wrong with them"},
        /* Where it stands it is meant to. */
        {"# at = 0 = 0\n# at = 4 = 2\n# at = 8 = 2\nframe 0" SQUARE
         "frame 4" SQUARE,
         0, 0, NULL},
        {"# step_mm = 0.5\nframe 2" SQUARE "frame 4" SQUARE, 0, 0, NULL},
        {"# step_mm = 0.5\nframe 2" SQUARE "frame 5" SQUARE "frame 9" SQUARE, 0,
         0, NULL},
        {"# step_mm = 0.5\nframe 1" SQUARE "frame 3" SQUARE "frame 7" SQUARE, 1,
         1,
         "frame numbers go by 2, so that a step of 0.5 mm a frame is 1 mm from "
         "one traced frame to the next; if it is the step between traced "
         "frames, number them 0, 1, 2 or give 0.25"},
        {"# frame_rate_hz = 1\n# speed_mm_per_s = 0: 1, 5: 2, 8: 1\nframe "
         "4" SQUARE "frame 9" SQUARE,
         0, 0, NULL},
        {"# frame_rate_hz = 1\n# speed_mm_per_s = 0: 1, 4: 2, 9: 3\nframe "
         "4" SQUARE "frame 9" SQUARE,
         1, 2,
         "2 pieces of the speed schedule hold no frame of the table (the first "
         "1 mm/s from frame 0; frames are 4 to 9): do both count from the same "
         "frame? Lengths are wrong if they do not"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        bl_study *study = table_study(cases[i].text, BL_COLUMNS_ASSESS);
        size_t count = bl_study_finding_count(study);
        assert_int_equal(count, cases[i].count);
        if (count > 0) {
            const bl_message *last =
                &bl_study_findings(study)[count - 1].message;
            assert_string_equal(last->text, cases[i].expected);
            assert_int_equal(last->line, cases[i].line);
        }
        bl_study_free(study);
    }
}

/* Times may be a frame off the rate, or a hundredth where that is more: at 4
 * frames/s a quarter of a second after 1 s, a second after 100. */
static void test_times_beside_a_rate(void **state) {
    (void)state;
    static const struct {
        int frame;
        const char *time_s;
        bool contradicts;
    } cases[] = {
        {4, "1.25", false},  {4, "1.2501", true},    {4, "0.75", false},
        {4, "0.7499", true}, {400, "101", false},    {400, "101.0001", true},
        {400, "99", false},  {400, "98.9999", true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char text[256];
        (void)snprintf(text, sizeof text,
                       "# speed_mm_per_s = 1\n# frame_rate_hz = 4\n"
                       "frame 0 time=0" SQUARE "frame %d time=%s" SQUARE,
                       cases[i].frame, cases[i].time_s);
        bl_study *study = table_study(text, BL_COLUMNS_ASSESS);
        const bl_finding *said = bl_study_findings(study);
        bool contradicts = false;
        for (size_t k = 0; k < bl_study_finding_count(study); k++) {
            contradicts = contradicts ||
                          strstr(said[k].message.text,
                                 "times contradict the frame rate") != NULL;
        }
        assert_int_equal(contradicts, cases[i].contradicts);
        bl_study_free(study);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_rate),
        cmocka_unit_test(test_step),
        cmocka_unit_test(test_known_positions),
        cmocka_unit_test(test_motion),
        cmocka_unit_test(test_schedule),
        cmocka_unit_test(test_times),
        cmocka_unit_test(test_column),
        cmocka_unit_test(test_marks_by_frame),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_unused),
        cmocka_unit_test(test_doubts),
        cmocka_unit_test(test_times_beside_a_rate),
    };
    return cmocka_run_group_tests_name("positions", tests, NULL, NULL);
}
