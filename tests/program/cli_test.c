/*
 * cli_test.c - golden command-line cases: every folder in tests/cli is one.
 *
 *     cmd     a line or more of shell; $BORELINE is the program, $SAMPLES the
 *             samples; it runs in an empty folder that holds the case's files
 *     out     what standard output must be
 *     err     what standard error must be (absent: nothing)
 *     status  what the last command must return (absent: 0)
 *
 * Run with BLESS=1 to write out, err and status instead; then read them.
 */
#include "support/check.h"
#include "support/folder.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define CASES_MAX 500
#define PATH_BYTES 1024
#define COMMAND_BYTES 8192

static char here[PATH_BYTES / 2];
static char *names[CASES_MAX];
static struct CMUnitTest tests[CASES_MAX];

static char *read_file(const char *path) {
    FILE *from = fopen(path, "rb");
    char *bytes = calloc(1, 1 << 20);
    assert_non_null(bytes);
    if (from != NULL) {
        size_t size = fread(bytes, 1, (1 << 20) - 1, from);
        bytes[size] = '\0';
        (void)fclose(from);
    }
    return bytes;
}

static void write_file(const char *path, const char *bytes, int keep_empty) {
    if (bytes[0] == '\0' && !keep_empty) {
        (void)unlink(path);
        return;
    }
    FILE *to = fopen(path, "wb");
    assert_non_null(to);
    (void)fputs(bytes, to);
    assert_int_equal(fclose(to), 0);
}

static void hold_against(const char *name, const char *what, const char *got) {
    char path[PATH_BYTES];
    (void)snprintf(path, sizeof path, "%s/tests/cli/%s/%s", here, name, what);
    if (getenv("BLESS") != NULL) {
        write_file(path, got, strcmp(what, "out") == 0);
        return;
    }
    char *expected = read_file(path);
    if (strcmp(expected, got) != 0) {
        print_error("%s/%s\nexpected:\n%s\ngot:\n%s\n", name, what, expected,
                    got);
        free(expected);
        fail();
    }
    free(expected);
}

static void run_case(void **state) {
    const char *name = *state;
    char folder[FOLDER_BYTES];
    char command[COMMAND_BYTES];
    char path[PATH_BYTES];
    folder_make(folder);
    int size = snprintf(
        command, sizeof command,
        "cd '%s' && cp '%s/tests/cli/%s/'* . && BORELINE='%s/%s/boreline' "
        "SAMPLES='%s/samples' LC_ALL=C sh ./cmd >out.got 2>err.got </dev/null",
        folder, here, name, here, getenv("BUILD"), here);
    assert_in_range(size, 1, sizeof command - 1);
    int status = system(command);
    char told[32] = "";
    if (WEXITSTATUS(status) != 0) {
        (void)snprintf(told, sizeof told, "%d\n", WEXITSTATUS(status));
    }
    (void)snprintf(path, sizeof path, "%s/out.got", folder);
    char *out = read_file(path);
    (void)snprintf(path, sizeof path, "%s/err.got", folder);
    char *err = read_file(path);
    folder_remove(folder);
    hold_against(name, "status", told);
    hold_against(name, "err", err);
    hold_against(name, "out", out);
    free(out);
    free(err);
}

static int by_name(const void *a, const void *b) {
    return strcmp(*(char *const *)a, *(char *const *)b);
}

int main(void) {
    size_t count = 0;
    DIR *folder = opendir("tests/cli");
    if (folder == NULL || getcwd(here, sizeof here) == NULL ||
        getenv("BUILD") == NULL) {
        (void)fputs("cli_test: run by 'make test', from the top\n", stderr);
        return 1;
    }
    for (struct dirent *at; (at = readdir(folder)) != NULL;) {
        if (at->d_name[0] != '.' && count < CASES_MAX) {
            names[count++] = strdup(at->d_name);
        }
    }
    (void)closedir(folder);
    qsort(names, count, sizeof names[0], by_name);
    for (size_t i = 0; i < count; i++) {
        tests[i] =
            (struct CMUnitTest){names[i], run_case, NULL, NULL, names[i]};
    }
    return _cmocka_run_group_tests("command line", tests, count, NULL, NULL);
}
