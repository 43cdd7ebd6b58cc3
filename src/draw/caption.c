/*
 * caption.c - title above and caption below: what was measured, against what,
 * and how far it may be believed.
 */
#include "draw/page.h"

#include "draw/utf8.h"

#include <math.h>
#include <string.h>

#define LINES_MOST 9
/* The caption takes no more of the page than this. */
#define SHARE_MOST 0.30

const char *caption_title(page *on) {
    const bl_pullback *of = on->scene->pullback;
    text words = {0};
    text_add(&words, of->case_name[0] != '\0' ? of->case_name
                                              : on->scene->source->file);
    if (of->side[0] != '\0') {
        text_add(&words, ", ");
        text_add(&words, of->side);
    }
    if (of->stage[0] != '\0') {
        text_add(&words, ", ");
        text_add(&words, of->stage);
    }
    return page_keep(on, &words);
}

static void add_span(text *to, bl_span span) {
    text_fixed(to, span.from_mm, 1);
    text_add(to, "\xE2\x80\x93");
    text_fixed(to, span.to_mm, 1);
    text_add(to, " mm");
}

static void say_reference(text *to, const bl_assessment *of) {
    if (of->segment_count == 0) {
        text_add(to, "No reference: nothing is called narrowed. ");
        return;
    }
    text_add(to, of->reference_given ? "Reference given: "
                                     : "Reference found by search: ");
    for (size_t i = 0; i < of->segment_count; i++) {
        text_add(to, i > 0 ? "; " : "");
        text_add(to, bl_end_name(of->segments[i].where));
        text_add(to, " ");
        add_span(to, of->segments[i].span);
        text_add(to, ", ");
        text_fixed(to, of->segments[i].area_mm2, 1);
        text_add(to, " mm\xC2\xB2");
    }
    if (of->segment_count == 2) {
        text_add(to, "; rule ");
        text_add(to, bl_rule_name(of->options.rule));
    }
    text_add(to, ". ");
}

static void say_worst(text *to, const bl_assessment *of) {
    if (of->segment_count == 0) {
        text_add(to, "Least area ");
        text_fixed(to, of->minimum.area_mm2, 1);
        text_add(to, " mm\xC2\xB2 at ");
        text_fixed(to, of->minimum.position_mm, 1);
        text_add(to, " mm. ");
        return;
    }
    text_add(to, "Greatest area stenosis ");
    text_fixed(to, of->worst.area_stenosis_pct, 1);
    text_add(to, " % (");
    text_fixed(to, of->worst.area_mm2, 1);
    text_add(to, " of ");
    text_fixed(to, of->worst.reference_area_mm2, 1);
    text_add(to, " mm\xC2\xB2) at ");
    text_fixed(to, of->worst.position_mm, 1);
    text_add(to, " mm; narrowed: area stenosis of ");
    text_fixed(to, of->options.threshold_pct, 0);
    text_add(to, " % or more, shoulders to ");
    text_fixed(to, of->options.shoulder_pct, 0);
    text_add(to, " %. ");
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
        text_add(to, " mm/s");
    }
    text_add(to, ". ");
}

const char *caption_whole(page *on) {
    const scene *of = on->scene;
    const bl_assessment *found = of->assessment;
    text words = {0};
    say_reference(&words, found);
    say_worst(&words, found);
    say_position(&words, of->pullback);
    text_format(&words, "%zu of %zu frames used, median over ",
                found->frames_used, found->frames);
    text_fixed(&words, found->options.smooth_mm, 1);
    text_add(&words, " mm. ");
    if (on->flags_numbered) {
        text_add(&words, "Marks: ");
        for (size_t i = 0, number = 0; i < of->pullback->mark_count; i++) {
            const bl_mark *mark = &of->pullback->marks[i];
            if (mark->position_mm >= on->from_mm &&
                mark->position_mm <= on->to_mm) {
                text_format(&words, "%s%zu %s", number > 0 ? ", " : "",
                            number + 1, mark->name);
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
    text_format(&words, ", crc32 %08x. ", (unsigned)of->source->crc32);
    text_add(&words, bl_caution());
    return page_keep(on, &words);
}

/* Breaks the words into lines; the last one allowed is cut short. */
void caption_plan(page *on) {
    const char *at = caption_whole(on);
    double room = on->width - 2.0 * on->margin;
    double fit = floor(SHARE_MOST * on->height / (LINE_EM * on->em));
    size_t most = (size_t)fmin(LINES_MOST, fmax(2.0, fit));
    on->caption = page_alloc(on, LINES_MOST, sizeof *on->caption);
    if (on->caption == NULL) {
        return;
    }
    while (*at != '\0' && on->caption_count < most) {
        text line = {0};
        const char *next = at;
        while (*next != '\0') {
            size_t word = strcspn(next, " ");
            text longer = {0};
            text_bytes(&longer, at, (size_t)(next + word - at));
            bool fits = page_advance(on, text_c(&longer)) <= room;
            bool failed = longer.failed;
            text_free(&longer);
            if (failed || (!fits && next != at)) {
                break;
            }
            next += word;
            next += *next == ' ';
        }
        bool last = on->caption_count + 1 == most;
        size_t size = last ? strlen(at) : (size_t)(next - at);
        while (size > 0 && at[size - 1] == ' ') {
            size--;
        }
        text_bytes(&line, at, size);
        on->caption[on->caption_count++] =
            page_fit(on, page_keep(on, &line), room, false);
        at = last ? at + strlen(at) : next;
        if (on->failed) {
            return;
        }
    }
}

void caption_draw(page *on) {
    double room = on->width - 2.0 * on->margin;
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->margin, on->margin + 0.9 * on->em, bold,
                page_fit(on, caption_title(on), room, true));
    double foot = on->height - on->margin - 0.3 * on->em;
    for (size_t i = 0; i < on->caption_count; i++) {
        double lines = (double)(on->caption_count - 1 - i);
        canvas_text(on->canvas, on->margin, foot - LINE_EM * on->em * lines,
                    page_style(on, INK, CANVAS_START), on->caption[i]);
    }
}
