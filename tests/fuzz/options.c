/*
 * options.c - the command line's options on arbitrary arguments.
 *
 * The first byte chooses the command; arguments follow, a line each.
 * console.h's functions are here, so that what is said can be counted.
 */
#include "fuzz/fuzz.h"

#include "cli/console.h"
#include "cli/request.h"

#include <getopt.h>
#include <math.h>
#include <stdarg.h>

#define ARGUMENTS_MAX 1024

static unsigned said;

int console_usage(const char *words, ...) {
    char text[4096];
    va_list arguments;
    va_start(arguments, words);
    must(vsnprintf(text, sizeof text, words, arguments) > 0);
    va_end(arguments);
    said++;
    return EXIT_USAGE;
}

void console_error(const char *file, const bl_message *message) {
    (void)file;
    must(message->text[0] != '\0');
    said++;
}

static bool lies_within(double value, double least, double most) {
    return value >= least && value <= most;
}

static void must_be_plannable(const bl_plan_options *of,
                              const bl_device_wish *wishes) {
    must(lies_within(of->landing_mm, 0.0, 100.0));
    must(lies_within(of->margin_mm, 0.0, 50.0));
    must(lies_within(of->overlap_mm, 0.0, 100.0));
    must(lies_within(of->join_mm, 0.0, 300.0));
    must(lies_within(of->step_mm, 0.0, 20.0));
    must(!(of->oversize_limit_pct < 0.0 || of->oversize_limit_pct > 100.0));
    must(of->wish_count <= BL_WISHES_MOST);
    for (size_t i = 0; i < of->wish_count; i++) {
        must(lies_within(wishes[i].diameter_mm, BL_DEVICE_DIAMETER_LEAST_MM,
                         BL_DEVICE_DIAMETER_MOST_MM));
        must(lies_within(wishes[i].length_mm, BL_DEVICE_LENGTH_LEAST_MM,
                         BL_DEVICE_LENGTH_MOST_MM));
        must(lies_within(wishes[i].from_mm, -10000.0, 10000.0));
    }
}

static void must_be_comparable(const request *of) {
    const bl_compare_options *compare = &of->compare;
    must(isnan(compare->shift_mm) ||
         lies_within(compare->shift_mm, -1000.0, 1000.0));
    must(lies_within(compare->edge_mm, 1.0, 50.0));
    must(lies_within(of->gap_tolerance_mm, 0.0, 5.0));
    must(compare->nominal_count <= BL_NOMINALS_MOST);
    for (size_t i = 0; i < compare->nominal_count; i++) {
        must(lies_within(of->nominals[i].diameter_mm,
                         BL_DEVICE_DIAMETER_LEAST_MM,
                         BL_DEVICE_DIAMETER_MOST_MM));
        must(isnan(of->nominals[i].length_mm) ||
             lies_within(of->nominals[i].length_mm, BL_DEVICE_LENGTH_LEAST_MM,
                         BL_DEVICE_LENGTH_MOST_MM));
    }
}

static void must_be_in_range(const request *of) {
    must(of->input != NULL && of->output != NULL);
    must(of->input_count >= 1 && of->inputs[0] == of->input);
    must(lies_within(of->within_mm, 5.0, 500.0));
    must(of->digits <= 17 && of->threads >= 1 && of->threads <= 64);
    must(of->assess.threshold_pct > 0.0 && of->assess.threshold_pct < 100.0);
    must(of->assess.shoulder_pct >= 0.0);
    must(of->assess.shoulder_pct < of->assess.threshold_pct);
    must(of->assess.smooth_mm >= 0.0 && of->assess.smooth_mm <= 50.0);
    must((unsigned)of->assess.rule < BL_RULE_COUNT);
    must(of->size.width_mm >= 80.0 && of->size.width_mm <= 1000.0);
    must(of->size.height_mm >= 60.0 && of->size.height_mm <= 1000.0);
    must(of->dpi >= 50.0 && of->dpi <= 1200.0);
    must((of->settings == NULL) == (of->setting_count == 0));
    must_be_plannable(&of->plan, of->wishes);
    must_be_comparable(of);
    must(of->as <= FORMAT_MARKDOWN && of->repeats <= 100000);
}

