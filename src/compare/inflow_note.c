/*
 * inflow_note.c - what speaks against the figures of an inflow vein, and
 * against holding several against each other.
 */
#include "compare/inflow.h"

#include "base/place.h"
#include "base/sentences.h"

#include <math.h>
#include <string.h>

/* ------------------------------------------------------------ of a candidate
 */

static void note_length(sentences *to, const bl_inflow *all,
                        const bl_inflow_stretch *of) {
    if (of->is_shorter) {
        text_add(&to->draft, "only ");
        text_fixed(&to->draft, of->span.to_mm - of->span.from_mm, 1);
        text_add(&to->draft, " mm were traced, of the ");
        text_short(&to->draft, all->within_mm, 2);
        text_add(&to->draft, " mm compared");
        sentences_end(to);
    }
    if (isnan(of->figures[BL_INFLOW_MEAN_AREA].value)) {
        text_add(&to->draft, "a gap without usable frames lies in its stretch: "
                             "the least area is that of what was traced");
        sentences_end(to);
    }
}

static void note_frames(sentences *to, const bl_inflow_stretch *of) {
    if (of->left_out > 0) {
        text_format(&to->draft,
                    "%zu %s in its stretch or caudal of it cannot be measured "
                    "and %s left out",
                    of->left_out, of->left_out == 1 ? "frame" : "frames",
                    of->left_out == 1 ? "is" : "are");
        sentences_end(to);
    }
    if (place_is_doubted(&of->minimum)) {
        text_add(&to->draft, "its least area is doubtful: ");
        place_doubt_words(&to->draft, &of->minimum);
        sentences_end(to);
    }
}

static void note_shared(sentences *to, const bl_inflow_candidate *of) {
    inflow_border border = inflow_border_of(of);
    if (border.mark == NULL) {
        return;
    }
    inflow_border_words(&to->draft, &border);
    text_add(&to->draft, border.caudal_mm > 0.0
                             ? " lies in its stretch, at "
                             : " lies at or caudal of its stretch's end, at ");
    text_fixed(&to->draft, border.mark->position_mm, 1);
    text_add(&to->draft, " mm: cranial of it is vein that candidates share");
    sentences_end(to);
}

static void note_way(sentences *to, const inflow *all,
                     const bl_inflow_candidate *of) {
    inflow_way way = inflow_way_of(all, of);
    if (inflow_way_is_barred(&way)) {
        text_add(&to->draft, "cranial of its stretch it ");
        inflow_way_words(&to->draft, &way);
        sentences_end(to);
    }
}

/* Whether a narrowing in the stretch runs on past its caudal end. */
static void note_open_end(sentences *to, const bl_assessment *of,
                          bl_end travel) {
    bl_span span = of->inflow.span;
    bool caudally = travel == BL_END_CAUDAL;
    for (size_t i = 0; i < of->narrowing_count; i++) {
        const bl_narrowing *one = &of->narrowings[i];
        bool open = caudally ? one->span_open_to : one->span_open_from;
        bool at_end = caudally ? one->span.to_mm >= span.to_mm
                               : one->span.from_mm <= span.from_mm;
        if (open && at_end) {
            text_add(&to->draft, "it is narrowed to the end of the pullback: "
                                 "how far beyond is not known");
            sentences_end(to);
        }
    }
}

static void note_reference(sentences *to, const bl_inflow_input *of) {
    if (of->no_reference != NULL) {
        text_add(&to->draft, "without reference, so that narrowed length and "
                             "flow index are not known: ");
        text_add(&to->draft, of->no_reference);
        text_add(&to->draft,
                 of->assessment->options.expected == NULL
                     ? "; of femoral veins no normal is published: a search "
                       "holds them against the common femoral vein, than which "
                       "they can be smaller in health"
                     : "");
        sentences_end(to);
    }
}

static bl_status note_candidate(inflow *all, bl_inflow_candidate *of) {
    sentences to = {.owner = &all->owner};
    const bl_inflow_stretch *stretch = &of->input.assessment->inflow;
    const bl_pullback *pullback = bl_study_pullback(of->input.study);
    note_length(&to, &all->public, stretch);
    note_frames(&to, stretch);
    note_shared(&to, of);
    note_way(&to, all, of);
    note_open_end(&to, of->input.assessment, pullback->travel);
    note_reference(&to, &of->input);
    of->notes = to.texts;
    of->note_count = to.count;
    sentences_free(&to);
    return to.failed ? BL_ERR_MEMORY : BL_OK;
}

