/*
 * recorded.c - records of the samples by the program itself.
 */
#include "support/recorded.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>

#define COMMAND_MOST 2048
#define CHECKS_MOST 8

const recorded_sample recorded_samples[RECORDED_SAMPLES] = {
    {"short-flattening.csv", "", NULL, NULL, ""},
    {"short-flattening.csv", "",
     "--stock samples/stock.csv --device 12x40@30 --device 14x40@55", NULL, ""},
    {"short-flattening.csv", "--reference none", NULL, NULL, ""},
    {"short-flattening.csv", "--reference find --seed 7", "--treat 30..60",
     NULL, ""},
    {"short-flattening.csv", "--smooth 10", NULL, NULL, ""},
    /* Frames that are missing lie 8 mm apart: a gap. */
    {"short-flattening.csv", "--speed 3", NULL, NULL, ""},
    {"long-scar.txt", "", "--stock samples/stock.csv", NULL, ""},
    {"long-scar.txt", "--reference expected",
     "--stock samples/stock.csv --device 16x120@30 --device 14x160@135", NULL,
     ""},
    {"long-scar.txt", "--reference find --threshold 30", NULL, NULL, ""},
    {"healthy.csv", "", "--stock samples/stock.csv", NULL, ""},
    {"pitfall-taper.csv", "--reference-rule cranial", NULL, NULL, ""},
    {"pitfall-oblique.csv", "", NULL, NULL, ""},
    {"pitfall-ripple.csv", "--steady", NULL, NULL, ""},
    {"pitfall-ripple.csv", "--area-cv 8", NULL, NULL, ""},
    {"pitfall-single-frame.csv", "--smooth 0", NULL, NULL, ""},
    {"pitfall-reference.csv", "--speed-cv 30", NULL, NULL, ""},
    {"good-before.csv", "", "--stock samples/stock.csv", "good-after.csv",
     "--nominal 16x80,14x60"},
    {"good-before.csv", "--threshold 40 --seed 3", NULL, "good-after.csv", ""},
    {"good-after.csv", "", NULL, "good-follow-up.csv", "--nominal 16x80,14x60"},
    {"unapposed-before.csv", "", NULL, "unapposed-after.csv",
     "--nominal 14x80 --gap-tolerance 0.5 --edge 8"},
    {"unapposed-before.csv", "--smooth 3", NULL, "unapposed-after.csv",
     "--treated 70..120 --shift -5.5"},
};

char *recorded_output(const char *command, const char *options,
                      const char *files) {
    char line[COMMAND_MOST];
    const char *build = getenv("BUILD");
    (void)snprintf(line, sizeof line, "%s/boreline %s %s %s 2>/dev/null",
                   build == NULL ? "build" : build, command, options, files);
    FILE *from = popen(line, "r");
    assert_non_null(from);
    char *bytes = calloc(1, RECORDED_OUTPUT);
    assert_non_null(bytes);
    size_t size = fread(bytes, 1, RECORDED_OUTPUT - 1, from);
    assert_true(size < RECORDED_OUTPUT - 1);
    int status = pclose(from);
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        print_error("status %d: %s\n", status, line);
        fail();
    }
    return bytes;
}

char *recorded_record(const recorded_sample *of, const char *format) {
    char options[COMMAND_MOST];
    char files[COMMAND_MOST];
    (void)snprintf(options, sizeof options, "%s %s %s %s", format, of->assess,
                   of->plan != NULL ? of->plan : "", of->compare);
    (void)snprintf(files, sizeof files, "samples/%s %s%s", of->file,
                   of->second != NULL ? "samples/" : "",
                   of->second != NULL ? of->second : "");
    return recorded_output("record", options, files);
}

char *recorded_assess(const recorded_sample *of, const char *format,
                      const char *file) {
    char options[COMMAND_MOST];
    char files[COMMAND_MOST];
    (void)snprintf(options, sizeof options, "%s %s", format, of->assess);
    (void)snprintf(files, sizeof files, "samples/%s", file);
    return recorded_output("assess", options, files);
}

char *recorded_plan(const recorded_sample *of, const char *format) {
    char options[COMMAND_MOST];
    char files[COMMAND_MOST];
    if (of->plan == NULL) {
        return strdup("");
    }
    (void)snprintf(options, sizeof options, "%s %s %s", format, of->assess,
                   of->plan);
    (void)snprintf(files, sizeof files, "samples/%s", of->file);
    return recorded_output("plan", options, files);
}

char *recorded_comparison(const recorded_sample *of, const char *format) {
    char options[COMMAND_MOST];
    char files[COMMAND_MOST];
    if (of->second == NULL) {
        return strdup("");
    }
    (void)snprintf(options, sizeof options, "%s %s %s", format, of->assess,
                   of->compare);
    (void)snprintf(files, sizeof files, "samples/%s samples/%s", of->file,
                   of->second);
    return recorded_output("compare", options, files);
}

/* -------------------------------------------------------------- paragraphs */

void recorded_paragraph(const leaves *record, size_t index,
                        char to[RECORDED_PARAGRAPH]) {
    char path[64];
    (void)snprintf(path, sizeof path, "words[%zu].about", index);
    const leaf *about = leaves_at(record, path);
    (void)snprintf(path, sizeof path, "words[%zu].text", index);
    const leaf *words = leaves_at(record, path);
    assert_true(about != NULL && words != NULL);
    int size =
        snprintf(to, RECORDED_PARAGRAPH, "%s. %s", about->value, words->value);
    assert_in_range(size, 1, RECORDED_PARAGRAPH - 1);
    to[0] = (char)(to[0] - 'a' + 'A');
}

size_t recorded_paragraph_count(const leaves *record) {
    char path[64];
    size_t count = 0;
    do {
        (void)snprintf(path, sizeof path, "words[%zu].text", count);
    } while (leaves_at(record, path) != NULL && ++count > 0);
    return count;
}

char *recorded_unwrapped(const char *text) {
    char *out = strdup(text);
    assert_non_null(out);
    for (char *at = out; *at != '\0'; at++) {
        bool ends = at[0] == '\n' && (at[1] == '\n' || at[1] == '\0');
        bool begins = at > out && at[0] == '\n' && at[-1] == '\n';
        *at = (char)(*at == '\n' && !ends && !begins ? ' ' : *at);
    }
    return out;
}

int recorded_run(const char *group, const recorded_check *checks,
                 size_t count) {
    static struct CMUnitTest tests[CHECKS_MOST * RECORDED_SAMPLES];
    static recorded_sample held[RECORDED_SAMPLES];
    assert_in_range(count, 1, CHECKS_MOST);
    for (size_t i = 0; i < count * RECORDED_SAMPLES; i++) {
        const recorded_check *check = &checks[i / RECORDED_SAMPLES];
        size_t at = i % RECORDED_SAMPLES;
        held[at] = recorded_samples[at];
        tests[i] =
            (struct CMUnitTest){check->name, check->run, NULL, NULL, &held[at]};
    }
    return _cmocka_run_group_tests(group, tests, count * RECORDED_SAMPLES, NULL,
                                   NULL);
}
