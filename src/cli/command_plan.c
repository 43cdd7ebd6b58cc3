/*
 * command_plan.c - boreline plan: landing points, sizes, the fewest devices.
 */
#include "cli/console.h"
#include "cli/session.h"
#include "cli/stocked.h"

typedef struct outcome {
    const bl_assessment *assessment;
    const bl_plan *plan;
} outcome;

static bl_status write_plan(const session *of, const void *what, bl_sink sink,
                            void *context) {
    const outcome *got = what;
    return of->wanted->as == FORMAT_JSON
               ? bl_report_plan_json(of->study, got->assessment, got->plan,
                                     &of->source, sink, context)
               : bl_report_plan_text(of->study, got->assessment, got->plan,
                                     &of->source, sink, context);
}

static int plan_and_write(const session *of, const bl_stock *stock) {
    const request *wanted = of->wanted;
    bl_plan_options options;
    int status = stocked_options(of, stock, &options);
    if (status != 0) {
        return status;
    }
    bl_message message;
    bl_assessment *assessment = NULL;
    bl_plan *plan = NULL;
    if (bl_assess(of->study, &of->assess, &assessment, &message) != BL_OK ||
        bl_plan_new(of->study, assessment, &options, &plan, &message) !=
            BL_OK) {
        console_error(wanted->input, &message);
        status = EXIT_WORK;
    } else {
        outcome got = {assessment, plan};
        if (wanted->plot != NULL) {
            status = session_draw(of, assessment, plan, wanted->plot);
        }
        if (status == 0) {
            status = session_write(of, wanted->output, write_plan, &got);
        }
    }
    bl_plan_free(plan);
    bl_assessment_free(assessment);
    return status;
}

static int run(const request *wanted) {
    bl_stock *stock = NULL;
    int status = session_check_outputs(wanted);
    if (status == 0) {
        status = stocked_read(wanted, &stock);
    }
    if (status == 0) {
        session of;
        status = session_open(&of, wanted, BL_COLUMNS_ASSESS,
                              wanted->plot != NULL ? SESSION_KEEPS_CONTOURS
                                                   : SESSION_PLAIN);
        if (status == 0) {
            status = plan_and_write(&of, stock);
        }
        session_close(&of);
    }
    bl_stock_free(stock);
    return status;
}

const command command_plan = {
    .name = "plan",
    .bit = FOR_PLAN,
    .run = run,
    .summary = "landing points, diameters, lengths and the fewest devices",
    .about = "Says what fits if the operator decides to treat: where the vein "
             "to be treated\n"
             "begins and ends, where devices can land in healthy vein beyond "
             "it, how much has\n"
             "to be covered, and which devices of your stock list do that: the "
             "fewest; of\n"
             "these the first diameters at or above healthy vein, as far as "
             "the stock allows;\n"
             "then the least length beyond what is needed. Without a list it "
             "gives diameter\n"
             "and length. It is no advice to treat.\n\n"
             "What is narrowed, and against what, is decided as by 'boreline "
             "assess', with\n"
             "the same options. Each device is sized by healthy vein over its "
             "own stretch;\n"
             "every rule that the stock cannot keep, and every end outside "
             "healthy vein, is\n"
             "told.\n\n"
             "Lengths are only as good as the pullback's speed: the report "
             "says how far\n"
             "landing points move with it, and when the plan would change.\n",
    .examples =
        "  boreline plan case.csv\n"
        "  boreline plan case.csv --stock stock.csv --reference 5..15 \\\n"
        "      --reference 185..195\n"
        "  boreline plan case.csv --stock stock.csv --device 16x120@42 "
        "\\\n      --plot plan.png\n"
        "  boreline plan case.csv --stock stock.csv --json -o plan.json\n",
};
