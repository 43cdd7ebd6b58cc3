/*
 * command_compare.c - boreline compare: before against after.
 */
#include "cli/couple.h"

typedef struct tables {
    bl_compared_table before;
    bl_compared_table after;
    const bl_comparison *comparison;
} tables;

static tables tables_of(const couple *of) {
    return (tables){couple_first(of), couple_second(of), of->comparison};
}

static bl_status write_comparison(const session *of, const void *what,
                                  bl_sink sink, void *context) {
    const tables *got = what;
    return of->wanted->as == FORMAT_JSON
               ? bl_report_comparison_json(&got->before, &got->after,
                                           got->comparison, sink, context)
               : bl_report_comparison_text(&got->before, &got->after,
                                           got->comparison, sink, context);
}

static int write_both(const couple *of) {
    const request *wanted = of->first.wanted;
    tables got = tables_of(of);
    int status = 0;
    if (wanted->plot != NULL) {
        bl_figure *figure = NULL;
        bl_status drawn = bl_figure_comparison(
            &got.before, &got.after, got.comparison, &wanted->size, &figure);
        status = session_paint(&of->first, drawn, figure, wanted->plot);
    }
    if (status == 0) {
        status =
            session_write(&of->first, wanted->output, write_comparison, &got);
    }
    return status;
}

static int run(const request *wanted) {
    couple of;
    int status = couple_check_inputs(wanted);
    if (status != 0) {
        return status;
    }
    status = couple_open(&of, wanted);
    if (status == 0) {
        status = write_both(&of);
    }
    couple_close(&of);
    return status;
}

const command command_compare = {
    .name = "compare",
    .bit = FOR_COMPARE,
    .run = run,
    .files = "BEFORE AFTER",
    .files_least = 2,
    .files_most = 2,
    .summary = "before against after: gain, residual stenosis, expansion, "
               "apposition",
    .about =
        "Says what was achieved: lines up two pullbacks of one vein and gives "
        "the gain\n"
        "in lumen, residual area stenosis by three denominators, how far the "
        "device is\n"
        "open, how round it is, where it stands off the wall, the edges, and "
        "what was\n"
        "left untreated. With --stage follow-up it tells tissue inside the "
        "device from a\n"
        "device that is compressed, and a change from the error of reading.\n\n"
        "AFTER may hold three kinds of contour (column kind): lumen, device "
        "(its inner\n"
        "edge), vessel (the wall). What a missing kind leaves unsaid is "
        "told.\n"
        "Positions are those of BEFORE. Options that stand for notes count for "
        "both\n"
        "tables, but --stage for AFTER and --reference for BEFORE.\n",
    .examples =
        "  boreline compare before.csv after.csv\n"
        "  boreline compare before.csv after.csv --nominal 16x120,14x160 \\\n"
        "      --plot result.png\n"
        "  boreline compare before.csv after.csv --shift -1.5 --treated "
        "40..180\n"
        "  boreline compare after.csv year.csv --stage follow-up --json\n",
};
