/*
 * command_record.c - boreline record: what goes into the procedure record.
 */
#include "cli/console.h"
#include "cli/couple.h"
#include "cli/session.h"
#include "cli/stocked.h"

#include <math.h>

static bl_status write_record(const session *of, const void *what, bl_sink sink,
                              void *context) {
    const bl_record *record = what;
    switch (of->wanted->as) {
    case FORMAT_JSON:
        return bl_report_record_json(record, sink, context);
    case FORMAT_MARKDOWN:
        return bl_report_record_markdown(record, sink, context);
    case FORMAT_PLAIN:
    case FORMAT_CSV:
    default:
        return bl_report_record_text(record, sink, context);
    }
}

/* A plan is told where anything of it is asked for. */
static bool wants_plan(const request *wanted) {
    return wanted->stock != NULL || wanted->treat != NULL ||
           wanted->plan.wish_count > 0;
}

static int add_plan(const session *of, const bl_assessment *assessment,
                    const bl_stock *stock, bl_plan **out) {
    bl_plan_options options;
    bl_message message;
    if (!wants_plan(of->wanted)) {
        return 0;
    }
    int status = stocked_options(of, stock, &options);
    if (status == 0 &&
        bl_plan_new(of->study, assessment, &options, out, &message) != BL_OK) {
        console_error(of->wanted->input, &message);
        status = EXIT_WORK;
    }
    return status;
}

/* Writes what is recorded, with the plan that it may have. */
static int write_with_plan(const session *of, bl_record *record,
                           const bl_stock *stock) {
    bl_plan *plan = NULL;
    int status = add_plan(of, record->before.assessment, stock, &plan);
    if (status == 0) {
        record->plan = plan;
        status = session_write(of, of->wanted->output, write_record, record);
    }
    bl_plan_free(plan);
    return status;
}

static int record_one(const request *wanted, const bl_stock *stock) {
    session of;
    bl_assessment *assessment = NULL;
    bl_message message;
    int status = session_open(&of, wanted, BL_COLUMNS_ASSESS, SESSION_CHECKSUM);
    if (status == 0 &&
        bl_assess(of.study, &of.assess, &assessment, &message) != BL_OK) {
        console_error(wanted->input, &message);
        status = EXIT_WORK;
    }
    if (status == 0) {
        bl_record record = {.before = {of.study, assessment, &of.source}};
        status = write_with_plan(&of, &record, stock);
    }
    bl_assessment_free(assessment);
    session_close(&of);
    return status;
}

static int record_both(const request *wanted, const bl_stock *stock) {
    couple of;
    int status = couple_open(&of, wanted);
    if (status == 0) {
        bl_record record = {.before = couple_first(&of),
                            .after = couple_second(&of),
                            .comparison = of.comparison};
        status = write_with_plan(&of.first, &record, stock);
    }
    couple_close(&of);
    return status;
}

/* What only a second table can be meant for. */
static int check_options(const request *wanted) {
    bl_compare_options plain = bl_compare_defaults();
    bool any = wanted->treated != NULL || wanted->after_reference_given ||
               wanted->compare.nominal_count > 0 ||
               wanted->gap_tolerance_mm > 0.0 ||
               !isnan(wanted->compare.shift_mm) ||
               wanted->compare.edge_mm < plain.edge_mm ||
               wanted->compare.edge_mm > plain.edge_mm;
    return any && wanted->second == NULL
               ? console_usage(
                     "--shift, --treated, --nominal, --gap-tolerance, "
                     "--edge and --after-reference are of two "
                     "tables; name AFTER too")
               : 0;
}

static int run(const request *wanted) {
    bl_stock *stock = NULL;
    int status = check_options(wanted);
    if (status == 0) {
        status = wanted->second != NULL
                     ? couple_check_inputs(wanted)
                     : session_check_report(wanted, "'boreline plot'");
    }
    if (status == 0) {
        status = stocked_read(wanted, &stock);
    }
    if (status == 0) {
        status = wanted->second != NULL ? record_both(wanted, stock)
                                        : record_one(wanted, stock);
    }
    bl_stock_free(stock);
    return status;
}

const command command_record = {
    .name = "record",
    .bit = FOR_RECORD,
    .run = run,
    .files = "BEFORE [AFTER]",
    .files_least = 1,
    .files_most = 2,
    .summary = "paragraphs for the procedure record",
    .about =
        "Writes what was found into short sentences for the procedure record: "
        "which vein,\n"
        "how long a pullback and how positions were known, the reference, "
        "least areas and\n"
        "diameters, every stenosis by its kind, narrowed lengths, compression "
        "points,\n"
        "frames left out, what speaks against a number, version and checksum "
        "of the file.\n"
        "With --stock, --treat or --device it tells the plan; it is no advice "
        "to treat.\n"
        "With AFTER it tells what was achieved: gain, residual stenosis by "
        "three\n"
        "denominators, the device, apposition, edges, what was left.\n\n"
        "Every number is that of 'boreline assess', 'plan' or 'compare' with "
        "the same\n"
        "options. What is not known is said to be so or left out. Nothing is "
        "added: no\n"
        "date, no name. Read it before you sign it.\n",
    .examples =
        "  boreline record case.csv\n"
        "  boreline record case.csv --stock stock.csv --format md\n"
        "  boreline record case.csv --device 16x120@42 -o record.txt\n"
        "  boreline record before.csv after.csv --nominal 16x120,14x160\n",
};
