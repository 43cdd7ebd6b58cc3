/*
 * study.c - one table: read, measured, placed along the pullback.
 *
 * Contours are measured as they come, here or by a runner, and only their
 * measures are kept, so memory does not grow with points (unless contours are
 * to be kept).
 */
#include "base/limits.h"
#include "base/message.h"
#include "geometry/measurer.h"
#include "pullback/quote.h"
#include "study/apposing.h"
#include "study/ending.h"
#include "study/inside.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static bl_status receive(void *context, const read_contour *contour);

bl_status bl_study_new(const bl_study_options *options, bl_study **out) {
    if (!(options->tolerance_mm >= 0.0) || isinf(options->tolerance_mm)) {
        return BL_ERR_ARGUMENT;
    }
    bl_study *made = calloc(1, sizeof *made);
    if (made == NULL) {
        return BL_ERR_MEMORY;
    }
    made->options = *options;
    made->said.repeats = options->repeats;
    made->said.go_on = options->go_on;
    made->store = (store){.keep = options->keep_contours || options->appose,
                          .beside = options->appose ? sizeof(bl_apposition) : 0,
                          .limit = options->memory_limit,
                          .message = &made->message};
    if (bl_measurer_new(study_columns(made), &made->measurer) != BL_OK) {
        free(made);
        return BL_ERR_MEMORY;
    }
    reader_begin(&made->reader, &made->given, &made->said, &made->message,
                 receive, made);
    placing_describe(made);
    *out = made;
    return BL_OK;
}

uint32_t study_columns(const bl_study *study) {
    /* To tell a jump, another scale and contours that are the same; all are
     * computed whatever is asked for. */
    return study->options.columns | BL_BIT(BL_COL_AREA_MM2) |
           BL_BIT(BL_COL_PERIMETER_MM) | BL_BIT(BL_COL_CENTROID_X_MM) |
           BL_BIT(BL_COL_CENTROID_Y_MM);
}

void bl_study_free(bl_study *study) {
    if (study != NULL) {
        notes_free(&study->given);
        findings_free(&study->said);
        reader_free(&study->reader);
        bl_measurer_free(study->measurer);
        store_free(&study->store);
        free(study->marks);
        free(study->appositions);
        free(study);
    }
}

bl_status bl_study_set(bl_study *study, const char *key, const char *value) {
    if (study->fed || study->finished) {
        return message_set(&study->message, BL_ERR_ARGUMENT, 0, 0,
                           "%s is set after the table has begun; set it before "
                           "the first feed",
                           quote_bytes(key, strlen(key)).text);
    }
    return notes_set(&study->given, key, value, &study->message);
}

const bl_message *bl_study_message(const bl_study *study) {
    return &study->message;
}

size_t bl_study_finding_count(const bl_study *study) {
    return study->said.count;
}

const bl_finding *bl_study_findings(const bl_study *study) {
    return study->said.list;
}

uint64_t bl_study_fault_count(const bl_study *study) {
    return study->said.errors;
}

size_t bl_study_row_count(const bl_study *study) {
    return study->store.count;
}

const bl_row *bl_study_rows(const bl_study *study) {
    return study->store.rows;
}

uint64_t bl_study_line(const bl_study *study, size_t index) {
    return index < study->store.count ? study->store.lines[index] : 0;
}

const bl_pullback *bl_study_pullback(const bl_study *study) {
    return &study->pullback;
}

bl_contour bl_study_contour(const bl_study *study, size_t index) {
    const store *in = &study->store;
    if (!study->options.keep_contours || index >= in->count ||
        study->reader.gather.unscaled) {
        return (bl_contour){0};
    }
    const kept *of = &in->kept[index];
    if (of->count == 0) {
        return (bl_contour){0}; /* there may be no arrays yet */
    }
    return (bl_contour){in->x + of->first, in->y + of->first, of->count};
}

/* --------------------------------------------------------------- measuring */

void study_run_with(bl_study *study, const batch_runner *runner) {
    study->runner = *runner;
}

bool study_take_room(bl_study *study, bl_row *room, size_t capacity) {
    return store_take_room(&study->store, room, capacity);
}

static bl_status take_back(bl_study *study, batch *done) {
    return batch_store(done, &study->store) == BL_OK
               ? BL_OK
               : message_memory(&study->message);
}

static bl_status trade(bl_study *study) {
    study->filling = study->runner.trade(study->runner.context, study->filling);
    return study->filling != NULL ? take_back(study, study->filling)
                                  : message_memory(&study->message);
}

static bl_status set_aside(bl_study *study, const bl_contour *contour) {
    bl_status status = study->filling == NULL ? trade(study) : BL_OK;
    if (status == BL_OK &&
        batch_add(study->filling, study->store.count - 1, contour) != BL_OK) {
        return message_memory(&study->message);
    }
    return status == BL_OK && batch_is_full(study->filling) ? trade(study)
                                                            : status;
}

static bool is_finite(const bl_contour *contour) {
    /* A sum of anything and an infinity or NaN times 0 is NaN. */
    double sum = 0.0;
    for (size_t i = 0; i < contour->count; i++) {
        sum += 0.0 * contour->x_mm[i] + 0.0 * contour->y_mm[i];
    }
    return sum <= 0.0;
}

static bl_status measure_here(bl_study *study, const bl_contour *contour,
                              bl_row *row, stray *odd) {
    bl_status status =
        bl_measurer_measure(study->measurer, contour, &row->measures);
    row->points = (uint32_t)measurer_point_count(study->measurer);
    if (status == BL_OK) {
        *odd = measurer_stray(study->measurer, row->measures.flags);
    }
    /* Points past the limit stop at the reader. */
    return status == BL_OK || status == BL_ERR_ARGUMENT
               ? status
               : message_memory(&study->message);
}

