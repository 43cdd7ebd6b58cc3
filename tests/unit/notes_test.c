/*
 * notes_test.c - every key of docs/formats.md, from a file and as an option:
 * what it sets, what it refuses and in which words, and which of two wins.
 */
#include "pullback/notes.h"

#include "support/check.h"
#include "support/table.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* One line of a file into fresh notes. */
static bl_status take(notes *to, const char *line, bool late, findings *said,
                      bl_message *message) {
    return notes_line(to, line, strlen(line), 7, late, said, message);
}

static void take_well(notes *to, const char *line) {
    findings said = {0};
    bl_message message = {0};
    if (take(to, line, false, &said, &message) != BL_OK) {
        fail_msg("%s: %s", line, message.text);
    }
    assert_int_equal(said.count, 0);
}

static void set_well(notes *to, const char *key, const char *value) {
    bl_message message = {0};
    if (notes_set(to, key, value, &message) != BL_OK) {
        fail_msg("%s = %s: %s", key, value, message.text);
    }
}

static void test_numbers(void **state) {
    (void)state;
    static notes to;
    take_well(&to, "# speed_mm_per_s = 0.5");
    take_well(&to, "#frame_rate_hz=3e1");
    take_well(&to, "##  STEP_MM =  .25 ");
    take_well(&to, "# mm_per_px = 0.026");
    take_well(&to, "# mm_per_px_x\t=\t0.02\t");
    take_well(&to, "# mm_per_px_y = 0.03");
    assert_false(to.speed_is_schedule);
    check_close(to.speeds[0].mm_per_s, 0.5, 0.0, "mm/s");
    check_close(to.frame_rate_hz, 30.0, 0.0, "Hz");
    check_close(to.step_mm, 0.25, 0.0, "mm");
    check_close(to.mm_per_px, 0.026, 0.0, "mm");
    check_close(to.mm_per_px_x, 0.02, 0.0, "mm");
    check_close(to.mm_per_px_y, 0.03, 0.0, "mm");
    notes_free(&to);
    assert_int_equal(to.origin[NOTE_SPEED], NOTE_UNSET);
}

static void test_schedule(void **state) {
    (void)state;
    static notes to;
    take_well(&to, "# speed_mm_per_s = 0: 1.0, 600 : 0.5,700:2");
    assert_true(to.speed_is_schedule);
    assert_int_equal(to.speed_count, 3);
    assert_int_equal(to.speeds[1].frame, 600);
    check_close(to.speeds[1].mm_per_s, 0.5, 0.0, "mm/s");
    assert_int_equal(to.speeds[2].frame, 700);
    notes_free(&to);
}

static void test_words(void **state) {
    (void)state;
    static notes to;
    take_well(&to, "# y_axis = Down");
    take_well(&to, "# travel = cranial");
    take_well(&to, "# case = J\xc3\xa4n 4 = five");
    take_well(&to, "# side = LEFT");
    take_well(&to, "# reader = b");
    take_well(&to, "# stage = follow-up");
    assert_true(to.y_down);
    assert_int_equal(notes_travel(&to), BL_END_CRANIAL);
    assert_string_equal(notes_label(&to, NOTE_CASE), "J\xc3\xa4n 4 = five");
    assert_string_equal(notes_label(&to, NOTE_SIDE), "left");
    assert_string_equal(notes_label(&to, NOTE_READER), "b");
    assert_string_equal(notes_label(&to, NOTE_STAGE), "follow-up");
    notes_free(&to);
    assert_int_equal(notes_travel(&to), BL_END_CAUDAL);
    assert_string_equal(notes_label(&to, NOTE_CASE), "");
}

