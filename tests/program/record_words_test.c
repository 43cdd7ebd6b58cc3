/*
 * record_words_test.c - the words of a record tell the numbers of its JSON,
 * formatted here by the C library, and no others: every number in them is one
 * that another command prints.
 */
#include "support/recorded.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define WORDS_MOST 512
#define NUMBER_MOST 64

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

/* Not within another number, nor with another sign. */
static bool stands_alone(const char *words, const char *at) {
    bool number = *at == '-' || (*at >= '0' && *at <= '9');
    return !number || at == words || strchr("0123456789.-", at[-1]) == NULL;
}

static void must_say(const view *of, const char *words) {
    const char *at = strstr(of->words, words);
    while (at != NULL && !stands_alone(of->words, at)) {
        at = strstr(at + 1, words);
    }
    if (at == NULL) {
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

static void say_pullback(const view *of, const char *part) {
    static const phrase list[] = {
        {"#1 mm long, from ", ".pullback.length_mm", NULL},
        {"#0 of #0 frames used", ".input.frames_used", ".input.frames"},
        {"lowest as traced: #1 mm2 in frame #0",
         ".lowest_single_frame.area_mm2", ".lowest_single_frame.frame"},
    };
    assert_int_equal(say(of, part, list, COUNT(list)), COUNT(list));
    char words[WORDS_MOST];
    char path[WORDS_MOST];
    (void)snprintf(path, sizeof path, "%s.input.crc32", part);
    (void)snprintf(words, sizeof words, "CRC-32 %s.",
                   leaves_at(of->record, path)->value);
    must_say(of, words);
    (void)snprintf(words, sizeof words, "Program boreline %s",
                   leaves_at(of->record, "boreline")->value);
    must_say(of, words);
    must_say(of, leaves_at(of->record, "caution")->value);
}

/* Elements of each list that were held against words, of all samples: a list
 * that none has would be tested in name only. */
static struct {
    const char *name;
    size_t said;
} lists[] = {{"reference.segments", 0},
             {"narrowings", 0},
             {"compression_points", 0},
             {"veins", 0},
             {"gaps", 0},
             {"landing", 0},
             {"stretches", 0},
             {"devices", 0},
             {"what_if.devices", 0},
             {"device.unapposed", 0},
             {"edges", 0},
             {"untreated", 0}};

static size_t *said_of(const char *name) {
    for (size_t i = 0; i < COUNT(lists); i++) {
        if (strcmp(lists[i].name, name) == 0) {
            return &lists[i].said;
        }
    }
    fail_msg("no list %s", name);
    return NULL;
}

static int count_unsaid(void) {
    int unsaid = 0;
    for (size_t i = 0; i < COUNT(lists); i++) {
        if (lists[i].said == 0) {
            print_error("no sample has %s\n", lists[i].name);
            unsaid++;
        }
    }
    return unsaid;
}

/* Calls what tells of an element for each one of a list of a part. */
static void say_each(const view *of, const char *part, const char *list,
                     const phrase *phrases, size_t count,
                     void (*more)(const view *, const char *)) {
    char below[WORDS_MOST];
    double from;
    for (size_t i = 0;; i++) {
        (void)snprintf(below, sizeof below, "%s.%s[%zu]", part, list, i);
        if (!look_up(of, below, phrases[0].first, &from)) {
            break;
        }
        assert_in_range(say(of, below, phrases, count), 1, count);
        ++*said_of(list);
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

static void say_lists(const view *of, const char *part) {
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
    say_each(of, part, "reference.segments", segment, COUNT(segment), NULL);
    say_each(of, part, "narrowings", narrowing, COUNT(narrowing), NULL);
    say_each(of, part, "compression_points", compression, COUNT(compression),
             more_of_compression);
    say_each(of, part, "veins", vein, COUNT(vein), NULL);
    say_each(of, part, "gaps", gap, COUNT(gap), NULL);
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
    say_each(of, "plan", "landing", landing, COUNT(landing), NULL);
    say_each(of, "plan", "stretches", stretch, COUNT(stretch), NULL);
    say_each(of, "plan", "devices", device, COUNT(device), more_of_device);
    say_each(of, "plan", "what_if.devices", device, COUNT(device),
             more_of_device);
}

/* One pullback. */
static void say_part(const view *of, const char *part) {
    char path[WORDS_MOST];
    double pct;
    say_pullback(of, part);
    (void)snprintf(path, sizeof path, "%s.minimum", part);
    say_place(of, path);
    (void)snprintf(path, sizeof path, "%s.worst", part);
    if (look_up(of, path, ".area_stenosis_pct", &pct)) {
        say_place(of, path);
    }
    say_lists(of, part);
}

static void say_denominator(const view *of, const char *name) {
    char below[WORDS_MOST];
    static const phrase list[] = {
        {" at #1 mm, ", ".position_mm", NULL},
        {", #1 of #1 mm2", ".area_mm2", ".denominator_mm2"}};
    (void)snprintf(below, sizeof below, "comparison.residual_places.%s", name);
    (void)say(of, below, list, COUNT(list));
    (void)snprintf(below, sizeof below, ".%s", name);
    say_stenosis(of, "comparison.residual_area_stenosis_pct", "area stenosis",
                 below);
}

static void say_result(const view *of) {
    static const phrase waist[] = {
        {"#1 mm2 at #1 mm (frame ", ".min_area_mm2", ".position_mm"},
        {"diameter #2 mm least, #2 mm greatest", ".min_diameter_mm",
         ".max_diameter_mm"},
        {"#2 mm equivalent", ".equivalent_diameter_mm", NULL},
        {"rea stenosis #1 %", ".area_stenosis_pct", NULL},
        {" of #1 mm2 of the reference", ".before_reference_area_mm2", NULL}};
    static const phrase all[] = {
        {"east lumen area #1 to #1 mm2 (", ".before.min_area_mm2",
         ".after.min_area_mm2"},
        {"#1 mm2 of least area (", ".gain.area_mm2", NULL},
        {"#1 %)", ".gain.area_pct", NULL},
        {"#2 mm of minimum diameter", ".gain.min_diameter_mm", NULL},
        {"mean area #1 to #1 mm2", ".before.mean_area_mm2",
         ".after.mean_area_mm2"},
        {"#1 mm is added", ".shift_mm", NULL},
        {"reated: #1..#1 mm", ".treated.from_mm", ".treated.to_mm"},
        {"east lumen area #1 to #1 mm2, ", ".change.least_lumen_area.first_mm2",
         ".change.least_lumen_area.second_mm2"},
        {"(95 %: #1 to #1 %)", ".change.least_lumen_area.interval_pct[0]",
         ".change.least_lumen_area.interval_pct[1]"},
        {"(95 %: #1 to #1 %)", ".change.mean_lumen_area.interval_pct[0]",
         ".change.mean_lumen_area.interval_pct[1]"}};
    assert_in_range(say(of, "comparison.before", waist, COUNT(waist)), 3,
                    COUNT(waist));
    assert_in_range(say(of, "comparison.after", waist, COUNT(waist)), 3,
                    COUNT(waist));
    assert_in_range(say(of, "comparison", all, COUNT(all)), 8, COUNT(all));
    say_denominator(of, "before_reference");
    say_denominator(of, "after_reference");
    say_denominator(of, "nominal");
}

static void say_device(const view *of) {
    static const phrase device[] = {
        {"east area #1 mm2 at #1 mm, mean", ".min_area_mm2", ".position_mm"},
        {"mean #1 mm2.", ".mean_area_mm2", NULL},
        {"xpansion index #2 of the reference", ".expansion_index", NULL},
        {", #2 of that ", ".after_expansion_index", NULL},
        {"ominal expansion #1 % least, at #1 mm", ".nominal_expansion_pct",
         ".nominal_expansion_position_mm"},
        {", #1 % mean: device area", ".mean_nominal_expansion_pct", NULL},
        {"ymmetry index #2 greatest, at #1 mm", ".symmetry_index",
         ".symmetry_position_mm"},
        {", #2 mean: (max - min)", ".mean_symmetry_index", NULL},
        {"#1 % of its volume", ".tissue_inside_pct", NULL},
        {"#1 % of its area at most, at #1 mm", ".tissue_greatest_pct",
         ".tissue_greatest_position_mm"},
        {"ooked at in #0 frames over #1 mm", ".apposition.frames",
         ".apposition.length_mm"}};
    static const phrase unapposed[] = {
        {"#1..#1 mm, ", ".from_mm", ".to_mm"},
        {"gap up to #2 mm at #1 mm", ".max_gap_mm", ".max_gap_position_mm"},
        {"(frame #0), over an arc of up to #0 deg", ".max_gap_frame",
         ".widest_arc_deg"},
        {"between them up to #1 mm2, #0 mm3", ".max_area_between_mm2",
         ".volume_between_mm3"}};
    static const phrase edge[] = {
        {", #1..#1 mm: ", ".from_mm", ".to_mm"},
        {"area stenosis #1 %, #1 of ", ".area_stenosis_pct", ".area_mm2"},
        {"(#1 to #1 mm2 at ", ".loss_before_area_mm2", ".loss_after_area_mm2"}};
    static const phrase untreated[] = {
        {"#1..#1 mm: ", ".from_mm", ".to_mm"},
        {"area stenosis #1 %, #1 of ", ".area_stenosis_pct", ".area_mm2"}};
    assert_in_range(say(of, "comparison.device", device, COUNT(device)), 6,
                    COUNT(device));
    say_each(of, "comparison", "device.unapposed", unapposed, COUNT(unapposed),
             NULL);
    say_each(of, "comparison", "edges", edge, COUNT(edge), NULL);
    say_each(of, "comparison", "untreated", untreated, COUNT(untreated), NULL);
}

static void test_words_tell_the_numbers(void **state) {
    const recorded_sample *of = *state;
    char *json = recorded_record(of, "--json");
    char *text = recorded_record(of, "");
    char *plain = recorded_unwrapped(text);
    leaves record = leaves_of(json);
    view seen = {&record, plain};
    say_part(&seen, "before");
    say_plan(&seen);
    if (of->second != NULL) {
        say_part(&seen, "after");
        say_result(&seen);
        say_device(&seen);
    }
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
static bool is_interval(const leaves *record, const char *part,
                        const char *number) {
    bool is_end = false;
    for (int i = 0; i < 2; i++) {
        char path[WORDS_MOST];
        char end[NUMBER_MOST] = "";
        (void)snprintf(path, sizeof path,
                       "%s.minimum.area_stenosis_interval_pct[%d]", part, i);
        if (strcmp(leaves_at(record, path)->value, "null") != 0) {
            (void)snprintf(end, sizeof end, "%.1f",
                           leaves_number(record, path));
        }
        is_end = is_end || strcmp(end, number) == 0;
    }
    return is_end;
}

/* The two that the record makes itself of a pullback: how many narrowings, and
 * the share of frames that was left out. */
static bool is_made(const leaves *record, const char *part,
                    const char *number) {
    char count[NUMBER_MOST];
    char share[NUMBER_MOST];
    size_t narrowings = 0;
    char path[WORDS_MOST];
    do {
        (void)snprintf(path, sizeof path, "%s.narrowings[%zu].length_mm", part,
                       narrowings);
    } while (leaves_at(record, path) != NULL && ++narrowings > 0);
    (void)snprintf(path, sizeof path, "%s.input.frames", part);
    double frames = leaves_number(record, path);
    (void)snprintf(path, sizeof path, "%s.input.frames_used", part);
    double used = leaves_number(record, path);
    (void)snprintf(count, sizeof count, "%zu", narrowings);
    (void)snprintf(share, sizeof share, "%.1f",
                   100.0 * (frames - used) / frames);
    return strcmp(number, count) == 0 || strcmp(number, share) == 0;
}

static bool is_own(const leaves *record, const char *part, const char *number) {
    return is_interval(record, part, number) || is_made(record, part, number);
}

static bool begins_with(const char *words, const char *with) {
    return strncmp(words, with, strlen(with)) == 0;
}

/* The paragraphs that tell no number of the vein. */
static bool is_about_the_file(const char *paragraph) {
    return begins_with(paragraph, "Input. ") ||
           begins_with(paragraph, "Version. ");
}

/* All that the other commands print for it. */
static char *all_others(const recorded_sample *of) {
    char *parts[] = {recorded_assess(of, "", of->file), recorded_plan(of, ""),
                     of->second == NULL ? strdup("")
                                        : recorded_assess(of, "", of->second),
                     recorded_comparison(of, "")};
    char *all = calloc(COUNT(parts), RECORDED_OUTPUT);
    assert_non_null(all);
    size_t size = 0;
    for (size_t i = 0; i < COUNT(parts); i++) {
        size += (size_t)snprintf(all + size, RECORDED_OUTPUT, "%s\n", parts[i]);
        free(parts[i]);
    }
    return all;
}

static void test_no_number_is_the_record_s_own(void **state) {
    const recorded_sample *of = *state;
    char *json = recorded_record(of, "--json");
    char *others = all_others(of);
    leaves record = leaves_of(json);
    for (size_t i = 0; i < recorded_paragraph_count(&record); i++) {
        char words[RECORDED_PARAGRAPH];
        char number[NUMBER_MOST];
        const char *at = words;
        recorded_paragraph(&record, i, words);
        while (!is_about_the_file(words) && next_number(&at, number)) {
            if (!has_number(others, number) &&
                !is_own(&record, "before", number) &&
                (of->second == NULL || !is_own(&record, "after", number))) {
                print_error("no other command says %s: %s\n", number, words);
                fail();
            }
        }
    }
    leaves_free(&record);
    free(others);
    free(json);
}

int main(void) {
    static const recorded_check checks[] = {
        {"words tell the numbers", test_words_tell_the_numbers},
        {"no number is the record's own", test_no_number_is_the_record_s_own},
    };
    int failed = recorded_run("record in words", checks, COUNT(checks));
    return failed != 0 ? failed : count_unsaid();
}
