/*
 * caption.c - title above and caption below: what was measured, against what,
 * and how far it may be believed.
 */
#include "draw/page.h"

#include "draw/advance.h"

#include <math.h>
#include <string.h>

/* Keeps a unit on the line of its number. */
#define NBSP "\xC2\xA0"
#define LINES_MOST 9
#define CAUTION_LINES_MOST 3
/* The caption takes no more of the page than this. */
#define SHARE_MOST 0.30

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

static void add_span(text *to, bl_span span) {
    text_fixed(to, span.from_mm, 1);
    text_add(to, "\xE2\x80\x93");
    text_fixed(to, span.to_mm, 1);
    text_add(to, NBSP "mm");
}

/* ", 37 % of normal" where it is known. */
static void add_share(text *to, double share_pct) {
    if (!isnan(share_pct)) {
        text_add(to, ", ");
        text_fixed(to, share_pct, 0);
        text_add(to, NBSP "% of normal");
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
        text_add(to, isnan(area) ? "none" : NBSP "mm\xC2\xB2");
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
        add_span(to, of->segments[i].span);
        text_add(to, ", ");
        text_fixed(to, of->segments[i].area_mm2, 1);
        text_add(to, NBSP "mm\xC2\xB2");
        add_share(to, of->segments[i].share_of_normal_pct);
    }
    if (said < of->segment_count) {
        text_format(to, "; %zu more in other veins", of->segment_count - said);
    }
    if (said == 2) {
        text_add(to, "; rule ");
        text_add(to, bl_rule_name(of->options.rule));
    }
    text_add(to, ". ");
}

