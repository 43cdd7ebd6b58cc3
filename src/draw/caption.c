/*
 * caption.c - title above and caption below: what was measured, against what,
 * and how far it may be believed.
 */
#include "draw/plan_caption.h"

#include "base/digit.h"
#include "base/origin.h"
#include "base/place.h"
#include "draw/advance.h"

#include <math.h>
#include <string.h>

#define NBSP "\xC2\xA0"
#define LINES_MOST 9
/* Of them so many say what was found, where numbered marks need some too. */
#define FACTS_LINES ((size_t)2)
#define SOURCE_LINES_MOST 3
#define CAUTION_LINES_MOST 2
#define LINES_LEAST (LAST_LINES_MOST + 2)
#define MARKS_LINES_MOST ((size_t)3)
#define LAST_LINES_MOST (SOURCE_LINES_MOST + CAUTION_LINES_MOST)
/* The file's name takes no more of a line than this. */
#define FILE_SHARE 0.5
/* The caption takes no more of the page than this; on a low page that has much
 * else less. */
#define SHARE_MOST 0.30
#define CROWDED_SHARE_MOST 0.24

/* Side and stage are not cut: a name too long for `room` gives way. */
static const char *title_within(page *on, double room) {
    const bl_pullback *of = on->scene->pullback;
    const char *name =
        of->case_name[0] != '\0' ? of->case_name : on->scene->source->file;
    const char *parts[] = {of->side, of->stage};
    text tail = {0};
    for (unsigned i = 0; i < 2; i++) {
        text_add(&tail, parts[i][0] != '\0' ? ", " : "");
        text_add(&tail, parts[i]);
    }
    const char *rest = page_keep(on, &tail);
    text words = {0};
    text_add(&words,
             page_fit(on, name, room - advance_of(rest, on->em, true), true));
    text_add(&words, rest);
    return page_keep(on, &words);
}

const char *caption_title(page *on) {
    return title_within(on, HUGE_VAL);
}

/* ", 37 % of normal" where it is known. */
static void add_share(text *to, double share_pct) {
    if (!isnan(share_pct)) {
        text_add(to, ", ");
        text_fixed(to, share_pct, 0);
        text_add(to, " % of normal");
    }
}

/* What is expected steps in the picture; here stands how much it is. */
static void say_expected(page *on, text *to) {
    const bl_assessment *of = on->scene->assessment;
    text_add(to, "Reference expected of each vein, not found in this one: ");
    for (size_t i = 0; i < on->vein_count; i++) {
        bl_vein vein = on->veins[i].vein;
        double area = bl_normals_area_mm2(of->options.expected, vein,
                                          on->scene->pullback->side);
        text_add(to, i > 0 ? "; " : "");
        text_add(to,
                 vein == BL_VEIN_UNKNOWN ? "unknown vein" : bl_vein_name(vein));
        text_add(to, " ");
        text_fixed(to, area, 1);
        text_add(to, isnan(area) ? "none" : " mm\xC2\xB2");
    }
    text_add(to, ". ");
}

/* Whose normals are drawn, once. */
static void say_normals(page *on, text *to) {
    const bl_assessment *of = on->scene->assessment;
    for (size_t i = 0; i < of->profile_count; i++) {
        if (!isnan(of->profile[i].normal_area_mm2)) {
            text_add(to, of->options.expected == NULL
                             ? "Normal: normal minimal area, "
                             : "Normal: ");
            text_add(to, bl_normals_source(of->options.expected));
            text_add(to, ". ");
            break;
        }
    }
}

/* Whether marks tell of all that do not serve the worst place that they lie in
 * another vein. */
static bool rest_elsewhere(const bl_assessment *of) {
    bool told = of->worst.vein != BL_VEIN_UNKNOWN;
    for (size_t i = 0; i < of->segment_count; i++) {
        const bl_segment *one = &of->segments[i];
        told = told && (one->serves_worst || (one->vein != BL_VEIN_UNKNOWN &&
                                              one->vein != of->worst.vein));
    }
    return told;
}

