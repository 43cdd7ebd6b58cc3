/*
 * record_test.c - every number of a record is that of the command it comes
 * from: the program itself, run on the samples.
 *
 * JSON is held leaf by leaf against `assess --json` and `plan --json`; the
 * words are held against JSON, which this file formats by the C library, and
 * every number in them is looked for in what the other commands print.
 */
#include "support/check.h"
#include "support/leaves.h"
#include "support/wellformed.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#define OUTPUT_MOST (1 << 20)
#define COMMAND_MOST 2048
#define WORDS_MOST 512
#define PARAGRAPH_MOST 16384
#define NUMBER_MOST 64

typedef struct sample {
    const char *file;
    const char *assess; /* options that both take */
    const char *plan;   /* options of the plan, or NULL for none */
} sample;

static const sample samples[] = {
    {"short-flattening.csv", "", NULL},
    {"short-flattening.csv", "",
     "--stock samples/stock.csv --device 12x40@30 --device 14x40@55"},
    {"short-flattening.csv", "--reference none", NULL},
    {"short-flattening.csv", "--reference find --seed 7", "--treat 30..60"},
    {"short-flattening.csv", "--smooth 10", NULL},
    {"long-scar.txt", "", "--stock samples/stock.csv"},
    {"long-scar.txt", "--reference expected",
     "--stock samples/stock.csv --device 16x120@30 --device 14x160@135"},
    {"long-scar.txt", "--reference find --threshold 30", NULL},
    {"healthy.csv", "", "--stock samples/stock.csv"},
    {"pitfall-taper.csv", "--reference-rule cranial", NULL},
    {"pitfall-oblique.csv", "", NULL},
    {"pitfall-ripple.csv", "--steady", NULL},
    {"pitfall-ripple.csv", "--area-cv 8", NULL},
    {"pitfall-single-frame.csv", "--smooth 0", NULL},
    {"pitfall-reference.csv", "--speed-cv 30", NULL},
};

#define SAMPLE_COUNT (sizeof samples / sizeof samples[0])

/* What a command prints, to be freed; the test fails unless it ends well. */
static char *output_of(const char *command, const char *options,
                       const char *more, const sample *of) {
    char line[COMMAND_MOST];
    const char *build = getenv("BUILD");
    (void)snprintf(line, sizeof line,
                   "%s/boreline %s %s %s %s samples/%s 2>/dev/null",
                   build == NULL ? "build" : build, command, options, more,
                   of->assess, of->file);
    FILE *from = popen(line, "r");
    assert_non_null(from);
    char *bytes = calloc(1, OUTPUT_MOST);
    assert_non_null(bytes);
    size_t size = fread(bytes, 1, OUTPUT_MOST - 1, from);
    assert_true(size < OUTPUT_MOST - 1);
    int status = pclose(from);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        print_error("status %d: %s\n", status, line);
        fail();
    }
    return bytes;
}

static const char *plan_of(const sample *of) {
    return of->plan != NULL ? of->plan : "";
}

/* --------------------------------------------------------------------- JSON */

static int begins_with(const char *words, const char *with) {
    return strncmp(words, with, strlen(with)) == 0;
}

static int is_left_out(const char *path, const char *const *list) {
    while (*list != NULL && !begins_with(path, *list)) {
        list++;
    }
    return *list != NULL;
}

static void must_be(const leaves *of, const char *path, const leaf *other) {
    const leaf *found = leaves_at(of, path);
    if (found == NULL || strcmp(found->value, other->value) != 0) {
        print_error("%s: is %s, should be %s\n", path,
                    found == NULL ? "nothing" : found->value, other->value);
        fail();
    }
}

/* What a command says stands below `below` in the record, and nothing else
 * does; but for what begins with one of those left out. */