/* ------------------------------------------------------------------ of all */

static const char *side_of(const bl_inflow_candidate *of) {
    return bl_study_pullback(of->input.study)->side;
}

static const char *stage_of(const bl_inflow_candidate *of) {
    return bl_study_pullback(of->input.study)->stage;
}

static const char *reference_of(const bl_inflow_candidate *of) {
    return bl_reference_from_name(of->input.assessment->reference_from);
}

typedef const char *(*label_of)(const bl_inflow_candidate *of);

/* What the candidates have. */
static void label_words(text *out, const inflow *of, label_of label,
                        const char *what, const char *means) {
    text_add(out, what);
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        const char *own = label(&of->candidates[i]);
        text_add(out, i == 0 ? " (" : ", ");
        text_bytes(out, &of->candidates[i].letter, 1);
        text_add(out, " ");
        text_add(out, own[0] == '\0' ? "not given" : own);
    }
    text_add(out, "): ");
    text_add(out, means);
}

/* Whether two have not the same. */
static bool is_mixed(const inflow *of, label_of label) {
    bool mixed = false;
    for (size_t i = 1; i < of->public.candidate_count; i++) {
        mixed = mixed || strcmp(label(&of->candidates[i]),
                                label(&of->candidates[0])) != 0;
    }
    return mixed;
}

static void warn_of_labels(sentences *to, const inflow *of, label_of label,
                           const char *what, const char *means) {
    if (is_mixed(of, label)) {
        label_words(&to->draft, of, label, what, means);
        sentences_end(to);
    }
}

/* A side that is not given may be that of the others. */
bool inflow_is_of_two_sides(const inflow *of) {
    const char *known = "";
    bool two = false;
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        const char *own = side_of(&of->candidates[i]);
        two = two ||
              (known[0] != '\0' && own[0] != '\0' && strcmp(own, known) != 0);
        known = own[0] != '\0' ? own : known;
    }
    return two;
}

void inflow_side_words(text *out, const inflow *of) {
    label_words(out, of, side_of, "the tables are of different sides",
                "one side's veins drain that side");
}

static void warn_of_sides(sentences *to, const inflow *of) {
    if (!is_mixed(of, side_of)) {
        return;
    }
    if (inflow_is_of_two_sides(of)) {
        inflow_side_words(&to->draft, of);
    } else {
        label_words(&to->draft, of, side_of, "not all tables give a side",
                    "whether all drain one side is not known");
    }
    sentences_end(to);
}

/* Against the first, which is what may be named. */
static void warn_of_common(sentences *to, const inflow *of) {
    const bl_inflow_candidate *first = &of->candidates[0];
    for (size_t i = 1; i < of->public.candidate_count; i++) {
        inflow_common common;
        if (inflow_common_bars(first, &of->candidates[i], &common)) {
            inflow_common_words(&to->draft, &common, first);
            sentences_end(to);
        }
    }
}

static void warn_of_same(sentences *to, const inflow *of) {
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        for (size_t k = i + 1; k < of->public.candidate_count; k++) {
            const bl_source *a = of->candidates[i].input.source;
            const bl_source *b = of->candidates[k].input.source;
            if (a->bytes > 0 && a->bytes == b->bytes && a->crc32 == b->crc32) {
                text_bytes(&to->draft, &of->candidates[i].letter, 1);
                text_add(&to->draft, " and ");
                text_bytes(&to->draft, &of->candidates[k].letter, 1);
                text_add(&to->draft, " are one table, given twice");
                sentences_end(to);
            }
        }
    }
}

bl_status inflow_note(inflow *of) {
    for (size_t i = 0; i < of->public.candidate_count; i++) {
        if (note_candidate(of, &of->candidates[i]) != BL_OK) {
            return BL_ERR_MEMORY;
        }
    }
    sentences to = {.owner = &of->owner};
    warn_of_same(&to, of);
    warn_of_sides(&to, of);
    warn_of_common(&to, of);
    warn_of_labels(&to, of, stage_of, "the tables are of different stages",
                   "veins may have changed between them");
    warn_of_labels(&to, of, reference_of, "references are not of one kind",
                   "narrowed lengths and flow indices are not counted alike");
    of->public.warnings = to.texts;
    of->public.warning_count = to.count;
    sentences_free(&to);
    return to.failed ? BL_ERR_MEMORY : BL_OK;
}
