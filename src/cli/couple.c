/*
 * couple.c - two tables of one vein, read, assessed and compared.
 */
#include "cli/couple.h"

#include "cli/console.h"

#include <string.h>

static bool is_standard_input(const char *path) {
    return path != NULL && strcmp(path, "-") == 0;
}

int couple_check_inputs(const request *wanted) {
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
static int check_contents(const couple *of) {
    if (!session_is_same_content(&of->first, &of->second)) {
        return 0;
    }
    bl_message message = {.text = "BEFORE and AFTER hold the same bytes; name "
                                  "the tables of two pullbacks"};
    console_error(of->second.source.file, &message);
    return EXIT_WORK;
}

/* A stented vein looks healthy: healthy vein is searched for in the second
 * table only where that is asked for. */
static bl_reference_choice second_choice(const couple *of) {
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

static int assess_two(couple *of) {
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
static int set_options(const couple *of, bl_compare_options *out) {
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
    if (!(out->treated.from_mm < out->treated.to_mm)) {
        return console_usage("--treated: '%s' has no length; write A..B in mm "
                             "or 'frame A..frame B', B after A",
                             wanted->treated);
    }
    return 0;
}

static int compare_two(couple *of) {
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

static int open_two(couple *of, const request *wanted) {
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

int couple_open(couple *out, const request *wanted) {
    *out = (couple){.comparison = NULL};
    int status = open_two(out, wanted);
    if (status == 0) {
        status = assess_two(out);
    }
    return status == 0 ? compare_two(out) : status;
}

void couple_close(couple *of) {
    bl_comparison_free(of->comparison);
    bl_assessment_free(of->after);
    bl_assessment_free(of->before);
    session_close(&of->second);
    session_close(&of->first);
}

bl_compared_table couple_first(const couple *of) {
    return (bl_compared_table){of->first.study, of->before, &of->first.source};
}

bl_compared_table couple_second(const couple *of) {
    return (bl_compared_table){of->second.study, of->after, &of->second.source};
}