static void hold_below(const leaves *record, const char *below,
                       const leaves *command, const char *const *left_out) {
    size_t held = 0;
    for (size_t i = 0; i < command->count; i++) {
        const leaf *one = &command->list[i];
        char path[COMMAND_MOST];
        (void)snprintf(path, sizeof path, "%s.%s", below, one->path);
        if (!is_left_out(one->path, left_out)) {
            must_be(record, path, one);
            held++;
        }
    }
    size_t size = strlen(below) + 1;
    for (size_t i = 0; i < record->count; i++) {
        const leaf *one = &record->list[i];
        if (begins_with(one->path, below) && one->path[size - 1] == '.' &&
            !is_left_out(one->path + size, left_out)) {
            must_be(command, one->path + size, one);
        }
    }
    assert_true(held > 20);
}

/* The plan's warnings come before those of its assessment, which the record
 * tells elsewhere. */
static void hold_warnings(const leaves *record, const leaves *plan) {
    size_t own = 0;
    size_t all = 0;
    for (size_t i = 0; i < record->count; i++) {
        const leaf *one = &record->list[i];
        if (begins_with(one->path, "plan.warnings[")) {
            must_be(plan, one->path + strlen("plan."), one);
            own++;
        }
        all += (size_t)begins_with(one->path, "before.warnings[");
    }
    all += own;
    for (size_t i = 0; i < plan->count; i++) {
        all -= (size_t)begins_with(plan->list[i].path, "warnings[");
    }
    assert_int_equal(all, 0);
}

static void test_json_is_that_of_the_commands(void **state) {
    const sample *of = *state;
    static const char *const by_both[] = {"boreline", "caution",
                                          "input.options", NULL};
    static const char *const by_plan[] = {"boreline", "caution",   "input",
                                          "pullback", "reference", "narrowings",
                                          "warnings", NULL};
    char *written = output_of("record", "--format json", plan_of(of), of);
    char *assessed = output_of("assess", "--json", "", of);
    leaves record = leaves_of(written);
    leaves assess = leaves_of(assessed);
    hold_below(&record, "before", &assess, by_both);
    if (of->plan == NULL) {
        assert_string_equal(leaves_at(&record, "plan")->value, "null");
    } else {
        char *planned = output_of("plan", "--json", of->plan, of);
        leaves plan = leaves_of(planned);
        hold_below(&record, "plan", &plan, by_plan);
        hold_warnings(&record, &plan);
        leaves_free(&plan);
        free(planned);
    }
    leaves_free(&record);
    leaves_free(&assess);
    free(written);
    free(assessed);
}

/* -------------------------------------------------------- three forms, one */

/* The words of a paragraph as text shows it: about, a full stop, sentences. */
static void paragraph_of(const leaves *record, size_t index,
                         char to[PARAGRAPH_MOST]) {
    char path[64];
    (void)snprintf(path, sizeof path, "words[%zu].about", index);
    const leaf *about = leaves_at(record, path);
    (void)snprintf(path, sizeof path, "words[%zu].text", index);
    const leaf *words = leaves_at(record, path);
    assert_true(about != NULL && words != NULL);
    int size =
        snprintf(to, PARAGRAPH_MOST, "%s. %s", about->value, words->value);
    assert_in_range(size, 1, PARAGRAPH_MOST - 1);
    to[0] = (char)(to[0] - 'a' + 'A');
}

static size_t paragraph_count(const leaves *record) {
    char path[64];
    size_t count = 0;
    do {
        (void)snprintf(path, sizeof path, "words[%zu].text", count);
    } while (leaves_at(record, path) != NULL && ++count > 0);
    return count;
}

/* Paragraphs of text, each in one line. */
static char *unwrapped(const char *text) {
    char *out = strdup(text);
    assert_non_null(out);
    for (char *at = out; *at != '\0'; at++) {
        bool ends = at[0] == '\n' && (at[1] == '\n' || at[1] == '\0');
        bool begins = at > out && at[0] == '\n' && at[-1] == '\n';
        *at = (char)(*at == '\n' && !ends && !begins ? ' ' : *at);
    }
    return out;
}

/* Markdown without its marks: bold, titles and backslashes. */
static char *unmarked(const char *markdown) {
    char *out = calloc(1, strlen(markdown) + 1);
    size_t size = 0;
    bool at_start = true;
    assert_non_null(out);
    for (const char *at = markdown; *at != '\0'; at++) {
        bool mark = *at == '*' || (at_start && (*at == '#' || *at == ' '));
        at_start = *at == '\n' || (at_start && mark);
        at += *at == '\\';
        if (!mark) {
            out[size++] = *at;
        }
    }
    return out;
}

