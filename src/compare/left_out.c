/*
 * left_out.c - contours of device and vessel that cannot be measured: of
 * either table, so that what nothing is made of is not taken for what was not
 * traced.
 */
#include "compare/comparing.h"

#include "base/constants.h"

#include <math.h>

static bool is_left_out(const bl_row *row) {
    return (row->measures.flags & BL_FLAGS_LEFT_OUT) != 0;
}

static double before_mm(const comparing *in, int which, double own_mm) {
    return which == BEFORE
               ? own_mm
               : bl_alignment_before_mm(&in->out->alignment, own_mm);
}

/* ------------------------------------------------------------------ finding */

static size_t count_all(const comparing *in) {
    size_t count = 0;
    for (int which = BEFORE; which < TABLES; which++) {
        const bl_row *rows = bl_study_rows(in->tables[which].study);
        size_t row_count = bl_study_row_count(in->tables[which].study);
        for (size_t i = 0; i < row_count; i++) {
            count += is_left_out(&rows[i]) && rows[i].kind != BL_KIND_LUMEN;
        }
    }
    return count;
}

static void take_table(const comparing *in, int which, bl_left_out *list,
                       size_t *count) {
    const bl_row *rows = bl_study_rows(in->tables[which].study);
    size_t row_count = bl_study_row_count(in->tables[which].study);
    for (size_t i = 0; i < row_count; i++) {
        if (is_left_out(&rows[i]) && rows[i].kind != BL_KIND_LUMEN) {
            double own = rows[i].position_mm;
            list[(*count)++] = (bl_left_out){
                .second = which == AFTER,
                .kind = rows[i].kind,
                .frame = rows[i].frame,
                .own_position_mm = own,
                .position_mm = before_mm(in, which, own),
                .flags = rows[i].measures.flags & BL_FLAGS_LEFT_OUT,
            };
        }
    }
}

/* Of AFTER, any kind, on the axis of BEFORE. */
static bl_status take_places(comparing *in, bl_kind kind) {
    const bl_row *rows = bl_study_rows(in->tables[AFTER].study);
    size_t row_count = bl_study_row_count(in->tables[AFTER].study);
    left_out_places *to = &in->left_out[kind];
    size_t count = 0;
    for (size_t i = 0; i < row_count; i++) {
        count += is_left_out(&rows[i]) && rows[i].kind == kind;
    }
    to->at_mm = arena_alloc(in->owner, count, sizeof *to->at_mm);
    if (to->at_mm == NULL) {
        return BL_ERR_MEMORY;
    }
    for (size_t n = 0; n < row_count; n++) {
        const bl_row *row = &rows[in->turn < 0.0 ? row_count - 1 - n : n];
        if (is_left_out(row) && row->kind == kind) {
            to->at_mm[to->count++] = before_mm(in, AFTER, row->position_mm);
            to->flags |= row->measures.flags & BL_FLAGS_LEFT_OUT;
        }
    }
    return BL_OK;
}

bl_status left_out_fill(comparing *in) {
    bl_left_out *list = arena_alloc(in->owner, count_all(in), sizeof *list);
    if (list == NULL) {
        return BL_ERR_MEMORY;
    }
    size_t count = 0;
    take_table(in, BEFORE, list, &count);
    take_table(in, AFTER, list, &count);
    in->out->left_out = list;
    in->out->left_out_count = count;
    bl_status status = BL_OK;
    for (int kind = BL_KIND_LUMEN; kind <= BL_KIND_VESSEL && status == BL_OK;
         kind++) {
        status = take_places(in, (bl_kind)kind);
    }
    return status;
}

