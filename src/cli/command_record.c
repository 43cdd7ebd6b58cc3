/*
 * command_record.c - boreline record: what goes into the procedure record.
 */
#include "cli/console.h"
#include "cli/session.h"
#include "cli/stocked.h"

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

static int record_and_write(const session *of, const bl_stock *stock) {
    bl_assessment *assessment = NULL;
    bl_plan *plan = NULL;
    bl_message message;
    if (bl_assess(of->study, &of->assess, &assessment, &message) != BL_OK) {
        console_error(of->wanted->input, &message);
        return EXIT_WORK;
    }
    int status = add_plan(of, assessment, stock, &plan);
    if (status == 0) {
        bl_record record = {.before = {of->study, assessment, &of->source},
                            .plan = plan};
        status = session_write(of, of->wanted->output, write_record, &record);
    }
    bl_plan_free(plan);
    bl_assessment_free(assessment);
    return status;
}

static int run(const request *wanted) {
    bl_stock *stock = NULL;
    int status = session_check_report(wanted, "'boreline plot'");
    if (status == 0) {
        status = stocked_read(wanted, &stock);
    }
    if (status == 0) {
        session of;
        status = session_open(&of, wanted, BL_COLUMNS_ASSESS, SESSION_CHECKSUM);
        if (status == 0) {
            status = record_and_write(&of, stock);
        }
        session_close(&of);
    }
    bl_stock_free(stock);
    return status;
}

const command command_record = {
    .name = "record",
    .bit = FOR_RECORD,
    .run = run,
    .summary = "paragraphs for the procedure record",
    .about =
        "Writes what was found into short sentences for the procedure record: "
        "which vein,\n"
        "how long a pullback and how positions were known, the reference, "
        "least "
        "areas and\n"
        "diameters, every stenosis by its kind, narrowed lengths, compression "
        "points,\n"
        "frames left out, what speaks against a number, version and checksum "
        "of the file.\n"
        "With --stock, --treat or --device it tells the plan, as 'boreline "
        "plan' does;\n"
        "it is no advice to treat.\n\n"
        "Every number is that of 'boreline assess' or 'boreline plan' with the "
        "same\n"
        "options. What is not known is said to be so or left out. Nothing is "
        "added: no\n"
        "date, no name. Read it before you sign it.\n",
    .examples = "  boreline record case.csv\n"
                "  boreline record case.csv --stock stock.csv --format md\n"
                "  boreline record case.csv --device 16x120@42 -o record.txt\n",
};
