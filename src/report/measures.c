/*
 * measures.c - a row a contour, as CSV or JSON.
 *
 * Rows are handed to the sink in batches, so that memory does not grow with
 * their number. One function tells what a cell holds; the two formats only
 * differ in how they write it.
 */
#include "report/json.h"
#include "report/source.h"

#include <stddef.h>
#include <string.h>

#include "base/message.h"

#include <math.h>

#define BATCH_BYTES 32768

static double measure_of(const bl_measures *of, bl_column column) {
    static const size_t offsets[] = {
        [BL_COL_AREA_MM2] = offsetof(bl_measures, area_mm2),
        [BL_COL_PERIMETER_MM] = offsetof(bl_measures, perimeter_mm),
        [BL_COL_EQUIVALENT_DIAMETER_MM] =
            offsetof(bl_measures, equivalent_diameter_mm),
        [BL_COL_PERIMETER_DIAMETER_MM] =
            offsetof(bl_measures, perimeter_diameter_mm),
        [BL_COL_MIN_DIAMETER_MM] = offsetof(bl_measures, min_diameter_mm),
        [BL_COL_MAX_DIAMETER_MM] = offsetof(bl_measures, max_diameter_mm),
        [BL_COL_MIN_FERET_MM] = offsetof(bl_measures, min_feret_mm),
        [BL_COL_MAX_FERET_MM] = offsetof(bl_measures, max_feret_mm),
        [BL_COL_INSCRIBED_DIAMETER_MM] =
            offsetof(bl_measures, inscribed_diameter_mm),
        [BL_COL_ASPECT_RATIO] = offsetof(bl_measures, aspect_ratio),
        [BL_COL_ECCENTRICITY] = offsetof(bl_measures, eccentricity),
        [BL_COL_CIRCULARITY] = offsetof(bl_measures, circularity),
        [BL_COL_SOLIDITY] = offsetof(bl_measures, solidity),
        [BL_COL_LONG_AXIS_DEG] = offsetof(bl_measures, long_axis_deg),
        [BL_COL_CENTROID_X_MM] = offsetof(bl_measures, centroid_x_mm),
        [BL_COL_CENTROID_Y_MM] = offsetof(bl_measures, centroid_y_mm),
    };
    double value;
    memcpy(&value, (const char *)of + offsets[column], sizeof value);
    return value;
}

static double number_of(const bl_row *row, bl_column column) {
    if (column == BL_COL_TIME_S) {
        return row->time_s;
    }
    if (column == BL_COL_POSITION_MM) {
        return row->position_mm;
    }
    return measure_of(&row->measures, column);
}

void source_flags(text *out, uint32_t flags) {
    const char *between = "";
    for (unsigned i = 0; i < BL_FLAG_COUNT; i++) {
        if (flags & (UINT32_C(1) << i)) {
            text_add(out, between);
            text_add(out, bl_flag_name(i));
            between = " ";
        }
    }
}

static void csv_cell(text *out, const bl_row *row, bl_column column,
                     unsigned digits) {
    if (column == BL_COL_FRAME) {
        text_fixed(out, (double)row->frame, 0);
    } else if (column == BL_COL_POINTS) {
        text_fixed(out, row->points, 0);
    } else if (column == BL_COL_KIND) {
        text_add(out, bl_kind_name(row->kind));
    } else if (column == BL_COL_FLAGS) {
        source_flags(out, row->measures.flags);
    } else {
        text_fixed(out, number_of(row, column), digits);
    }
}

static bl_status check_columns(const bl_column *columns, size_t count) {
    for (size_t i = 0; i < count; i++) {
        if ((unsigned)columns[i] >= BL_COLUMN_COUNT) {
            return BL_ERR_ARGUMENT;
        }
    }
    return count == 0 ? BL_ERR_ARGUMENT : BL_OK;
}

static bl_status csv_rows(text *out, const bl_study *study,
                          const bl_column *columns, size_t count,
                          unsigned digits, bl_sink sink, void *context) {
    const bl_row *rows = bl_study_rows(study);
    size_t row_count = bl_study_row_count(study);
    for (size_t i = 0; i < row_count; i++) {
        for (size_t c = 0; c < count; c++) {
            text_bytes(out, ",", c > 0);
            csv_cell(out, &rows[i], columns[c], digits);
        }
        text_add(out, "\n");
        if (out->size >= BATCH_BYTES || out->failed) {
            bl_status status = text_flush(out, sink, context);
            if (status != BL_OK) {
                return status;
            }
        }
    }
    return text_flush(out, sink, context);
}

bl_status bl_report_measures_csv(const bl_study *study,
                                 const bl_column *columns, size_t count,
                                 unsigned digits, bl_sink sink, void *context) {
    bl_status status = check_columns(columns, count);
    if (status != BL_OK || digits > 17) {
        return BL_ERR_ARGUMENT;
    }
    text out = {0};
    for (size_t c = 0; c < count; c++) {
        text_add(&out, c > 0 ? "," : "");
        text_add(&out, bl_column_name(columns[c]));
    }
    text_add(&out, "\n");
    status = csv_rows(&out, study, columns, count, digits, sink, context);
    text_free(&out);
    return status;
}

static void json_cell(json *to, const bl_row *row, bl_column column) {
    const char *name = bl_column_name(column);
    if (column == BL_COL_FRAME) {
        json_integer(to, name, row->frame);
    } else if (column == BL_COL_POINTS) {
        json_integer(to, name, row->points);
    } else if (column == BL_COL_KIND) {
        json_string(to, name, bl_kind_name(row->kind));
    } else if (column == BL_COL_FLAGS) {
        text words = {0};
        source_flags(&words, row->measures.flags);
        json_string(to, name, text_c(&words));
        to->out->failed = to->out->failed || words.failed;
        text_free(&words);
    } else {
        json_number(to, name, number_of(row, column));
    }
}

static bl_status json_rows(json *to, const bl_study *study,
                           const bl_column *columns, size_t count, bl_sink sink,
                           void *context) {
    const bl_row *rows = bl_study_rows(study);
    size_t row_count = bl_study_row_count(study);
    for (size_t i = 0; i < row_count; i++) {
        json_open(to, NULL, '{', true);
        for (size_t c = 0; c < count; c++) {
            json_cell(to, &rows[i], columns[c]);
        }
        json_close(to, '{');
        if (to->out->size >= BATCH_BYTES || to->out->failed) {
            bl_status status = text_flush(to->out, sink, context);
            if (status != BL_OK) {
                return status;
            }
        }
    }
    return BL_OK;
}

bl_status bl_report_measures_json(const bl_study *study,
                                  const bl_source *source,
                                  const bl_column *columns, size_t count,
                                  bl_sink sink, void *context) {
    bl_status status = check_columns(columns, count);
    if (status != BL_OK) {
        return status;
    }
    text out = {0};
    json to = {.out = &out};
    json_open(&to, NULL, '{', false);
    json_string(&to, "boreline", bl_version());
    json_open(&to, "input", '{', false);
    source_json(&to, source);
    json_integer(&to, "contours", (int64_t)bl_study_row_count(study));
    json_integer(&to, "points", (int64_t)bl_study_pullback(study)->points);
    json_close(&to, '{');
    source_pullback_json(&to, study);
    json_open(&to, "contours", '[', false);
    status = json_rows(&to, study, columns, count, sink, context);
    json_close(&to, '[');
    json_close(&to, '{');
    if (status == BL_OK) {
        status = text_flush(&out, sink, context);
    }
    text_free(&out);
    return status;
}