/* How many lie below a place. */
static size_t count_below(const left_out_places *of, double at_mm) {
    size_t low = 0;
    size_t high = of->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (of->at_mm[middle] < at_mm) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

size_t left_out_between(const comparing *in, bl_kind kind, bl_span span) {
    const left_out_places *of = &in->left_out[kind];
    size_t first = count_below(of, span.from_mm - EDGE_MM);
    size_t end = count_below(of, span.to_mm + EDGE_MM);
    return end > first ? end - first : 0;
}

/* -------------------------------------------------------------------- words */

void left_out_flags(text *out, uint32_t flags) {
    const char *between = "";
    for (unsigned i = 0; i < BL_FLAG_COUNT; i++) {
        if ((flags & (UINT32_C(1) << i)) != 0) {
            text_add(out, between);
            text_add(out, bl_flag_name(i));
            between = ", ";
        }
    }
}

static void say_flags(const comparing *in, text *words) {
    text_add(words, " (flag ");
    left_out_flags(words, in->left_out[BL_KIND_DEVICE].flags);
    text_add(words, ")");
}

/* Those past an end of the device, which lies at end_mm: a place or more. */
static void lead_beyond(comparing *in, double end_mm, const double *at_mm,
                        size_t count) {
    text *words = &in->foremost.draft;
    if (count == 0) {
        return;
    }
    text_format(words, "%zu device contour%s beyond ", count,
                count == 1 ? "" : "s");
    text_fixed(words, end_mm, 1);
    text_add(words, " mm, ");
    if (count > 1) {
        text_span(words, (bl_span){at_mm[0], at_mm[count - 1]});
    } else {
        text_fixed(words, at_mm[0], 1);
        text_add(words, " mm");
    }
    text_add(words, ", cannot be measured");
    say_flags(in, words);
    text_add(words, count == 1 ? " and is left out" : " and are left out");
    text_add(words, in->options->treated_given
                        ? ": figures of the device end before."
                        : ": the treated stretch and all figures end before.");
    sentences_end(&in->foremost);
}

static void lead_all(comparing *in, size_t count) {
    text *words = &in->foremost.draft;
    text_add(words, count == 1 ? "The only device contour of the second table "
                                 "cannot be measured"
                               : "None of the device contours of the second "
                                 "table can be measured");
    say_flags(in, words);
    text_add(words, in->options->treated_given
                        ? ": nothing is known of the device."
                        : ": what was treated is not known.");
    sentences_end(&in->foremost);
}

void left_out_lead(comparing *in) {
    const left_out_places *of = &in->left_out[BL_KIND_DEVICE];
    bl_span device = in->out->device.span;
    if (of->count == 0) {
        return;
    }
    if (!in->out->device.traced) {
        lead_all(in, of->count);
        return;
    }
    size_t before = count_below(of, device.from_mm - EDGE_MM);
    size_t behind = count_below(of, device.to_mm + EDGE_MM);
    lead_beyond(in, device.from_mm, of->at_mm, before);
    lead_beyond(in, device.to_mm, of->at_mm + behind, of->count - behind);
}

/* One table and kind. */
static void tell_kind(comparing *in, bool second, bl_kind kind) {
    const bl_comparison *of = in->out;
    text *words = &in->said.draft;
    text frames = {0};
    size_t count = 0;
    uint32_t flags = 0;
    for (size_t i = 0; i < of->left_out_count; i++) {
        const bl_left_out *one = &of->left_out[i];
        if (one->second == second && one->kind == kind) {
            flags |= one->flags;
            if (count < FRAMES_NAMED) {
                text_format(&frames, "%s%lld", count > 0 ? ", " : "",
                            (long long)one->frame);
            }
            count++;
        }
    }
    if (count > 0) {
        text_format(words, "In %zu frame%s of the %s table (", count,
                    count == 1 ? "" : "s", second ? "second" : "first");
        text_add(words, text_c(&frames));
        text_add(words, count > FRAMES_NAMED ? ", ...)" : ")");
        text_format(words, " the %s contour cannot be measured (flag ",
                    bl_kind_name(kind));
        left_out_flags(words, flags);
        text_add(words, ") and is left out: mend it.");
        words->failed = words->failed || frames.failed;
        sentences_end(&in->said);
    }
    text_free(&frames);
}

void left_out_tell(comparing *in) {
    for (int which = BEFORE; which < TABLES; which++) {
        tell_kind(in, which == AFTER, BL_KIND_DEVICE);
        tell_kind(in, which == AFTER, BL_KIND_VESSEL);
    }
}