static void say_minimum(text *to, const bl_assessment *of) {
    text_add(to, "Least area ");
    text_fixed(to, of->minimum.area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2");
    add_share(to, of->minimum.share_of_normal_pct);
    text_add(to, " at ");
    text_fixed(to, of->minimum.position_mm, 1);
    text_add(to, NBSP "mm. ");
}

static void say_worst(text *to, const bl_assessment *of) {
    if (of->reference_from == BL_FROM_NOTHING) {
        say_minimum(to, of);
        return;
    }
    text_add(to, "Greatest area stenosis ");
    text_fixed(to, of->worst.area_stenosis_pct, 1);
    text_add(to, NBSP "% (");
    text_fixed(to, of->worst.area_mm2, 1);
    text_add(to, " of ");
    text_fixed(to, of->worst.reference_area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2");
    add_share(to, of->worst.share_of_normal_pct);
    text_add(to, ") at ");
    text_fixed(to, of->worst.position_mm, 1);
    text_add(to, NBSP "mm; narrowed: area stenosis of ");
    text_fixed(to, of->options.threshold_pct, 0);
    text_add(to, NBSP "% or more, shoulders to ");
    text_fixed(to, of->options.shoulder_pct, 0);
    text_add(to, NBSP "%. ");
    if (of->traced_mm - of->judged_mm >= 0.05) {
        text_fixed(to, of->traced_mm - of->judged_mm, 1);
        text_add(to, NBSP "mm without reference were not judged. ");
    }
    if (of->minimum.row != of->worst.row) {
        say_minimum(to, of);
    }
}

/* Where a row had no room for all its labels: what is drawn all the same. */
static void say_unlabelled(text *to, const page_lane *lane, const char *what) {
    if (lane->left_out > 0) {
        text_format(to, "%zu %s have no room for a label. ", lane->left_out,
                    what);
    }
}

static const char *position_words(bl_position_from from) {
    switch (from) {
    case BL_POSITION_COLUMN:
        return "the table";
    case BL_POSITION_AT:
        return "known positions";
    case BL_POSITION_STEP:
        return "a step a frame";
    case BL_POSITION_TIME:
        return "times";
    case BL_POSITION_RATE:
    default:
        return "frame numbers";
    }
}

static void say_position(text *to, const bl_pullback *of) {
    text_add(to, "Position from ");
    text_add(to, position_words(of->position_from));
    if (!isnan(of->speed_mm_per_s)) {
        text_add(to,
                 of->speed_is_schedule ? ", speed schedule from " : ", speed ");
        text_fixed(to, of->speed_mm_per_s, 2);
        text_add(to, NBSP "mm/s");
    }
    text_add(to, ". ");
}

static void say_scale(text *to, const bl_pullback *of) {
    if (!isnan(of->mm_per_px_x)) {
        text_add(to, "Pixels of ");
        text_fixed(to, of->mm_per_px_x, 4);
        text_add(to, " by ");
        text_fixed(to, of->mm_per_px_y, 4);
        text_add(to, NBSP "mm. ");
    }
}

/* What the ticks in the picture are, and whether the curves are without. */
static void say_ripple(const page *on, text *to) {
    const bl_ripple *of = &on->scene->assessment->ripple;
    if (!of->found) {
        return;
    }
    text_add(to, "Breathing ripple");
    text_add(to, of->removed ? " taken off" : "");
    text_add(to, of->removed && on->has_contours
                     ? ", cross-sections as traced: "
                     : ": ");
    text_fixed(to, of->share_of_diameter_pct, 0);
    text_add(to, NBSP "% of the diameter every ");
    text_fixed(to, of->wavelength_mm, 1);
    text_add(to, NBSP "mm; least area ");
    text_fixed(to, of->with.minimum.area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2 with it, ");
    text_fixed(to, of->without.minimum.area_mm2, 1);
    text_add(to, NBSP "mm\xC2\xB2 without. ");
}

/* Everything but the caution. */
static const char *caption_facts(page *on) {
    const scene *of = on->scene;
    const bl_assessment *found = of->assessment;
    text words = {0};
    say_reference(on, &words);
    say_worst(&words, found);
    say_ripple(on, &words);
    say_normals(on, &words);
    say_unlabelled(&words, &on->bars, "narrowings");
    say_unlabelled(&words, &on->points, "compression points");
    say_position(&words, of->pullback);
    say_scale(&words, of->pullback);
    text_format(&words, "%zu of %zu frames used, median over ",
                found->frames_used, found->frames);
    text_fixed(&words, found->options.smooth_mm, 1);
    text_add(&words, NBSP "mm. ");
    if (on->flags_numbered) {
        text_add(&words, "Marks: ");
        for (size_t i = 0, number = 0; i < of->pullback->mark_count; i++) {
            const bl_mark *mark = &of->pullback->marks[i];
            if (mark->position_mm >= on->from_mm &&
                mark->position_mm <= on->to_mm) {
                text_format(&words, "%s%zu" NBSP, number > 0 ? ", " : "",
                            number + 1);
                text_add(&words, page_readable(on, mark->name));
                number++;
            }
        }
        text_add(&words, ". ");
    }
    if (on->marks_outside > 0) {
        text_format(&words, "%zu marks lie outside. ", on->marks_outside);
    }
    text_format(&words, "boreline %s, ", bl_version());
    text_add(&words, of->source->file);
    text_format(&words, ", crc32 %08x.", (unsigned)of->source->crc32);
    return page_keep(on, &words);
}

const char *caption_whole(page *on) {
    text words = {0};
    text_format(&words, "%s %s", caption_facts(on), bl_caution());
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

/* The caution has its own lines, which nothing before it can push out. */
void caption_plan(page *on) {
    double fit = floor(SHARE_MOST * on->height / (LINE_EM * on->em));
    size_t most = (size_t)fmin(LINES_MOST, fmax(4.0, fit));
    const char *caution[CAUTION_LINES_MOST];
    on->caption = page_alloc(on, LINES_MOST, sizeof *on->caption);
    size_t last = wrap(on, bl_caution(), caution, CAUTION_LINES_MOST);
    if (on->failed) {
        return;
    }
    on->caption_count = wrap(on, caption_facts(on), on->caption, most - last);
    for (size_t i = 0; i < last; i++) {
        on->caption[on->caption_count++] = caution[i];
    }
}

void caption_draw(page *on) {
    double room = on->width - 2.0 * on->margin;
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->margin, on->margin + 0.9 * on->em, bold,
                page_fit(on, title_within(on, room), room, true));
    double foot = on->height - on->margin - 0.3 * on->em;
    for (size_t i = 0; i < on->caption_count; i++) {
        double lines = (double)(on->caption_count - 1 - i);
        canvas_text(on->canvas, on->margin, foot - LINE_EM * on->em * lines,
                    page_style(on, INK, CANVAS_START), on->caption[i]);
    }
}