static void say_reference(page *on, text *to) {
    const bl_assessment *of = on->scene->assessment;
    if (of->reference_from == BL_FROM_NOTHING) {
        text_add(to, "No reference: nothing is called narrowed. ");
        return;
    }
    if (of->reference_from == BL_FROM_EXPECTED) {
        say_expected(on, to);
        return;
    }
    text_add(to, of->reference_from == BL_FROM_GIVEN
                     ? "Reference given: "
                     : "Reference found by search: ");
    size_t said = 0;
    for (size_t i = 0; i < of->segment_count; i++) {
        if (!of->segments[i].serves_worst) {
            continue;
        }
        text_add(to, said++ > 0 ? "; " : "");
        text_add(to, bl_end_name(of->segments[i].where));
        text_add(to, " ");
        caption_span(to, of->segments[i].span);
        text_add(to, ", ");
        text_fixed(to, of->segments[i].area_mm2, 1);
        text_add(to, " mm\xC2\xB2");
        add_share(to, of->segments[i].share_of_normal_pct);
    }
    if (said < of->segment_count) {
        text_format(to, "; %zu more %s", of->segment_count - said,
                    rest_elsewhere(of) ? "in other veins" : "elsewhere");
    }
    if (said == 2) {
        text_add(to, "; rule ");
        text_add(to, bl_rule_name(of->options.rule));
    }
    text_add(to, ". ");
}

/* What speaks against a place follows it. */
static void say_place(text *to, const bl_place *place) {
    text_add(to, " at ");
    text_fixed(to, place->position_mm, 1);
    text_add(to, " mm. ");
    if (place_is_doubted(place)) {
        text_add(to, "Doubtful: ");
        place_doubt_words(to, place);
        text_add(to, ". ");
    }
}

static void say_minimum(text *to, const bl_assessment *of) {
    text_add(to, "Least area ");
    text_fixed(to, of->minimum.area_mm2, 1);
    text_add(to, " mm\xC2\xB2");
    add_share(to, of->minimum.share_of_normal_pct);
    say_place(to, &of->minimum);
}

/* What it is the worst of comes first, where that is not all of the vein. */
static void say_worst(text *to, const bl_assessment *of) {
    bool exceeds = place_exceeds(&of->worst);
    bool in_part = place_judged_in_part(of);
    text_add(to, exceeds ? "No frame lies below the reference" : "");
    if (in_part) {
        text_add(to, exceeds ? ", of " : "Of ");
        place_judged_words(to, of);
    }
    text_add(to, exceeds   ? ": least excess of area "
                 : in_part ? ": greatest area stenosis "
                           : "Greatest area stenosis ");
    text_fixed(to, fabs(of->worst.area_stenosis_pct), 1);
    text_add(to, " % (");
    text_fixed(to, of->worst.area_mm2, 1);
    text_add(to, exceeds ? " against " : " of ");
    text_fixed(to, of->worst.reference_area_mm2, 1);
    text_add(to, " mm\xC2\xB2");
    add_share(to, of->worst.share_of_normal_pct);
    text_add(to, ")");
    say_place(to, &of->worst);
}

static void say_narrowed(text *to, const bl_assessment *of) {
    text_add(to, "Narrowed: area stenosis of ");
    text_short(to, of->options.threshold_pct, 2);
    text_add(to, " % or more, shoulders to ");
    text_short(to, of->options.shoulder_pct, 2);
    text_add(to, " %. ");
    bool open = false;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        open = open || of->narrowings[i].span_open_from ||
               of->narrowings[i].span_open_to;
    }
    text_add(to, open ? "At least: it runs into a gap, an end or vein that was "
                        "not judged, and may be longer. "
                      : "");
}

/* The picture has no room for them, and must not look as if there were none. */
static void say_warnings(const page *on, text *to) {
    size_t count = on->scene->assessment->warning_count;
    count += on->scene->plan != NULL ? on->scene->plan->warning_count : 0;
    if (count > 0) {
        text_format(to, "%zu warning%s: see the report. ", count,
                    count == 1 ? "" : "s");
    }
}