static void test_places(void **state) {
    (void)state;
    static notes to;
    take_well(&to, "# motion = frame 3..frame 90");
    take_well(&to, "# at = 9 = 40.5");
    take_well(&to, "# at = frame 2 = -1.5");
    take_well(&to, "# mark = a @ b @ 12.5");
    take_well(&to, "# mark = lower edge @ frame 8");
    take_well(&to, "# reference = -2..4.5");
    take_well(&to, "# reference = frame 3 .. Frame 9");
    assert_int_equal(to.motion_from, 3);
    assert_int_equal(to.motion_to, 90);
    assert_int_equal(to.at_count, 2); /* by frame, rising */
    assert_int_equal(to.at[0].frame, 2);
    check_close(to.at[0].mm, -1.5, 0.0, "mm");
    check_close(to.at[1].mm, 40.5, 0.0, "mm");
    assert_string_equal(to.marks[0].name, "a @ b");
    check_close(to.marks[0].place.mm, 12.5, 0.0, "mm");
    assert_string_equal(to.marks[1].name, "lower edge");
    assert_true(to.marks[1].place.by_frame);
    assert_int_equal(to.marks[1].place.frame, 8);
    check_close(to.references[0].from.mm, -2.0, 0.0, "mm");
    check_close(to.references[0].to.mm, 4.5, 0.0, "mm");
    assert_true(to.references[1].to.by_frame);
    assert_int_equal(to.references[1].to.frame, 9);
    notes_free(&to);
}

#define A_SPEED                                                                \
    "expected a speed in mm/s above 0 such as 1.0, or a schedule of rising "   \
    "frames such as '0: 1.0, 600: 0.5'"
#define POINT "; write a decimal point, whatever the table has"
#define ALONE "; write the number alone, in "
#define BOTH "; write both numbers alone, in mm or each behind 'frame'"
#define DOTS "; write '..' between the two"
#define MINUS "; its minus is typographic, U+2212: write '-'"
#define NO_UTF8                                                                \
    "; its bytes are no UTF-8, but perhaps Latin-1 or Windows-1252: save the " \
    "table as UTF-8"
#define A_RATE "expected frames per second, a number above 0 such as 30"
#define A_STEP                                                                 \
    "expected millimetres from one frame to the next, a number above 0 such "  \
    "as 0.5"
#define A_SCALE "expected millimetres per pixel, a number above 0 such as 0.026"
#define A_MOTION "expected 'frame A..frame B', B not before A"
#define A_REFERENCE                                                            \
    "expected 'A..B' in mm or 'frame A..frame B', B not before A"
#define AN_AT "expected 'FRAME = MM' such as '120 = 40.5'"
#define A_MARK "expected 'NAME @ MM' or 'NAME @ frame N', the name in UTF-8"