static void test_the_three_forms_say_the_same(void **state) {
    const sample *of = *state;
    char *json = output_of("record", "--format json", plan_of(of), of);
    char *text = output_of("record", "--format text", plan_of(of), of);
    char *markdown = output_of("record", "--format md", plan_of(of), of);
    char *plain = unwrapped(text);
    char *bare = unmarked(markdown);
    leaves record = leaves_of(json);
    assert_string_equal(plain, bare);
    assert_true(wellformed_markdown(markdown, strlen(markdown)));
    const char *from = plain;
    for (size_t i = 0; i < paragraph_count(&record); i++) {
        char one[PARAGRAPH_MOST + 2] = "\n";
        paragraph_of(&record, i, one + 1);
        from = strstr(from, one);
        assert_non_null(from);
    }
    leaves_free(&record);
    free(bare);
    free(plain);
    free(markdown);
    free(text);
    free(json);
}

/* A line is longer only where a word is. */
static void test_text_keeps_its_width(void **state) {
    char *text = output_of("record", "", plan_of(*state), *state);
    for (char *at = text; *at != '\0'; at += strcspn(at, "\n") + 1) {
        assert_in_range(strcspn(at, "\n"), 0, 80);
    }
    free(text);
}

/* ------------------------------------------------------- words against JSON */

typedef struct view {
    const leaves *record;
    const char *words; /* of the text, each paragraph in one line */
} view;

/* How one number, or two, are told, which are members of one object: "#1" is
 * the next with one decimal, "#g" in the fewest. */
typedef struct phrase {
    const char *format;
    const char *first;
    const char *second; /* NULL: one number */
} phrase;

static void must_say(const view *of, const char *words) {
    if (strstr(of->words, words) == NULL) {
        print_error("the record does not say: %s\n", words);
        fail();
    }
}

/* A number at below + name; false where it is null or there is none. */
static bool look_up(const view *of, const char *below, const char *name,
                    double *out) {
    char path[WORDS_MOST];
    (void)snprintf(path, sizeof path, "%s%s", below, name);
    const leaf *at = leaves_at(of->record, path);
    if (at == NULL || strcmp(at->value, "null") == 0) {
        return false;
    }
    *out = leaves_number(of->record, path);
    return true;
}

static void fill_in(const char *format, double first, double second,
                    char to[WORDS_MOST]) {
    size_t size = 0;
    for (const char *at = format; *at != '\0'; at++) {
        assert_true(size + NUMBER_MOST < WORDS_MOST);
        if (*at != '#') {
            to[size++] = *at;
            continue;
        }
        at++;
        size +=
            (size_t)(*at == 'g' ? snprintf(to + size, NUMBER_MOST, "%g", first)
                                : snprintf(to + size, NUMBER_MOST, "%.*f",
                                           *at - '0', first));
        first = second;
    }
    to[size] = '\0';
}

/* Says each of the phrases whose numbers are known; how many these are. */
static size_t say(const view *of, const char *below, const phrase *list,
                  size_t count) {
    size_t said = 0;
    for (size_t i = 0; i < count; i++) {
        char words[WORDS_MOST];
        double first = 0.0;
        double second = 0.0;
        if (look_up(of, below, list[i].first, &first) &&
            (list[i].second == NULL ||
             look_up(of, below, list[i].second, &second))) {
            fill_in(list[i].format, first, second, words);
            must_say(of, words);
            said++;
        }
    }
    return said;
}

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

/* What lies above the reference is no stenosis, and is not called one. */
static void say_stenosis(const view *of, const char *below, const char *kind,
                         const char *name) {
    char words[WORDS_MOST];
    double pct;
    if (look_up(of, below, name, &pct)) {
        bool above = pct < -0.05;
        (void)snprintf(words, sizeof words, "%s%s %s%.1f %%%s",
                       above ? "no " : "", kind, above ? "(" : "",
                       above ? -pct : pct,
                       above ? " above the reference)" : "");
        must_say(of, words);
    }
}

