/*
 * request.c - reading a command line by the table of options.
 *
 * getopt_long does the reading; its table is made from ours, with the options
 * of the command only, so that nothing is listed twice.
 */
#include "cli/request.h"

#include "cli/console.h"

#include <getopt.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define OPTIONS_MAX 64
/* getopt_long returns this plus the row's number. */
#define ROW_BASE 1000
/* Of an inflow vein, unless --within says otherwise. */
#define WITHIN_MM 50

/* Fills the tables getopt_long wants; the letters start with ':', which makes
 * it tell a missing argument from an unknown option. */
static void getopt_tables(const command *of, struct option *names,
                          char *letters) {
    const option_row *rows = request_options();
    size_t held = 0;
    size_t length = 0;
    letters[length++] = ':';
    for (size_t i = 0; rows[i].name != NULL && held + 1 < OPTIONS_MAX; i++) {
        if ((rows[i].commands & of->bit) == 0) {
            continue;
        }
        names[held++] = (struct option){
            rows[i].name,
            rows[i].argument != NULL ? required_argument : no_argument, NULL,
            ROW_BASE + (int)i};
        if (rows[i].letter != 0) {
            letters[length++] = rows[i].letter;
            if (rows[i].argument != NULL) {
                letters[length++] = ':';
            }
        }
    }
    letters[length] = '\0';
    names[held] = (struct option){NULL, 0, NULL, 0};
}

static const option_row *row_of(int code) {
    const option_row *rows = request_options();
    if (code >= ROW_BASE) {
        return &rows[code - ROW_BASE];
    }
    for (size_t i = 0; rows[i].name != NULL; i++) {
        if (rows[i].letter != 0 && rows[i].letter == code) {
            return &rows[i];
        }
    }
    return NULL;
}

static int out_of_memory(void) {
    bl_message message = {.text = "out of memory"};
    console_error(NULL, &message);
    return EXIT_WORK;
}

/* Adds "--name value" to the text of options that outputs carry. What does not
 * change what is in them stays out. */
static int remember(request *to, const option_row *row, const char *value) {
    static const char *const left_out[] = {
        "output", "plot", "threads", "format", "max-memory", "max-unpacked"};
    for (size_t i = 0; i < sizeof left_out / sizeof left_out[0]; i++) {
        if (strcmp(row->name, left_out[i]) == 0) {
            return 0;
        }
    }
    size_t held = to->options == NULL ? 0 : strlen(to->options);
    size_t more = strlen(row->name) + (value == NULL ? 0 : strlen(value)) + 8;
    char *longer = realloc(to->options, held + more);
    if (longer == NULL) {
        return out_of_memory();
    }
    to->options = longer;
    char *at = longer + held;
    const char *parts[] = {held == 0 ? "--" : " --", row->name,
                           value == NULL ? "" : " ",
                           value == NULL ? "" : value};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        size_t size = strlen(parts[i]);
        memcpy(at, parts[i], size);
        at += size;
    }
    *at = '\0';
    return 0;
}

static int add_setting(request *to, setting one) {
    size_t count = to->setting_count;
    setting *longer = realloc(to->settings, (count + 1) * sizeof *longer);
    if (longer == NULL) {
        return out_of_memory();
    }
    to->settings = longer;
    to->settings[to->setting_count++] = one;
    return 0;
}

int request_set(request *to, const char *key, const char *value) {
    return add_setting(to, (setting){key, value, false});
}

int request_set_second(request *to, const char *key, const char *value) {
    return add_setting(to, (setting){key, value, true});
}

static int apply(request *to, const option_row *row, const char *value) {
    int status = remember(to, row, value);
    if (status != 0) {
        return status;
    }
    if (row->note == NULL) {
        return row->apply(to, value);
    }
    return request_set(to, row->note, value);
}

static int bad_option(const command *of, int code, char **arguments) {
    const char *given = arguments[optind - 1];
    const option_row *row = row_of(optopt);
    if (code == ':' && row != NULL) {
        return console_usage("--%s needs a value, %s; see 'boreline %s "
                             "--help'",
                             row->name, row->argument, of->name);
    }
    if (optopt >= ROW_BASE) {
        return console_usage("--%s takes no value; see 'boreline %s --help'",
                             row_of(optopt)->name, of->name);
    }
    if (optopt != 0) {
        return console_usage("there is no option -%c; see 'boreline %s "
                             "--help'",
                             optopt, of->name);
    }
    return console_usage("there is no option %s for %s, or it is cut too "
                         "short; see 'boreline %s --help'",
                         given, of->name, of->name);
}

static unsigned processors(void) {
    long count = sysconf(_SC_NPROCESSORS_ONLN);
    return count < 1 ? 1 : count > 64 ? 64 : (unsigned)count;
}

static void defaults(request *out) {
    *out = (request){
        .output = "-",
        .digits = 4,
        .assess = bl_assess_defaults(),
        .plan = bl_plan_defaults(),
        .compare = bl_compare_defaults(),
        .size = bl_figure_defaults(),
        .dpi = 300,
        .within_mm = WITHIN_MM,
        .threads = processors(),
    };
}

static int say_files(const command *of, size_t count) {
    return of->files_least == of->files_most
               ? console_usage("%s takes %zu files, and got %zu; see 'boreline "
                               "%s --help'",
                               of->name, of->files_most, count, of->name)
               : console_usage("%s takes %zu to %zu files, and got %zu; see "
                               "'boreline %s --help'",
                               of->name, of->files_least, of->files_most, count,
                               of->name);
}

/* getopt has put what is no option behind all that are. */
static int take_files(const command *of, char *const *files, size_t count,
                      request *out) {
    if (of->files == NULL && count != 1) {
        return console_usage("%s takes one file, and got %zu; see 'boreline %s "
                             "--help'",
                             of->name, count, of->name);
    }
    if (of->files != NULL &&
        (count < of->files_least || count > of->files_most)) {
        return say_files(of, count);
    }
    out->input = files[0];
    out->inputs = files;
    out->input_count = count;
    out->second = of->files_most == 2 && count == 2 ? files[1] : NULL;
    return 0;
}

int request_parse(const command *of, int count, char **arguments,
                  request *out) {
    struct option names[OPTIONS_MAX];
    char letters[OPTIONS_MAX];
    defaults(out);
    getopt_tables(of, names, letters);
    opterr = 0;
    optind = 1;
    for (;;) {
        int code = getopt_long(count, arguments, letters, names, NULL);
        if (code == -1) {
            break;
        }
        if (code == '?' || code == ':') {
            return bad_option(of, code, arguments);
        }
        int status = apply(out, row_of(code), optarg);
        if (status != 0) {
            return status;
        }
    }
    if (out->help) {
        return 0;
    }
    if (!(out->assess.shoulder_pct < out->assess.threshold_pct)) {
        return console_usage("--shoulder (20 unless given) must be below "
                             "--threshold");
    }
    if (out->assess.explain && out->as == FORMAT_CSV) {
        return console_usage("--csv has no room for what --explain tells; ask "
                             "for text or --json");
    }
    return take_files(of, arguments + optind, (size_t)(count - optind), out);
}

void request_free(request *of) {
    free(of->options);
    of->options = NULL;
    free(of->settings);
    of->settings = NULL;
    of->setting_count = 0;
}
