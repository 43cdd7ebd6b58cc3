/*
 * page.c - small things that every part of the drawing uses.
 */
#include "draw/page.h"

#include "base/constants.h"
#include "draw/advance.h"
#include "draw/utf8.h"

#include <math.h>

double page_x(const page *on, double position_mm) {
    double share = (position_mm - on->from_mm) / (on->to_mm - on->from_mm);
    return on->x0 + share * (on->x1 - on->x0);
}

double page_y(const page_panel *in, double value) {
    return in->box.y1 - value / in->top * (in->box.y1 - in->box.y0);
}

/* A border belongs to the vein caudal of it. */
size_t page_vein_number(const page *on, double position_mm) {
    bool caudally = on->scene->pullback->travel == BL_END_CAUDAL;
    size_t low = 0;
    size_t high = on->vein_count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        double to = on->veins[middle].to_mm;
        if (caudally ? to <= position_mm : to < position_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < on->vein_count ? low : on->vein_count - 1;
}

bl_vein page_vein_at(const page *on, double position_mm) {
    return on->vein_count == 0
               ? BL_VEIN_UNKNOWN
               : on->veins[page_vein_number(on, position_mm)].vein;
}

bool page_has_reference(const page *on) {
    return on->scene->assessment->reference_from != BL_FROM_NOTHING;
}

double page_widened(const page *on, const bl_profile_point *point) {
    return on->scene->assessment->ripple.removed ? 1.0 + point->ripple : 1.0;
}

bool page_is_unjudged(const page *on, size_t point) {
    return isnan(on->scene->assessment->profile[point].reference_area_mm2);
}

bool page_is_next_best(const bl_assessment *of, const bl_segment *next) {
    bool other = true;
    for (size_t i = 0; i < of->segment_count; i++) {
        bl_span span = of->segments[i].span;
        other = other && (span.from_mm < next->span.from_mm ||
                          span.from_mm > next->span.from_mm);
    }
    return other;
}

bl_span page_narrowing(const page *on, size_t index) {
    return on->scene->assessment->narrowings[index].span;
}

bool page_next_run(const page *on, page_span stretch, size_t count,
                   size_t *index, bl_span *out) {
    if (*index == count) {
        return false;
    }
    *out = stretch(on, (*index)++);
    for (; *index < count; ++*index) {
        bl_span next = stretch(on, *index);
        if (page_x(on, next.from_mm) - page_x(on, out->to_mm) >= HAIR_MM) {
            break;
        }
        out->to_mm = fmax(out->to_mm, next.to_mm);
    }
    return true;
}

canvas_pen page_pen(const page *on, uint32_t colour, double width_em,
                    canvas_dash dash) {
    return (canvas_pen){colour, width_em * on->em, dash};
}

canvas_style page_style(const page *on, uint32_t colour, canvas_anchor anchor) {
    return (canvas_style){
        .colour = colour, .size_mm = on->em, .anchor = anchor};
}

double page_advance(const page *on, const char *string) {
    return advance_of(string, on->em, false);
}

void *page_alloc(page *on, size_t count, size_t size) {
    void *memory = arena_alloc(on->memory, count, size);
    if (memory == NULL) {
        on->failed = true;
    }
    return memory;
}

const char *page_keep(page *on, text *words) {
    const char *kept = NULL;
    if (!words->failed) {
        kept = arena_text(on->memory, words->bytes == NULL ? "" : words->bytes,
                          words->size);
    }
    text_free(words);
    if (kept == NULL) {
        on->failed = true;
        return "";
    }
    return kept;
}

const char *page_fit(page *on, const char *string, double room, bool bold) {
    static const char ellipsis[] = "\xE2\x80\xA6";
    if (advance_of(string, on->em, bold) <= room) {
        return string;
    }
    double left = room - advance_of(ellipsis, on->em, bold);
    if (left < 0.0) {
        return "";
    }
    text words = {0};
    for (const char *at = string; *at != '\0';) {
        text one = {0};
        utf8_add(&one, utf8_next(&at));
        left -= advance_of(text_c(&one), on->em, bold);
        if (left >= 0.0) {
            text_bytes(&words, one.bytes, one.size);
        }
        words.failed = words.failed || one.failed;
        text_free(&one);
        if (left < 0.0) {
            break;
        }
    }
    while (words.size != 0 && words.bytes[words.size - 1] == ' ') {
        words.size--;
    }
    text_add(&words, ellipsis);
    return page_keep(on, &words);
}

const char *page_file_name(const char *path) {
    const char *name = path;
    for (const char *at = path; *at != '\0'; at++) {
        name = *at == '/' && at[1] != '\0' ? at + 1 : name;
    }
    return name;
}

const char *page_readable(page *on, const char *name) {
    text words = {0};
    for (const char *at = name; *at != '\0';) {
        uint32_t code = utf8_next(&at);
        utf8_add(&words, code == '_' ? ' ' : code);
    }
    return page_keep(on, &words);
}

double page_nice_step(double range, double most) {
    double least = range / most;
    double step = pow(10.0, floor(log10(least)));
    static const double factors[] = {1.0, 2.0, 5.0};
    for (unsigned i = 0; i < 3; i++) {
        if (factors[i] * step >= least) {
            return factors[i] * step;
        }
    }
    return 10.0 * step;
}
