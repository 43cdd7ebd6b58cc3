/*
 * session.c - what every command does: read the table, write the outputs.
 */
#include "cli/session.h"

#include "cli/console.h"
#include "cli/progress.h"

#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

/* Of two tables the second keeps its own reference unless it is given one, and
 * a stage is the second's. */
static bool is_for(const request *wanted, const setting *one) {
    if (wanted->second == NULL) {
        return true;
    }
    if (wanted->is_second) {
        return one->second_only || strcmp(one->key, "reference") != 0;
    }
    return !one->second_only && strcmp(one->key, "stage") != 0;
}

static int set_notes(session *of) {
    const request *wanted = of->wanted;
    for (size_t i = 0; i < wanted->setting_count; i++) {
        const setting *one = &wanted->settings[i];
        if (!is_for(wanted, one)) {
            continue;
        }
        bl_status status = bl_study_set(of->study, one->key, one->value);
        if (status == BL_ERR_ARGUMENT || status == BL_ERR_LIMIT) {
            /* The message names the option itself. */
            return console_usage("%s", bl_study_message(of->study)->text);
        }
        if (status != BL_OK) {
            console_error(NULL, bl_study_message(of->study));
            return EXIT_WORK;
        }
    }
    return 0;
}

static void show_warnings(const session *of) {
    const bl_finding *findings = bl_study_findings(of->study);
    for (size_t i = 0; i < bl_study_finding_count(of->study); i++) {
        console_warning(of->wanted->input, &findings[i].message);
        if (findings[i].more > 0) {
            bl_message more = {0};
            (void)snprintf(more.text, sizeof more.text,
                           "%llu more of the same are not listed",
                           (unsigned long long)findings[i].more);
            console_warning(of->wanted->input, &more);
        }
    }
}

/* The table of --expected comes first: without it nothing else is needed. */
static int read_expected(session *of) {
    const char *path = of->wanted->expected;
    bl_message message = {.text = "out of memory"};
    if (path == NULL) {
        return 0;
    }
    if (strcmp(path, "-") == 0 && strcmp(of->wanted->input, "-") == 0) {
        return console_usage("FILE and --expected both are standard input; "
                             "name one of them");
    }
    if (bl_normals_read(path, &of->expected, &message) != BL_OK) {
        console_error(path, &message);
        return EXIT_WORK;
    }
    of->assess.expected = of->expected;
    return 0;
}

int session_read(session *out, const request *wanted, uint32_t columns,
                 session_way way, bl_status *read, bl_message *message) {
    *out = (session){.wanted = wanted, .assess = wanted->assess};
    *message = (bl_message){.text = "out of memory"};
    int status = read_expected(out);
    if (status != 0) {
        return status;
    }
    bl_study_options options = {
        .columns = columns,
        .keep_contours = way == SESSION_KEEPS_CONTOURS,
        .go_on = way == SESSION_GOES_ON,
        .repeats = wanted->repeats,
        .memory_limit = wanted->memory_limit,
        .appose = way == SESSION_APPOSES,
        .tolerance_mm = wanted->gap_tolerance_mm,
    };
    if (bl_study_new(&options, &out->study) != BL_OK) {
        console_error(NULL, message);
        return EXIT_WORK;
    }
    status = set_notes(out);
    if (status != 0) {
        return status;
    }
    progress shown;
    progress_begin(&shown);
    bl_read_options how = {
        /* Only pictures, records and JSON say it; two tables must not be one.
         */
        .checksum = way == SESSION_KEEPS_CONTOURS || way == SESSION_CHECKSUM ||
                    wanted->as == FORMAT_JSON || wanted->second != NULL,
        .unpacked_limit = wanted->unpacked_limit,
        .threads = wanted->threads,
        .progress = progress_step,
        .context = &shown,
    };
    out->source.file = wanted->input;
    *read =
        bl_study_read(out->study, wanted->input, &how, &out->source, message);
    progress_end(&shown);
    out->source.options = wanted->options == NULL ? "" : wanted->options;
    return 0;
}

int session_open(session *out, const request *wanted, uint32_t columns,
                 session_way way) {
    bl_status read = BL_OK;
    bl_message message;
    int status = session_read(out, wanted, columns, way, &read, &message);
    if (status != 0) {
        return status;
    }
    show_warnings(out);
    if (read != BL_OK) {
        console_error(wanted->input, &message);
    }
    if (read == BL_ERR_INPUT) {
        console_hint("'boreline check' lists all that is wrong with a table");
    }
    return read == BL_OK ? 0 : EXIT_WORK;
}

void session_close(session *of) {
    bl_study_free(of->study);
    of->study = NULL;
    bl_normals_free(of->expected);
    of->expected = NULL;
}

/* Words for what has none of its own. */
static const char *words_for(bl_status status) {
    if (status == BL_ERR_FONT) {
        return "no font is installed to draw text with; install one, such as "
               "the package fonts-dejavu-core";
    }
    if (status == BL_ERR_LIBRARY) {
        return "libcairo.so.2, libfontconfig.so.1 or libpng16.so.16, which "
               "paint PNG and PDF, cannot be loaded; install the packages "
               "libcairo2, libfontconfig1 and libpng16-16, or ask for .svg";
    }
    return status == BL_ERR_ARGUMENT
               ? "the picture is too large; lower --dpi or --size"
               : "out of memory";
}