/* What was found, most needed first: a small page cuts the end. */
static void say_findings(page *on, text *to) {
    const bl_assessment *of = on->scene->assessment;
    if (!page_has_reference(on)) {
        say_reference(on, to);
        say_minimum(to, of);
        return;
    }
    say_worst(to, of);
    say_reference(on, to);
    say_narrowed(to, of);
    if (of->minimum.row != of->worst.row) {
        say_minimum(to, of);
    }
}

/* Outlined in the row of stretches. */
static void say_runner_up(text *to, const bl_assessment *of) {
    const bl_runner_up *next = of->runner_up;
    if (next != NULL) {
        text_add(to, "Outlined: runner-up stretches, under which the greatest "
                     "area stenosis is ");
        text_fixed(to, next->worst.area_stenosis_pct, 1);
        text_add(to, NBSP "%. ");
    }
    if (of->call_depends) {
        text_add(to, "The call depends on the reference: a narrowing under one "
                     "rule or stretch, none under another. ");
    }
}

/* Where a row had no room for all its labels: what is drawn all the same. */
static void say_unlabelled(text *to, const page_lane *lane, const char *what) {
    if (lane->left_out > 0) {
        text_format(to, "%zu %s have no room for a label. ", lane->left_out,
                    what);
    }
}

void caption_span(text *to, bl_span span) {
    text_fixed(to, span.from_mm, 1);
    /* A dash before a minus sign would be read as one. */
    text_add(to, span.to_mm < 0.0 ? " to " : "\xE2\x80\x93");
    text_fixed(to, span.to_mm, 1);
    text_add(to, " mm");
}

const char *caption_keep(page *on, text *words) {
    text kept = {0};
    const char *at = text_c(words);
    for (bool digit = false; *at != '\0'; at++) {
        bool unit = strncmp(at, " mm", 3) == 0 || strncmp(at, " %", 2) == 0 ||
                    strncmp(at, " frames/s", 9) == 0;
        if (digit && unit) {
            text_add(&kept, NBSP);
        } else {
            text_bytes(&kept, at, 1);
        }
        digit = digit_is(*at);
    }
    kept.failed = kept.failed || words->failed;
    text_free(words);
    return page_keep(on, &kept);
}

const char *caption_file(page *on, const char *file, double room) {
    const char *last = strrchr(file, '/');
    if (page_advance(on, file) <= room || last == NULL) {
        return page_fit(on, file, room, false);
    }
    text words = {0};
    text_add(&words, "\xE2\x80\xA6");
    text_add(&words, last);
    return page_fit(on, page_keep(on, &words), room, false);
}

/* Where the numbers come from. */
static const char *caption_source(page *on, double file_room) {
    const scene *of = on->scene;
    text words = {0};
    text_format(&words, "boreline %s, %s, crc32 %08x; ", bl_version(),
                caption_file(on, of->source->file, file_room),
                (unsigned)of->source->crc32);
    origin_words(&words, of->pullback);
    text_add(&words, ".");
    return caption_keep(on, &words);
}