static void say_place(const view *of, const char *below) {
    static const phrase list[] = {
        {"#1 mm2", ".area_mm2", NULL},
        {" at #1 mm, frame #0", ".position_mm", ".frame"},
        {"Diameter #2 mm least, #2 mm greatest", ".min_diameter_mm",
         ".max_diameter_mm"},
        {"#2 mm equivalent", ".equivalent_diameter_mm", NULL},
        {"Against #1 mm2", ".reference_area_mm2", NULL},
        {"#0 % of normal", ".share_of_normal_pct", NULL},
        {"(95 % interval #1 to #1 mm2)", ".area_interval_mm2[0]",
         ".area_interval_mm2[1]"},
        {", corrected #1 %)", ".area_stenosis_corrected_pct", NULL},
    };
    assert_in_range(say(of, below, list, COUNT(list)), 4, COUNT(list));
    say_stenosis(of, below, "area stenosis", ".area_stenosis_pct");
    say_stenosis(of, below, "diameter stenosis", ".diameter_stenosis_pct");
    say_stenosis(of, below, "minimum-diameter stenosis",
                 ".min_diameter_stenosis_pct");
}

static void say_pullback(const view *of) {
    static const phrase list[] = {
        {"#1 mm long, from ", ".pullback.length_mm", NULL},
        {"#0 of #0 frames used", ".input.frames_used", ".input.frames"},
        {"lowest as traced: #1 mm2 in frame #0",
         ".lowest_single_frame.area_mm2", ".lowest_single_frame.frame"},
    };
    assert_int_equal(say(of, "before", list, COUNT(list)), COUNT(list));
    char words[WORDS_MOST];
    (void)snprintf(words, sizeof words, "CRC-32 %s.",
                   leaves_at(of->record, "before.input.crc32")->value);
    must_say(of, words);
    (void)snprintf(words, sizeof words, "Program boreline %s",
                   leaves_at(of->record, "boreline")->value);
    must_say(of, words);
    must_say(of, leaves_at(of->record, "caution")->value);
}

/* Calls what tells of an element for each one of a list. */
static void say_each(const view *of, const char *list, const phrase *phrases,
                     size_t count, void (*more)(const view *, const char *)) {
    char below[WORDS_MOST];
    double from;
    for (size_t i = 0;; i++) {
        (void)snprintf(below, sizeof below, "%s[%zu]", list, i);
        if (!look_up(of, below, phrases[0].first, &from)) {
            break;
        }
        assert_in_range(say(of, below, phrases, count), 1, count);
        if (more != NULL) {
            more(of, below);
        }
    }
}

static void more_of_compression(const view *of, const char *below) {
    say_stenosis(of, below, "area stenosis", ".area_stenosis_pct");
}

static void more_of_device(const view *of, const char *below) {
    char words[WORDS_MOST];
    double mm;
    if (look_up(of, below, ".oversize_mm", &mm)) {
        double shown = mm > -0.05 && mm < 0.0 ? 0.0 : mm;
        (void)snprintf(words, sizeof words, "oversize %s%.1f mm",
                       mm >= 0.05 ? "+" : "", shown);
        must_say(of, words);
    }
}