static void refused(const char *path, bl_status status, bl_message *message) {
    if (status != BL_ERR_FILE && message->text[0] == '\0') {
        (void)strncpy(message->text, words_for(status),
                      sizeof message->text - 1);
    }
    console_error(strcmp(path, "-") == 0 ? "standard output" : path, message);
}

int session_write(const session *of, const char *path, session_writer write,
                  const void *what) {
    bl_output *output = NULL;
    bl_message message = {0};
    bl_status status = bl_output_open(path, &output, &message);
    if (status == BL_OK) {
        status = write(of, what, bl_output_sink, output);
        /* A failed write is worded by commit, which then renames nothing. */
        if (status == BL_OK || status == BL_ERR_FILE) {
            status = bl_output_commit(output, &message);
        }
    }
    bl_output_free(output);
    if (status != BL_OK) {
        refused(path, status, &message);
        return EXIT_WORK;
    }
    return 0;
}

bool session_is_same_file(const char *a, const char *b) {
    struct stat of_a;
    struct stat of_b;
    return strcmp(a, "-") != 0 && strcmp(b, "-") != 0 && stat(a, &of_a) == 0 &&
           S_ISREG(of_a.st_mode) && stat(b, &of_b) == 0 &&
           of_a.st_dev == of_b.st_dev && of_a.st_ino == of_b.st_ino;
}

bool session_is_same_content(const session *a, const session *b) {
    return a->source.bytes == b->source.bytes &&
           a->source.crc32 == b->source.crc32;
}

int session_check_output(const request *wanted, const char *path) {
    const char *inputs[] = {wanted->input, wanted->second, wanted->expected,
                            wanted->stock};
    bool same = false;
    for (size_t i = 0; i < sizeof inputs / sizeof inputs[0]; i++) {
        same = same ||
               (inputs[i] != NULL && session_is_same_file(path, inputs[i]));
    }
    if (same) {
        return console_usage("%s is the input, which is never overwritten; "
                             "name another output",
                             path);
    }
    return 0;
}

static const char *ending(const char *path) {
    const char *dot = strrchr(path, '.');
    return dot == NULL ? "" : dot;
}

static bool is_picture(const char *path) {
    static const char *const known[] = {".png", ".svg", ".pdf"};
    size_t i = 0;
    while (i < sizeof known / sizeof known[0] &&
           strcasecmp(ending(path), known[i]) != 0) {
        i++;
    }
    return i < sizeof known / sizeof known[0];
}

int session_check_picture(const char *path) {
    return is_picture(path)
               ? 0
               : console_usage("the picture '%s' has no known ending; name it "
                               ".png, .svg or .pdf",
                               path);
}

int session_check_report(const request *wanted, const char *draws) {
    if (is_picture(wanted->output)) {
        return console_usage("-o '%s' is named as a picture, and the result is "
                             "none; %s draws one",
                             wanted->output, draws);
    }
    return session_check_output(wanted, wanted->output);
}

int session_check_outputs(const request *wanted) {
    int status = session_check_report(wanted, "--plot");
    if (status != 0 || wanted->plot == NULL) {
        return status;
    }
    status = session_check_picture(wanted->plot);
    if (status == 0) {
        status = session_check_output(wanted, wanted->plot);
    }
    return status == 0 && bl_output_is_same(wanted->plot, wanted->output)
               ? console_usage("-o and --plot name the same file; name two")
               : status;
}

typedef struct drawing {
    const bl_figure *figure;
    const char *path;
} drawing;

static bl_status write_drawing(const session *of, const void *what,
                               bl_sink sink, void *context) {
    const drawing *one = what;
    if (strcasecmp(ending(one->path), ".svg") == 0) {
        return bl_figure_svg(one->figure, sink, context);
    }
    if (strcasecmp(ending(one->path), ".pdf") == 0) {
        return bl_figure_pdf(one->figure, sink, context);
    }
    return bl_figure_png(one->figure, of->wanted->dpi, sink, context);
}

int session_paint(const session *of, bl_status drawn, bl_figure *figure,
                  const char *path) {
    if (drawn != BL_OK) {
        bl_message message = {0};
        refused(path, drawn, &message);
        return EXIT_WORK;
    }
    drawing one = {figure, path};
    int done = session_write(of, path, write_drawing, &one);
    bl_figure_free(figure);
    return done;
}

int session_draw(const session *of, const bl_assessment *assessment,
                 const bl_plan *plan, const char *path) {
    bl_figure *figure = NULL;
    const bl_figure_options *size = &of->wanted->size;
    bl_status drawn = plan == NULL
                          ? bl_figure_profile(of->study, assessment,
                                              &of->source, size, &figure)
                          : bl_figure_plan(of->study, assessment, plan,
                                           &of->source, size, &figure);
    return session_paint(of, drawn, figure, path);
}

void session_warn(const session *of, const bl_assessment *assessment) {
    for (size_t i = assessment->reading_warning_count;
         i < assessment->warning_count; i++) {
        console_note(of->wanted->input, "warning: ", assessment->warnings[i]);
    }
}

void session_say_origin(const session *of) {
    console_begin(of->wanted->input);
    (void)bl_report_origin_text(of->study, console_sink, NULL);
    console_end();
}