/* Keeps what is odd of the contour just added. */
static bl_status keep_stray(bl_study *study, const read_contour *contour,
                            const stray *odd) {
    stray_row one = {contour->line, contour->doubted, *odd};
    study->last_points = contour->contour.count;
    return one.told || odd->what != STRAY_NONE
               ? store_add_stray(&study->store, &one)
               : BL_OK;
}

static bl_status receive(void *context, const read_contour *contour) {
    bl_study *study = context;
    stray odd = {.what = STRAY_NONE};
    bl_row row = {
        .frame = contour->frame,
        .time_s = contour->time_s,
        .position_mm = contour->position_mm,
        .kind = contour->kind,
    };
    bool here = study->runner.trade == NULL;
    bl_status status =
        here ? measure_here(study, &contour->contour, &row, &odd) : BL_OK;
    if (status == BL_ERR_ARGUMENT || (!here && !is_finite(&contour->contour))) {
        (void)message_set(&study->message, BL_ERR_INPUT, contour->line, 1,
                          "frame %lld has a coordinate too large to compute "
                          "with; check the scale",
                          (long long)contour->frame);
        return findings_fault(&study->said, &study->message, contour->frame);
    }
    if (status == BL_OK) {
        status =
            store_add(&study->store, &row, contour->line, &contour->contour);
    }
    if (status == BL_OK) {
        status = keep_stray(study, contour, &odd);
    }
    return status == BL_OK && !here ? set_aside(study, &contour->contour)
                                    : status;
}

/* ----------------------------------------------------------------- the end */

/* The last batch is measured here: it is seldom full. */
static bl_status measure_rest(bl_study *study) {
    if (study->filling == NULL) {
        return BL_OK;
    }
    batch_measure(study->filling, study->measurer);
    bl_status status = take_back(study, study->filling);
    study->filling = NULL;
    while (status == BL_OK) {
        batch *done = study->runner.drain(study->runner.context);
        if (done == NULL) {
            break;
        }
        status = take_back(study, done);
    }
    return status;
}

/* Without a scale nothing is measured; what is wrong with a contour is known.
 */
static void forget_unscaled(bl_study *study) {
    store *rows = &study->store;
    for (size_t i = 0; study->reader.gather.unscaled && i < rows->count; i++) {
        uint32_t flags = rows->rows[i].measures.flags;
        rows->rows[i].measures = measurer_unknown();
        rows->rows[i].measures.flags = flags;
    }
}

/* Of a contour that is measured, the largest circle inside may be given up. */
static bl_status tell_unfound(bl_study *study) {
    const store *of = &study->store;
    bool wanted =
        (study->options.columns & BL_BIT(BL_COL_INSCRIBED_DIAMETER_MM)) != 0 &&
        !study->reader.gather.unscaled;
    bl_status status = BL_OK;
    for (size_t i = 0; wanted && status == BL_OK && i < of->count; i++) {
        const bl_row *row = &of->rows[i];
        if ((row->measures.flags & BL_FLAGS_LEFT_OUT) == 0 &&
            isnan(row->measures.inscribed_diameter_mm)) {
            status = findings_warn(
                &study->said, of->lines[i], 0, row->frame,
                "the largest circle inside is unknown: its search passed the "
                "bound on its work, which traced contours do not come near; "
                "look at the contour");
        }
    }
    return status == BL_OK ? BL_OK : message_memory(&study->message);
}

static bl_status measure_all(bl_study *study) {
    if (study->settled) {
        return BL_OK;
    }
    study->settled = true;
    placing_describe(study);
    bl_status status = measure_rest(study);
    if (status == BL_OK) {
        status = tell_unfound(study);
    }
    if (status == BL_OK) {
        status = plausible_scale(study);
    }
    return status == BL_OK ? traced_doubt(study) : status;
}

void study_tell(bl_study *study, const bl_message *why) {
    study->message = *why;
}

bl_status study_end(bl_study *study, bl_status why) {
    bl_status status = measure_all(study);
    forget_unscaled(study);
    study->stopped = status == BL_OK ? why : message_memory(&study->message);
    return study->stopped;
}

bl_status bl_study_feed(bl_study *study, const char *bytes, size_t size) {
    if (study->stopped != BL_OK) {
        return study->stopped;
    }
    if (study->finished) {
        return message_set(&study->message, BL_ERR_ARGUMENT, 0, 0,
                           "the study is finished; make another one");
    }
    study->fed = true;
    bl_status status = reader_feed(&study->reader, bytes, size);
    return status == BL_OK ? BL_OK : study_end(study, status);
}

bl_status bl_study_finish(bl_study *study) {
    if (study->stopped != BL_OK) {
        return study->stopped;
    }
    if (study->finished) {
        return message_set(&study->message, BL_ERR_ARGUMENT, 0, 0,
                           "the study is finished already");
    }
    study->finished = true;
    bl_status status = reader_finish(&study->reader);
    if (status == BL_OK) {
        status = measure_all(study);
    }
    if (status == BL_OK && study->store.count == 0 && !study->reader.has_rows) {
        status = message_set(&study->message, BL_ERR_INPUT,
                             study->reader.lines.number, 0,
                             "the table has a header and no rows; expected a "
                             "row a point");
    }
    if (status == BL_OK) {
        status = placing_finish(study);
    }
    if (status == BL_OK) {
        status = apposing_find(study);
    }
    if (!study->options.keep_contours) {
        store_drop_points(&study->store);
    }
    return study_end(study, status);
}