/* Key, value, what is found, what is expected. */
static const struct refusal {
    const char *key;
    const char *option;
    const char *value;
    const char *words;
} refusals[] = {
    {"speed_mm_per_s", "--speed", "fast", "found 'fast'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "0", "found '0'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "-1", "found '-1'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "nan", "found 'nan'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "1e999", "found '1e999'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "1,5", "found '1,5'; " A_SPEED POINT},
    {"speed_mm_per_s", "--speed", "1 mm/s",
     "found '1 mm/s'; " A_SPEED ALONE "mm/s"},
    {"speed_mm_per_s", "--speed", "0:1,9:0,5",
     "found '0:1,9:0,5'; " A_SPEED POINT},
    {"speed_mm_per_s", "--speed", "0: 1 mm/s, 9: 2",
     "found '0: 1 mm/s, 9: 2'; " A_SPEED ALONE "mm/s"},
    {"speed_mm_per_s", "--speed", "0: 1,19: x", "found '0: 1,19: x'; " A_SPEED},
    {"step_mm", "--step", "0,5", "found '0,5'; " A_STEP POINT},
    {"speed_mm_per_s", "--speed", "", "found nothing; " A_SPEED},
    {"speed_mm_per_s", "--speed", "0: 1, 0: 2", "found '0: 1, 0: 2'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "9: 1, 3: 2", "found '9: 1, 3: 2'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "0: 1, 5: 0", "found '0: 1, 5: 0'; " A_SPEED},
    {"speed_mm_per_s", "--speed", "0: 1, 5:", "found '0: 1, 5:'; " A_SPEED},
    {"frame_rate_hz", "--frame-rate", "0", "found '0'; " A_RATE},
    {"frame_rate_hz", "--frame-rate", "30 Hz",
     "found '30 Hz'; " A_RATE ALONE "frames/s"},
    {"step_mm", "--step", "-0.5", "found '-0.5'; " A_STEP},
    {"mm_per_px", "--mm-per-px", "0", "found '0'; " A_SCALE},
    {"mm_per_px_x", "--mm-per-px-x", "inf", "found 'inf'; " A_SCALE},
    {"mm_per_px_y", "--mm-per-px-y", "-2", "found '-2'; " A_SCALE},
    {"motion", "--motion", "3..9", "found '3..9'; " A_MOTION},
    {"motion", "--motion", "frame 9..frame 3",
     "found 'frame 9..frame 3'; " A_MOTION},
    {"y_axis", "--y-axis", "left", "found 'left'; expected up or down"},
    {"travel", "--travel", "down", "found 'down'; expected caudal or cranial"},
    {"at", "--at", "3", "found '3'; " AN_AT},
    {"at", "--at", "3.5 = 1", "found '3.5 = 1'; " AN_AT},
    {"at", "--at", "1000000000 = 1", "found '1000000000 = 1'; " AN_AT},
    {"at", "--at", "3 = 1,5", "found '3 = 1,5'; " AN_AT POINT},
    {"at", "--at", "3 = 1 cm", "found '3 = 1 cm'; " AN_AT ALONE "mm"},
    {"at", "--at", "3 = 1e5x", "found '3 = 1e5x'; " AN_AT ALONE "mm"},
    {"at", "--at", "3 = 1e999", "found '3 = 1e999'; " AN_AT},
    {"mark", "--mark", "a",
     "found 'a'; " A_MARK "; write '@' between name and place"},
    {"mark", "--mark", "@ 3", "found '@ 3'; " A_MARK},
    {"mark", "--mark", "a @ 3 mm", "found 'a @ 3 mm'; " A_MARK ALONE "mm"},
    {"mark", "--mark", "v1a @ 2,5", "found 'v1a @ 2,5'; " A_MARK POINT},
    {"mark", "--mark", "a @ \u22123", "found 'a @ \u22123'; " A_MARK MINUS},
    {"mark", "--mark", "a\u00a0b @ three", "found 'a\u00a0b @ three'; " A_MARK},
    {"mark", "--mark", "a\xfc @ 3", "found 'a? @ 3'; " A_MARK NO_UTF8},
    {"case", "--case", "a\xfc", "found 'a?'; expected text in UTF-8" NO_UTF8},
    {"mark", "--mark", "a @ frame 2.5", "found 'a @ frame 2.5'; " A_MARK},
    {"reference", "--reference", "20..10", "found '20..10'; " A_REFERENCE},
    {"reference", "--reference", "frame 3..9",
     "found 'frame 3..9'; " A_REFERENCE},
    {"reference", "--reference", "5", "found '5'; " A_REFERENCE},
    {"reference", "--reference", "5-15", "found '5-15'; " A_REFERENCE DOTS},
    {"reference", "--reference", "5 \u2013 15",
     "found '5 \u2013 15'; " A_REFERENCE DOTS},
    {"reference", "--reference", "5 mm..9 mm",
     "found '5 mm..9 mm'; " A_REFERENCE BOTH},
    {"reference", "--reference", "5,0..9,5",
     "found '5,0..9,5'; " A_REFERENCE POINT},
    {"case", "--case", "", "found nothing; expected text in UTF-8"},
    {"case", "--case", "a\tb", "found 'a?b'; expected text in UTF-8"},
    {"side", "--side", "middle", "found 'middle'; expected left or right"},
    {"reader", "--reader", "", "found nothing; expected text in UTF-8"},
    {"stage", "--stage", "during",
     "found 'during'; expected before, after or follow-up"},
};

static void check_refusal(const struct refusal *one) {
    char line[200];
    char expected[300];
    bl_message got = {0};
    findings said = {0};
    static notes to;
    (void)snprintf(line, sizeof line, "# %s = %s", one->key, one->value);
    (void)snprintf(expected, sizeof expected, "%s: %s", one->key, one->words);
    assert_int_equal(take(&to, line, false, &said, &got), BL_ERR_INPUT);
    assert_string_equal(got.text, expected);
    assert_int_equal(got.line, 7);
    /* Where the value begins: after "# ", the key and " = ". */
    assert_int_equal(got.column, strlen(one->key) + 6);
    assert_int_equal(to.origin[NOTE_SPEED], NOTE_UNSET);
    (void)snprintf(expected, sizeof expected, "%s: %s", one->option,
                   one->words);
    assert_int_equal(notes_set(&to, one->key, one->value, &got),
                     BL_ERR_ARGUMENT);
    assert_string_equal(got.text, expected);
    assert_int_equal(got.line, 0);
    notes_free(&to);
    findings_free(&said);
}

static void test_refusals(void **state) {
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        check_refusal(&refusals[i]);
    }
}

