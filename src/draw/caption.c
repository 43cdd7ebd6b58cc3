/*
 * caption.c - the words of title and caption: what was measured, against what,
 * and how far it may be believed. caption_lines.c breaks them into lines.
 */
#include "draw/plan_caption.h"

#include "base/digit.h"
#include "base/origin.h"
#include "base/place.h"
#include "draw/advance.h"

#include <math.h>
#include <string.h>

#define NBSP "\xC2\xA0"
/* The file's name takes no more of a line than this. */
#define FILE_SHARE 0.5

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
    const char *name = page_file_name(file);
    if (page_advance(on, file) <= room || name == file) {
        return page_fit(on, file, room, false);
    }
    text words = {0};
    text_add(&words, "\xE2\x80\xA6/");
    text_add(&words, name);
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

void caption_plan(page *on) {
    double file_room = FILE_SHARE * (on->width - 2.0 * on->margin);
    caption_lay(on, caption_facts(on, on->is_low),
                caption_source(on, file_room),
                on->is_low && on->scene->plan != NULL);
}

void caption_draw(page *on) {
    caption_put(on, title_within(on, on->width - 2.0 * on->margin));
}
