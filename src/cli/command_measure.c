/*
 * command_measure.c - boreline measure: one row of measurements per contour.
 */
#include "cli/console.h"
#include "cli/session.h"

#include <string.h>

static bl_status write_measures(const session *of, const void *what,
                                bl_sink sink, void *context) {
    (void)what;
    const request *wanted = of->wanted;
    if (wanted->as == FORMAT_JSON) {
        return bl_report_measures_json(of->study, &of->source, wanted->columns,
                                       wanted->column_count, sink, context);
    }
    return bl_report_measures_csv(of->study, wanted->columns,
                                  wanted->column_count, wanted->digits, sink,
                                  context);
}

static int run(const request *wanted) {
    request all = *wanted;
    if (!all.columns_given) {
        all.column_count = BL_COLUMN_COUNT;
        for (unsigned i = 0; i < BL_COLUMN_COUNT; i++) {
            all.columns[i] = (bl_column)i;
        }
    }
    uint32_t columns = 0;
    for (size_t i = 0; i < all.column_count; i++) {
        columns |= BL_BIT(all.columns[i]);
    }
    int status = session_check_report(&all, "'boreline plot'");
    if (status != 0) {
        return status;
    }
    session of;
    status = session_open(&of, &all, columns, SESSION_PLAIN);
    if (status == 0) {
        if (all.as == FORMAT_PLAIN) {
            session_say_origin(&of);
        }
        status = session_write(&of, all.output, write_measures, NULL);
    }
    session_close(&of);
    return status;
}

const command command_measure = {
    .name = "measure",
    .bit = FOR_MEASURE,
    .run = run,
    .summary = "one row of measurements per contour",
    .about =
        "Measures every contour of the table and prints a row for each, in "
        "order of\nposition: area, perimeter, equivalent, minimum and maximum "
        "diameter, Feret\ndiameters, inscribed circle, shape and centre. A "
        "contour that cannot be\nmeasured keeps its row; the column flags says "
        "why. Unknown values are empty.\n\nColumns: frame, time_s, "
        "position_mm, kind, points, area_mm2, perimeter_mm,\n"
        "equivalent_diameter_mm, perimeter_diameter_mm, min_diameter_mm,\n"
        "max_diameter_mm, min_feret_mm, max_feret_mm, inscribed_diameter_mm,\n"
        "aspect_ratio, eccentricity, circularity, solidity, long_axis_deg,\n"
        "centroid_x_mm, centroid_y_mm, flags\n",
    .examples =
        "  boreline measure case.csv -o measures.csv\n"
        "  boreline measure case.csv --columns frame,position_mm,area_mm2\n"
        "  boreline measure pixels.csv --mm-per-px 0.02 --speed 1 "
        "--frame-rate 30\n",
};