static void must_have_columns(const request *of) {
    uint32_t seen = 0;
    must(of->column_count <= BL_COLUMN_COUNT);
    must(!of->columns_given || of->column_count > 0);
    for (size_t i = 0; i < of->column_count; i++) {
        must(of->columns[i] < BL_COLUMN_COUNT);
        must((seen & BL_BIT(of->columns[i])) == 0);
        seen |= BL_BIT(of->columns[i]);
    }
}

/* --reference looks at its value before it sets the note of its name, as
 * --after-reference does in the second table. */
static bool sets(const option_row *row, const setting *of) {
    const char *note = row->note == NULL ? row->name : row->note;
    return of->second_only ? strcmp(row->name, "after-reference") == 0
                           : strcmp(note, of->key) == 0;
}

/* Every note that is set is that of an option the command takes. */
static void must_set_its_own(const command *of, const request *wanted) {
    for (size_t i = 0; i < wanted->setting_count; i++) {
        const option_row *row = request_options();
        while (row->name != NULL && !sets(row, &wanted->settings[i])) {
            row++;
        }
        must(row->name != NULL && (row->commands & of->bit) != 0);
        must(wanted->settings[i].value != NULL);
    }
}

/* Splits at line feeds; count of arguments, the command's name the first. */
static int split(char *text, size_t size, const char *name, char **out) {
    static char command_name[16];
    int count = 0;
    (void)snprintf(command_name, sizeof command_name, "%s", name);
    out[count++] = command_name;
    char *at = text;
    char *end = text + size;
    while (at < end && count < ARGUMENTS_MAX) {
        out[count++] = at;
        char *feed = memchr(at, '\n', (size_t)(end - at));
        at = feed == NULL ? end : feed + 1;
        if (feed != NULL) {
            *feed = '\0';
        }
    }
    out[count] = NULL;
    return count;
}

/* getopt keeps its place in the last argument of the run before. */
static void forget_last_run(void) {
    char name[] = "x";
    char *arguments[] = {name, NULL};
    optind = 0;
    (void)getopt(1, arguments, "");
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    static const command commands[] = {
        {.name = "measure", .bit = FOR_MEASURE},
        {.name = "assess", .bit = FOR_ASSESS},
        {.name = "plot", .bit = FOR_PLOT},
        {.name = "check", .bit = FOR_CHECK},
        {.name = "plan", .bit = FOR_PLAN},
        {.name = "compare",
         .bit = FOR_COMPARE,
         .files = "BEFORE AFTER",
         .files_least = 2,
         .files_most = 2},
        {.name = "record",
         .bit = FOR_RECORD,
         .files = "BEFORE [AFTER]",
         .files_least = 1,
         .files_most = 2},
        {.name = "inflow",
         .bit = FOR_INFLOW,
         .files = "FILE FILE...",
         .files_least = 2,
         .files_most = BL_INFLOW_MOST},
    };
    enum { COMMANDS = sizeof commands / sizeof commands[0] };
    static char *arguments[ARGUMENTS_MAX + 1];
    static request wanted;
    bites in = {bytes, size};
    const command *of = &commands[bite(&in) % COMMANDS];
    char *text = malloc(in.left + 1);
    must(text != NULL);
    memcpy(text, in.left > 0 ? in.at : (const uint8_t *)"", in.left);
    text[in.left] = '\0';
    int count = split(text, in.left, of->name, arguments);
    forget_last_run();
    said = 0;
    int status = request_parse(of, count, arguments, &wanted);
    must(status == 0 || status == EXIT_USAGE);
    must(said == (status == 0 ? 0 : 1));
    if (status == 0 && !wanted.help) {
        must_be_in_range(&wanted);
        must_have_columns(&wanted);
        must_set_its_own(of, &wanted);
    }
    request_free(&wanted);
    free(text);
    return 0;
}