static void say_lists(const view *of) {
    static const phrase segment[] = {
        {"al #1..#1 mm: ", ".from_mm", ".to_mm"},
        {"#1 mm2, equivalent diameter #2 mm", ".area_mm2",
         ".equivalent_diameter_mm"},
        {"#0 % of normal", ".share_of_normal_pct", NULL}};
    static const phrase narrowing[] = {
        {"#1..#1 mm: ", ".from_mm", ".to_mm"},
        {" mm: #1 mm long", ".length_mm", NULL},
        {"(95 % interval #1 to #1 mm)", ".length_interval_mm[0]",
         ".length_interval_mm[1]"},
        {"shoulders #1..#1 mm", ".shoulder_from_mm", ".shoulder_to_mm"},
        {"between them #1 to #1 mm)", ".shoulders_interval_mm[0]",
         ".shoulders_interval_mm[1]"},
        {"east area #1 mm2", ".min_area_mm2", NULL},
        {"(95 % interval #1 to #1 mm2)", ".min_area_interval_mm2[0]",
         ".min_area_interval_mm2[1]"},
        {"area stenosis #1 %", ".area_stenosis_pct", NULL},
        {" at #1 mm; ", ".worst_position_mm", NULL},
        {"(flattening share #2)", ".flattening_share", NULL}};
    static const phrase compression[] = {
        {"oint at #1 mm", ".position_mm", NULL},
        {"#2 x #2 mm", ".min_diameter_mm", ".max_diameter_mm"},
        {"(aspect ratio #2)", ".aspect_ratio", NULL},
        {"#0 %, long axis #0 deg", ".perimeter_kept_pct", ".long_axis_deg"}};
    static const phrase vein[] = {{" #1..#1 mm", ".from_mm", ".to_mm"},
                                  {": least area #1 mm2 at #1 mm",
                                   ".minimum.area_mm2", ".minimum.position_mm"},
                                  {"narrowed over #1 mm; #0 compression point",
                                   ".narrowed_mm", ".compression_points"}};
    static const phrase gap[] = {{"#1..#1 mm", ".from_mm", ".to_mm"}};
    say_each(of, "before.reference.segments", segment, COUNT(segment), NULL);
    say_each(of, "before.narrowings", narrowing, COUNT(narrowing), NULL);
    say_each(of, "before.compression_points", compression, COUNT(compression),
             more_of_compression);
    say_each(of, "before.veins", vein, COUNT(vein), NULL);
    say_each(of, "before.gaps", gap, COUNT(gap), NULL);
}

static void say_plan(const view *of) {
    static const phrase landing[] = {{"al at #1 mm", ".position_mm", NULL}};
    static const phrase stretch[] = {
        {"reated: #1..#1 mm, ", ".from_mm", ".to_mm"},
        {"#1 mm between the landing points", ".cover_mm", NULL},
        {"(95 %: #1 to #1 mm)", ".cover_interval_mm[0]",
         ".cover_interval_mm[1]"}};
    static const phrase device[] = {
        {": #g x #g mm, ", ".diameter_mm", ".length_mm"},
        {" mm, #1..#1 mm, balloon ", ".from_mm", ".to_mm"},
        {"balloon #g mm, reference there #2 mm", ".balloon_mm",
         ".reference_diameter_mm"}};
    say_each(of, "plan.landing", landing, COUNT(landing), NULL);
    say_each(of, "plan.stretches", stretch, COUNT(stretch), NULL);
    say_each(of, "plan.devices", device, COUNT(device), more_of_device);
    say_each(of, "plan.what_if.devices", device, COUNT(device), more_of_device);
}

static void test_words_tell_the_numbers(void **state) {
    const sample *of = *state;
    char *json = output_of("record", "--json", plan_of(of), of);
    char *text = output_of("record", "", plan_of(of), of);
    char *plain = unwrapped(text);
    leaves record = leaves_of(json);
    view seen = {&record, plain};
    say_pullback(&seen);
    say_place(&seen, "before.minimum");
    if (strcmp(leaves_at(&record, "before.worst.area_stenosis_pct")->value,
               "null") != 0) {
        say_place(&seen, "before.worst");
    }
    say_lists(&seen);
    say_plan(&seen);
    leaves_free(&record);
    free(plain);
    free(text);
    free(json);
}

/* --------------------------------------------- words against other commands */

/* Takes the next number from *at: digits, or digits, a point and digits. */
static bool next_number(const char **at, char to[NUMBER_MOST]) {
    static const char digits[] = "0123456789";
    const char *from = *at + strcspn(*at, digits);
    size_t size = strspn(from, digits);
    if (from[size] == '.' && strspn(from + size + 1, digits) > 0) {
        size += 1 + strspn(from + size + 1, digits);
    }
    (void)snprintf(to, NUMBER_MOST, "%.*s", (int)size, from);
    *at = from + size;
    return size > 0;
}

