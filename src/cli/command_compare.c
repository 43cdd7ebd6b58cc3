/*
 * command_compare.c - boreline compare: before against after.
 */
#include "cli/console.h"
#include "cli/session.h"

#include <string.h>

/* Two tables, each with its own request: what is of one only differs. */
typedef struct pair {
    request second_wanted;
    session first;
    session second;
    bl_assessment *before;
    bl_assessment *after;
    bl_comparison *comparison;
} pair;

static bool is_standard_input(const char *path) {
    return path != NULL && strcmp(path, "-") == 0;
}

static int check_inputs(const request *wanted) {
    bool first = is_standard_input(wanted->input);
    bool second = is_standard_input(wanted->second);
    if ((first && second) || (second && is_standard_input(wanted->expected))) {
        return console_usage("only one input can be standard input; name the "
                             "other");
    }
    if (session_is_same_file(wanted->input, wanted->second)) {
        return console_usage("BEFORE and AFTER are the same file; name the "
                             "tables of two pullbacks");
    }
    return session_check_outputs(wanted);
}

/* By other names, or copied. */
static int check_contents(const pair *of) {
    const bl_source *a = &of->first.source;
    const bl_source *b = &of->second.source;
    if (a->bytes != b->bytes || a->crc32 != b->crc32) {
        return 0;
    }
    bl_message message = {.text = "BEFORE and AFTER hold the same bytes; name "
                                  "the tables of two pullbacks"};
    console_error(b->file, &message);
    return EXIT_WORK;
}

/* A stented vein looks healthy: healthy vein is searched for in the second
 * table only where that is asked for. */
static bl_reference_choice second_choice(const pair *of) {
    const request *wanted = of->first.wanted;
    bl_reference_choice first = wanted->assess.reference;
    if (wanted->after_reference_given) {
        return wanted->after_reference;
    }
    if (first == BL_REFERENCE_EXPECTED || first == BL_REFERENCE_NONE) {
        return first;
    }
    return bl_study_pullback(of->second.study)->reference_count > 0
               ? BL_REFERENCE_DEFAULT
               : BL_REFERENCE_NONE;
}

static int assess_both(pair *of) {
    bl_message message;
    if (bl_assess(of->first.study, &of->first.assess, &of->before, &message) !=
        BL_OK) {
        console_error(of->first.source.file, &message);
        return EXIT_WORK;
    }
    of->second.assess.reference = second_choice(of);
    if (bl_assess(of->second.study, &of->second.assess, &of->after, &message) !=
        BL_OK) {
        console_error(of->second.source.file, &message);
        return EXIT_WORK;
    }
    return 0;
}

/* Which frames the treated stretch has the first table tells. */
static int set_options(const pair *of, bl_compare_options *out) {
    const request *wanted = of->first.wanted;
    bl_message message;
    *out = wanted->compare;
    out->nominals = wanted->nominals;
    out->area_cv_pct = wanted->assess.area_cv_pct;
    out->seed = wanted->assess.seed;
    out->treated_given = wanted->treated != NULL;
    if (!out->treated_given) {
        return 0;
    }
    bl_status status = bl_study_stretch(of->first.study, wanted->treated,
                                        &out->treated, &message);
    if (status == BL_ERR_ARGUMENT) {
        return console_usage("--treated: %s", message.text);
    }
    if (status != BL_OK) {
        console_error(wanted->input, &message);
        return EXIT_WORK;
    }
    return 0;
}

static int compare_both(pair *of) {
    bl_compare_options options;
    bl_message message;
    int status = set_options(of, &options);
    if (status == 0 && bl_comparison_new(of->first.study, of->before,
                                         of->second.study, of->after, &options,
                                         &of->comparison, &message) != BL_OK) {
        console_error(NULL, &message);
        status = EXIT_WORK;
    }
    return status;
}

typedef struct tables {
    bl_compared_table before;
    bl_compared_table after;
    const bl_comparison *comparison;
} tables;

static tables tables_of(const pair *of) {
    return (tables){{of->first.study, of->before, &of->first.source},
                    {of->second.study, of->after, &of->second.source},
                    of->comparison};
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

static int write_both(const pair *of) {
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

static int open_both(pair *of, const request *wanted) {
    int status =
        session_open(&of->first, wanted, BL_COLUMNS_ASSESS, SESSION_PLAIN);
    of->second_wanted = *wanted;
    of->second_wanted.input = wanted->second;
    of->second_wanted.is_second = true;
    if (status == 0) {
        status = session_open(&of->second, &of->second_wanted,
                              BL_COLUMNS_ASSESS, SESSION_APPOSES);
    }
    return status != 0 ? status : check_contents(of);
}

static int run(const request *wanted) {
    pair of = {.comparison = NULL};
    int status = check_inputs(wanted);
    if (status == 0) {
        status = open_both(&of, wanted);
    }
    if (status == 0) {
        status = assess_both(&of);
    }
    if (status == 0) {
        status = compare_both(&of);
    }
    if (status == 0) {
        status = write_both(&of);
    }
    bl_comparison_free(of.comparison);
    bl_assessment_free(of.after);
    bl_assessment_free(of.before);
    session_close(&of.second);
    session_close(&of.first);
    return status;
}

const command command_compare = {
    .name = "compare",
    .bit = FOR_COMPARE,
    .run = run,
    .files = "BEFORE AFTER",
    .summary = "before against after: gain, residual stenosis, expansion, "
               "apposition",
    .about =
        "Says what was achieved: lines up two pullbacks of one vein and gives "
        "the gain in\n"
        "lumen, residual area stenosis by three denominators, how far the "
        "device is open,\n"
        "how round it is, where it stands off the wall, the edges, and what "
        "was left\n"
        "untreated. With --stage follow-up it tells tissue inside the device "
        "from a device\n"
        "that is compressed, and a change from the error of reading.\n\n"
        "AFTER may hold three kinds of contour (column kind): lumen, device "
        "(its inner\n"
        "edge), vessel (the wall). What a kind that is missing leaves unsaid "
        "is told.\n"
        "Positions are those of BEFORE. Options that stand for notes count for "
        "both tables,\n"
        "but --stage for AFTER and --reference for BEFORE.\n",
    .examples =
        "  boreline compare before.csv after.csv\n"
        "  boreline compare before.csv after.csv --nominal 16x120,14x160 \\\n"
        "      --plot result.png\n"
        "  boreline compare before.csv after.csv --shift -1.5 --treated "
        "40..180\n"
        "  boreline compare after.csv year.csv --stage follow-up --json\n",
};