/* What the ticks in the picture are, and whether the curves are without. */
static void say_ripple(const page *on, text *to) {
    const bl_ripple *of = &on->scene->assessment->ripple;
    if (!of->found) {
        return;
    }
    text_add(to, "Breathing ripple");
    text_add(to, of->removed ? " taken off" : "");
    text_add(to, ": ");
    text_fixed(to, of->share_of_diameter_pct, 0);
    text_add(to, NBSP "% of the diameter every ");
    text_fixed(to, of->wavelength_mm, 1);
    text_add(to, NBSP "mm; least area ");
    text_fixed(to, of->with.minimum.area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2 with it, ");
    text_fixed(to, of->without.minimum.area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2 without. ");
}

/* Everything but where the numbers come from and the caution; what a picture
 * was drawn for comes first. */
static const char *caption_facts(page *on, bool brief) {
    const scene *of = on->scene;
    const bl_assessment *found = of->assessment;
    text words = {0};
    plan_caption(on, &words, brief);
    say_findings(on, &words);
    say_warnings(on, &words);
    say_ripple(on, &words);
    say_runner_up(&words, found);
    say_normals(on, &words);
    say_unlabelled(&words, &on->bars, "narrowings");
    say_unlabelled(&words, &on->points, "compression points");
    text_format(&words, "%zu of %zu frames used, median over ",
                found->frames_used, found->frames);
    text_short(&words, found->options.smooth_mm, 4);
    text_add(&words, on->has_contours ? " mm; cross-sections are single frames "
                                        "as traced. "
                                      : " mm. ");
    if (on->marks_outside > 0) {
        text_format(&words, "%zu marks lie outside. ", on->marks_outside);
    }
    return caption_keep(on, &words);
}

const char *caption_marks(page *on, double longest) {
    const bl_pullback *of = on->scene->pullback;
    text words = {0};
    size_t number = 0;
    for (size_t i = 0; on->flags_numbered && i < of->mark_count; i++) {
        const bl_mark *mark = &of->marks[i];
        if (mark->position_mm >= on->from_mm &&
            mark->position_mm <= on->to_mm) {
            text_format(&words, number == 0 ? "Marks: %zu" : ", %zu",
                        number + 1);
            text_add(&words, NBSP);
            text_add(&words, page_fit(on, page_readable(on, mark->name),
                                      longest, false));
            number++;
        }
    }
    text_add(&words, number > 0 ? ". " : "");
    return page_keep(on, &words);
}

const char *caption_whole(page *on) {
    text words = {0};
    text_format(&words, "%s%s%s %s", caption_facts(on, false),
                caption_marks(on, HUGE_VAL), caption_source(on, HUGE_VAL),
                bl_caution());
    return page_keep(on, &words);
}

/* The width of one word; its bytes stand alone, so that no word before it is
 * measured again. */
static double word_advance(page *on, const char *word, size_t size) {
    text alone = {0};
    text_bytes(&alone, word, size);
    double advance = page_advance(on, text_c(&alone));
    on->failed = on->failed || alone.failed;
    text_free(&alone);
    return advance;
}

/* The bytes of `at` that fill one line: whole words, at least one. */
static size_t line_bytes(page *on, const char *at, double room) {
    double blank = page_advance(on, " ");
    double taken = 0.0;
    const char *next = at;
    while (*next != '\0') {
        size_t word = strcspn(next, " ");
        taken += word_advance(on, next, word);
        if (taken > room && next != at) {
            break;
        }
        taken += blank;
        next += word;
        next += *next == ' ';
    }
    return (size_t)(next - at);
}

/* Facts of a plan that are longer than their last line end with a clause, so
 * that no doubt is read in half; NULL where none is short enough. */
static const char *end_with_clause(page *on, const char *at, double room) {
    const char *rest = plan_caption_points(on) ? "\xE2\x80\xA6"
                                               : "\xE2\x80\xA6; see the report";
    double left = room - page_advance(on, rest);
    const char *kept = NULL;
    for (const char *next = at; *next != '\0' && !on->failed; next++) {
        if (strchr(".,;:", *next) == NULL || next[1] != ' ') {
            continue;
        }
        size_t size = (size_t)(next - at) + (*next == '.');
        if (word_advance(on, at, size) > left) {
            break;
        }
        text line = {0};
        text_bytes(&line, at, size);
        text_add(&line, rest);
        kept = page_keep(on, &line);
    }
    return kept;
}

/* Breaks the words into at most `most` lines, the last of them cut short when
 * more is left; returns how many. */
static size_t wrap(page *on, const char *at, const char **lines, size_t most) {
    double room = on->width - 2.0 * on->margin;
    size_t count = 0;
    while (*at != '\0' && count < most && !on->failed) {
        size_t taken =
            count + 1 == most ? strlen(at) : line_bytes(on, at, room);
        size_t size = taken;
        while (size > 0 && at[size - 1] == ' ') {
            size--;
        }
        text line = {0};
        text_bytes(&line, at, size);
        lines[count++] = page_fit(on, page_keep(on, &line), room, false);
        at += taken;
    }
    return count;
}

/* Into the caption; returns how many lines. */
static size_t wrap_facts(page *on, const char *facts, size_t most) {
    double room = on->width - 2.0 * on->margin;
    const char *at = facts;
    for (size_t i = 0; i + 1 < most && *at != '\0'; i++) {
        at += line_bytes(on, at, room);
    }
    size_t count = wrap(on, facts, on->caption, most);
    bool doubted = on->scene->plan != NULL && on->scene->plan->doubt_count > 0;
    if (doubted && count == most && page_advance(on, at) > room) {
        const char *clause = end_with_clause(on, at, room);
        if (clause != NULL) {
            on->caption[most - 1] = clause;
        }
    }
    return count;
}

size_t caption_wrap(page *on, const char *words, const char **lines,
                    size_t most) {
    return wrap(on, words, lines, most);
}

/* The key of numbered marks in at most `most` lines: names are cut short before
 * marks are left out. */
static size_t wrap_marks(page *on, const char **lines, size_t most) {
    static const double longest_em[] = {HUGE_VAL, 16.0, 12.0, 9.0, 7.0, 5.0};
    const size_t tries = sizeof longest_em / sizeof longest_em[0];
    const char *tried[MARKS_LINES_MOST + 1];
    size_t i = 0;
    const char *words = caption_marks(on, HUGE_VAL);
    while (wrap(on, words, tried, most + 1) > most && ++i < tries) {
        words = caption_marks(on, longest_em[i] * on->em);
    }
    return wrap(on, words, lines, most);
}

/* What numbered marks are, where the numbers come from and the caution have
 * lines of their own, which nothing before them can push out. */
void caption_lay(page *on, const char *facts, const char *source,
                 bool crowded) {
    double share = crowded ? CROWDED_SHARE_MOST : SHARE_MOST;
    double fit = floor(share * on->height / (LINE_EM * on->em));
    const char *last[LAST_LINES_MOST];
    const char *marks[MARKS_LINES_MOST];
    on->caption = page_alloc(on, LINES_MOST, sizeof *on->caption);
    size_t count = wrap(on, source, last, SOURCE_LINES_MOST);
    count += wrap(on, bl_caution(), last + count, CAUTION_LINES_MOST);
    /* A crowded page has room for a line of facts, and one of marks. */
    double least = crowded ? (double)count + 2.0 : LINES_LEAST;
    size_t most = (size_t)fmin(LINES_MOST, fmax(least, fit));
    size_t room = most > count + FACTS_LINES ? most - count - FACTS_LINES : 1;
    size_t named = wrap_marks(
        on, marks, room < MARKS_LINES_MOST ? room : MARKS_LINES_MOST);
    if (on->failed) {
        return;
    }
    on->caption_count = wrap_facts(on, facts, most - count - named);
    for (size_t i = 0; i < named; i++) {
        on->caption[on->caption_count++] = marks[i];
    }
    for (size_t i = 0; i < count; i++) {
        on->caption[on->caption_count++] = last[i];
    }
}

void caption_plan(page *on) {
    double file_room = FILE_SHARE * (on->width - 2.0 * on->margin);
    caption_lay(on, caption_facts(on, on->is_low),
                caption_source(on, file_room),
                on->is_low && on->scene->plan != NULL);
}

void caption_put(page *on, const char *title) {
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->margin, on->margin + 0.9 * on->em, bold,
                page_fit(on, title, on->width - 2.0 * on->margin, true));
    double foot = on->height - on->margin - 0.3 * on->em;
    for (size_t i = 0; i < on->caption_count; i++) {
        double lines = (double)(on->caption_count - 1 - i);
        canvas_text(on->canvas, on->margin, foot - LINE_EM * on->em * lines,
                    page_style(on, INK, CANVAS_START), on->caption[i]);
    }
}

void caption_draw(page *on) {
    caption_put(on, title_within(on, on->width - 2.0 * on->margin));
}