static bool has_number(const char *text, const char *number) {
    char one[NUMBER_MOST];
    bool found = false;
    while (!found && next_number(&text, one)) {
        found = strcmp(one, number) == 0;
    }
    return found;
}

/* Whether it is an end of the interval of the stenosis at least area, which of
 * assess only JSON tells where the worst place is elsewhere. */
static bool is_interval(const leaves *record, const char *number) {
    static const char *const ends[] = {
        "before.minimum.area_stenosis_interval_pct[0]",
        "before.minimum.area_stenosis_interval_pct[1]"};
    bool is_end = false;
    for (size_t i = 0; i < COUNT(ends); i++) {
        char end[NUMBER_MOST] = "";
        if (strcmp(leaves_at(record, ends[i])->value, "null") != 0) {
            (void)snprintf(end, sizeof end, "%.1f",
                           leaves_number(record, ends[i]));
        }
        is_end = is_end || strcmp(end, number) == 0;
    }
    return is_end;
}

/* The two that the record makes itself: how many narrowings, and the share of
 * frames that was left out. */
static bool is_own(const leaves *record, const char *number) {
    char count[NUMBER_MOST];
    char share[NUMBER_MOST];
    size_t narrowings = 0;
    char path[64];
    do {
        (void)snprintf(path, sizeof path, "before.narrowings[%zu].length_mm",
                       narrowings);
    } while (leaves_at(record, path) != NULL && ++narrowings > 0);
    double frames = leaves_number(record, "before.input.frames");
    double used = leaves_number(record, "before.input.frames_used");
    (void)snprintf(count, sizeof count, "%zu", narrowings);
    (void)snprintf(share, sizeof share, "%.1f",
                   100.0 * (frames - used) / frames);
    return strcmp(number, count) == 0 || strcmp(number, share) == 0;
}

/* The paragraphs that tell no number of the vein. */
static bool is_about_the_file(const char *paragraph) {
    return begins_with(paragraph, "Input. ") ||
           begins_with(paragraph, "Version. ");
}

static void test_no_number_is_the_record_s_own(void **state) {
    const sample *of = *state;
    char *json = output_of("record", "--json", plan_of(of), of);
    char *assessed = output_of("assess", "", "", of);
    char *planned =
        of->plan != NULL ? output_of("plan", "", of->plan, of) : strdup("");
    leaves record = leaves_of(json);
    for (size_t i = 0; i < paragraph_count(&record); i++) {
        char words[PARAGRAPH_MOST];
        char number[NUMBER_MOST];
        const char *at = words;
        paragraph_of(&record, i, words);
        while (!is_about_the_file(words) && next_number(&at, number)) {
            if (!has_number(assessed, number) && !has_number(planned, number) &&
                !is_interval(&record, number) && !is_own(&record, number)) {
                print_error("no other command says %s: %s\n", number, words);
                fail();
            }
        }
    }
    leaves_free(&record);
    free(planned);
    free(assessed);
    free(json);
}

/* Each test on each sample. */
int main(void) {
    static const struct {
        const char *name;
        CMUnitTestFunction run;
    } checks[] = {
        {"JSON is that of the commands", test_json_is_that_of_the_commands},
        {"the three forms say the same", test_the_three_forms_say_the_same},
        {"text keeps its width", test_text_keeps_its_width},
        {"words tell the numbers", test_words_tell_the_numbers},
        {"no number is the record's own", test_no_number_is_the_record_s_own},
    };
    static struct CMUnitTest tests[COUNT(checks) * SAMPLE_COUNT];
    static sample held[SAMPLE_COUNT];
    for (size_t i = 0; i < COUNT(tests); i++) {
        held[i % SAMPLE_COUNT] = samples[i % SAMPLE_COUNT];
        tests[i] = (struct CMUnitTest){checks[i / SAMPLE_COUNT].name,
                                       checks[i / SAMPLE_COUNT].run, NULL, NULL,
                                       &held[i % SAMPLE_COUNT]};
    }
    return _cmocka_run_group_tests("record", tests, COUNT(tests), NULL, NULL);
}