/* RFC 3629: overlong, surrogate, beyond U+10FFFF, cut short, stray. */
static void test_labels_are_utf8(void **state) {
    (void)state;
    static const char *const bad[] = {
        "\xc0\xaf", "\xed\xa0\x80", "\xf4\x90\x80\x80",
        "\xe2\x82", "\x80",         "\xff"};
    static const char *const good[] = {"\xc2\x80", "\xed\x9f\xbf",
                                       "\xf4\x8f\xbf\xbf", "\xe2\x82\xac"};
    static notes to;
    bl_message message = {0};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_int_equal(notes_set(&to, "case", bad[i], &message),
                         BL_ERR_ARGUMENT);
    }
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        set_well(&to, "case", good[i]);
        assert_string_equal(notes_label(&to, NOTE_CASE), good[i]);
        notes_free(&to);
    }
}

/* Single-valued keys, marks, known positions and references, given once too
 * often in a file. */
static void test_twice(void **state) {
    (void)state;
    static const struct {
        const char *text;
        uint64_t line;
        uint64_t column;
        const char *expected;
    } cases[] = {
        {"# side = left\n# side = left\n", 2, 10,
         "side is given twice, first on line 1; keep one"},
        {"# step_mm = 1\n#\n# Step_mm = 2\n", 3, 13,
         "step_mm is given twice, first on line 1; keep one"},
        {"# mark = a @ 1\n# mark = b @ 1\n# mark = a @ frame 2\n", 3, 10,
         "mark: 'a' is given twice; keep one or rename it"},
        {"# at = 3 = 1\n# at = 3 = 2\n", 2, 8,
         "at: frame 3 is given twice; keep one"},
        {"# reference = 1..2\n# reference = 3..4\n# reference = 5..6\n", 3, 15,
         "reference: a third one; give at most two, a cranial and a caudal "
         "one"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        table_refused(cases[i].text, BL_ERR_INPUT, cases[i].line,
                      cases[i].column, cases[i].expected);
    }
    static notes to;
    bl_message message = {0};
    set_well(&to, "side", "left");
    assert_int_equal(notes_set(&to, "side", "right", &message),
                     BL_ERR_ARGUMENT);
    assert_string_equal(message.text, "--side is given twice; keep one");
    notes_free(&to);
}

static void test_unknown_keys(void **state) {
    (void)state;
    static notes to;
    findings said = {0};
    bl_message message = {0};
    assert_int_equal(take(&to, "# no note at all", false, &said, &message),
                     BL_OK);
    assert_int_equal(take(&to, "#", false, &said, &message), BL_OK);
    assert_int_equal(said.count, 0);
    assert_int_equal(take(&to, "#  sped_mm_per_s = 1", false, &said, &message),
                     BL_OK);
    assert_int_equal(take(&to, "# colour = red", false, &said, &message),
                     BL_OK);
    assert_int_equal(said.count, 2);
    assert_string_equal(said.list[0].message.text,
                        "no note is called 'sped_mm_per_s', it is ignored; "
                        "did you mean 'speed_mm_per_s'?");
    assert_int_equal(said.list[0].message.line, 7);
    assert_int_equal(said.list[0].message.column, 4);
    assert_string_equal(said.list[1].message.text,
                        "no note is called 'colour', it is ignored; "
                        "docs/formats.md has the list");
    assert_int_equal(notes_set(&to, "refrence", "1..2", &message),
                     BL_ERR_ARGUMENT);
    assert_string_equal(message.text, "no note is called 'refrence'; did you "
                                      "mean 'reference'?");
    assert_int_equal(take(&to, "# side = left", true, &said, &message),
                     BL_ERR_INPUT);
    assert_string_equal(message.text, "the note 'side' comes after the table "
                                      "has begun; move it to the top");
    notes_free(&to);
    findings_free(&said);
}

/* As spreadsheets write a note: separators behind it, quotes around it. */
static void test_spreadsheet(void **state) {
    (void)state;
    static notes to;
    findings said = {0};
    bl_message message = {0};
    take_well(&to, "# step_mm = 0.5,,");
    take_well(&to, "# side = left ;; ;");
    take_well(&to, "\"# speed_mm_per_s = 0: 1.0, 60: 0.5\",,");
    take_well(&to, " \t\"# case = a, b\" ");
    check_close(to.step_mm, 0.5, 0.0, "mm");
    assert_int_equal(to.speed_count, 2);
    assert_string_equal(notes_label(&to, NOTE_SIDE), "left");
    assert_string_equal(notes_label(&to, NOTE_CASE), "a, b");
    assert_int_equal(
        take(&to, "\"# reader = \"\"me\"\"\"", false, &said, &message),
        BL_ERR_INPUT);
    assert_string_equal(message.text, "the note 'reader' stands in quotes and "
                                      "holds others; take them out");
    assert_int_equal(message.column, 13);
    assert_int_equal(take(&to, "# reader = ,,", false, &said, &message),
                     BL_ERR_INPUT);
    assert_string_equal(message.text,
                        "reader: found nothing; expected text in UTF-8");
    assert_int_equal(message.column, 12);
    assert_int_equal(said.count, 0);
    notes_free(&to);
    findings_free(&said);
}

/* Comments that read like notes, and comments. */
static void test_colons(void **state) {
    (void)state;
    static const struct {
        const char *line;
        const char *meant; /* NULL: nothing is said */
    } cases[] = {
        {"# speed: 1", "speed_mm_per_s"},
        {"# Frame rate: 30", "frame_rate_hz"},
        {"# side: left,,", "side"},
        {"# refernce: 1..2", "reference"},
        {"# note: whatever", NULL},
        {"# date: 10:30", NULL},
        {"# read on: nothing", NULL},
        {"# travel cranial", "travel"},
        {"# side left", "side"},
        {"#y_axis down", "y_axis"},
        {"# mm_per_px 0.02", "mm_per_px"},
        {"# mark inguinal_ligament @ 12", "mark"},
        {"# reference 5..15", "reference"},
        {"# speed_mm_per_s,1", "speed_mm_per_s"},
        {"# Frame rate; 30", "frame_rate_hz"},
        {"# travel; cranial;", "travel"},
        {"# reader of the case", NULL},
        {"# case 17", NULL},
        {"# at the confluence the wall is thin", NULL},
        {"# travel was slow", NULL},
        {"# side", NULL},
        {"# : 5", NULL},
        {"#:", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        static notes to;
        findings said = {0};
        bl_message message = {0};
        assert_int_equal(take(&to, cases[i].line, false, &said, &message),
                         BL_OK);
        assert_int_equal(said.count, cases[i].meant != NULL);
        if (said.count > 0) {
            assert_non_null(strstr(said.list[0].message.text, cases[i].meant));
        }
        notes_free(&to);
        findings_free(&said);
    }
}

/* A piece of one key only means that key, whatever is nearer by spelling. */
static void test_pieces_of_keys(void **state) {
    (void)state;
    static const char *const cases[][2] = {
        {"speed", "did you mean 'speed_mm_per_s'?"},
        {"rate", "did you mean 'frame_rate_hz'?"},
        {"Frame Rate", "did you mean 'frame_rate_hz'?"},
        {"axis", "did you mean 'y_axis'?"},
        {"step", "did you mean 'step_mm'?"},
        {"speed_mms", "did you mean 'speed_mm_per_s'?"},
        {"spead", "did you mean 'speed_mm_per_s'?"},
        {"mm_per", "did you mean 'mm_per_px'?"}, /* in four: by spelling */
        {"mm", "docs/formats.md has the list"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        static notes to;
        findings said = {0};
        bl_message message = {0};
        char line[64];
        (void)snprintf(line, sizeof line, "# %s = 1", cases[i][0]);
        assert_int_equal(take(&to, line, false, &said, &message), BL_OK);
        assert_int_equal(said.count, 1);
        assert_non_null(strstr(said.list[0].message.text, cases[i][1]));
        assert_int_equal(notes_set(&to, cases[i][0], "1", &message),
                         BL_ERR_ARGUMENT);
        assert_non_null(strstr(message.text, cases[i][1]));
        notes_free(&to);
        findings_free(&said);
    }
}

/* A key set from outside makes the file's void: bad or double ones too. */
static void test_options_win(void **state) {
    (void)state;
    static notes to;
    set_well(&to, "speed_mm_per_s", "2");
    set_well(&to, "at", "5 = 1");
    set_well(&to, "reference", "1..2");
    set_well(&to, "mark", "a @ 7");
    take_well(&to, "# speed_mm_per_s = 9");
    take_well(&to, "# speed_mm_per_s = nonsense");
    take_well(&to, "# at = 6 = 2");
    take_well(&to, "# reference = 3..4");
    take_well(&to, "# mark = a @ 3");
    take_well(&to, "# mark = b @ 4");
    take_well(&to, "# frame_rate_hz = 30");
    check_close(to.speeds[0].mm_per_s, 2.0, 0.0, "mm/s");
    assert_int_equal(to.at_count, 1);
    assert_int_equal(to.reference_count, 1);
    check_close(to.references[0].to.mm, 2.0, 0.0, "mm");
    assert_int_equal(to.mark_count, 2);
    check_close(to.marks[0].place.mm, 7.0, 0.0, "mm");
    assert_string_equal(to.marks[1].name, "b");
    check_close(to.frame_rate_hz, 30.0, 0.0, "Hz");
    notes_free(&to);
}

static void test_scales(void **state) {
    (void)state;
    static notes to;
    double x = 0.0;
    double y = 0.0;
    assert_false(notes_has_scale(&to));
    take_well(&to, "# mm_per_px_x = 2");
    assert_true(notes_has_scale(&to));
    assert_false(notes_scale(&to, &x, &y)); /* y is not known */
    take_well(&to, "# mm_per_px = 3");
    assert_true(notes_scale(&to, &x, &y)); /* the single one is nearer */
    check_close(x, 2.0, 0.0, "mm");
    check_close(y, 3.0, 0.0, "mm");
    notes_free(&to);
    set_well(&to, "mm_per_px", "5"); /* the file's single ones are void */
    take_well(&to, "# mm_per_px_x = 2");
    assert_true(notes_scale(&to, &x, &y));
    check_close(x, 5.0, 0.0, "mm");
    check_close(y, 5.0, 0.0, "mm");
    notes_free(&to);
}

/* A value, a schedule and known positions at their limit and one past it. */
static void test_limits(void **state) {
    (void)state;
    static notes to;
    static char value[16 * LIMIT_SCHEDULE];
    bl_message message = {0};
    for (size_t size = LIMIT_NOTE_BYTES; size <= LIMIT_NOTE_BYTES + 1; size++) {
        static char label[LIMIT_NOTE_BYTES + 2];
        memset(label, 'a', size);
        assert_int_equal(notes_set(&to, "case", label, &message),
                         size > LIMIT_NOTE_BYTES ? BL_ERR_LIMIT : BL_OK);
        notes_free(&to);
    }
    assert_string_equal(message.text,
                        "--case: longer than 4096 bytes; shorten it");
    for (int pieces = LIMIT_SCHEDULE; pieces <= LIMIT_SCHEDULE + 1; pieces++) {
        size_t at = 0;
        for (int i = 0; i < pieces; i++) {
            at += (size_t)snprintf(value + at, sizeof value - at, "%s%d:1",
                                   i > 0 ? "," : "", i);
        }
        assert_int_equal(notes_set(&to, "speed_mm_per_s", value, &message),
                         pieces > LIMIT_SCHEDULE ? BL_ERR_LIMIT : BL_OK);
        notes_free(&to);
    }
    assert_string_equal(message.text, "--speed: more than 256 pieces of a "
                                      "schedule; give at most 256");
    for (int i = 0; i <= LIMIT_MARKS; i++) {
        (void)snprintf(value, sizeof value, "%d = %d", i, i);
        assert_int_equal(notes_set(&to, "at", value, &message),
                         i == LIMIT_MARKS ? BL_ERR_LIMIT : BL_OK);
    }
    assert_string_equal(message.text, "--at: more than 256 known positions; "
                                      "give at most 256");
    notes_free(&to);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_schedule),
        cmocka_unit_test(test_words),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_refusals),
        cmocka_unit_test(test_labels_are_utf8),
        cmocka_unit_test(test_twice),
        cmocka_unit_test(test_unknown_keys),
        cmocka_unit_test(test_pieces_of_keys),
        cmocka_unit_test(test_spreadsheet),
        cmocka_unit_test(test_colons),
        cmocka_unit_test(test_options_win),
        cmocka_unit_test(test_scales),
        cmocka_unit_test(test_limits),
    };
    return cmocka_run_group_tests_name("notes", tests, NULL, NULL);
}
