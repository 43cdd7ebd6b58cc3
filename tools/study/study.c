/*
 * study.c - how often the assessment is right, over many invented vessels.
 *
 *     study [--vessels N] [--seed N] [--steady 0|1] [--smooth MM]
 *           [--csv FILE] [-o FILE]
 *
 * Writes the figures as Markdown to FILE or standard output, and with --csv
 * one line a vessel. The same arguments give the same bytes.
 */
#include "study.h"

#include <stdlib.h>
#include <string.h>

#define VESSELS_MOST 100000L
#define SEED_MOST 1000000000L
#define SMOOTH_MOST 50L

static const char USAGE[] =
    "Usage: study [--vessels N] [--seed N] [--steady 0|1] [--smooth MM]\n"
    "             [--csv FILE] [-o FILE]\n"
    "Invents N vessels (1000), has them assessed and writes how often that "
    "was\n"
    "right, as Markdown; with --csv one line a vessel.\n";

typedef struct arguments {
    long vessels;
    long seed;
    long steady;
    long smooth_mm;
    const char *csv;
    const char *output;
} arguments;

static bool number_take(const char *word, long least, long most, long *out) {
    char *end = NULL;
    *out = strtol(word, &end, 10);
    return end != word && *end == '\0' && *out >= least && *out <= most;
}

static bool arguments_read(int count, char **words, arguments *out) {
    *out = (arguments){.vessels = 1000, .seed = 1, .smooth_mm = 1};
    bool good = count % 2 == 1;
    for (int i = 1; good && i + 1 < count; i += 2) {
        const char *value = words[i + 1];
        if (strcmp(words[i], "--vessels") == 0) {
            good = number_take(value, 1, VESSELS_MOST, &out->vessels);
        } else if (strcmp(words[i], "--seed") == 0) {
            good = number_take(value, 1, SEED_MOST, &out->seed);
        } else if (strcmp(words[i], "--steady") == 0) {
            good = number_take(value, 0, 1, &out->steady);
        } else if (strcmp(words[i], "--smooth") == 0) {
            good = number_take(value, 0, SMOOTH_MOST, &out->smooth_mm);
        } else if (strcmp(words[i], "--csv") == 0) {
            out->csv = value;
        } else if (strcmp(words[i], "-o") == 0) {
            out->output = value;
        } else {
            good = false;
        }
    }
    return good;
}

typedef void (*writer)(const verdict *verdicts, size_t count, FILE *out);

static bool file_write(const char *path, writer write, const verdict *verdicts,
                       size_t count) {
    FILE *out = path != NULL ? fopen(path, "w") : stdout;
    if (out == NULL) {
        perror(path);
        return false;
    }
    write(verdicts, count, out);
    bool good = !ferror(out);
    good = (path != NULL ? fclose(out) : fflush(out)) == 0 && good;
    if (!good) {
        perror(path != NULL ? path : "standard output");
    }
    return good;
}

static void all_write(const verdict *verdicts, size_t count, FILE *out) {
    figures_write(verdicts, count, out);
    fputc('\n', out);
    observers_write(verdicts, count, out);
    fputc('\n', out);
    strata_write(verdicts, count, out);
}

int main(int count, char **words) {
    arguments given;
    if (!arguments_read(count, words, &given)) {
        fputs(USAGE, stderr);
        return 2;
    }
    size_t vessels = (size_t)given.vessels;
    bl_assess_options options = bl_assess_defaults();
    options.steady = given.steady == 1;
    options.smooth_mm = (double)given.smooth_mm;
    verdict *verdicts = malloc(vessels * sizeof *verdicts);
    bool good = verdicts != NULL;
    for (size_t i = 0; good && i < vessels; i++) {
        invented one;
        invent((uint64_t)given.seed, i, &one);
        good = judge(&one, &options, &verdicts[i]);
    }
    if (good) {
        good = file_write(given.output, all_write, verdicts, vessels);
    }
    if (good && given.csv != NULL) {
        good = file_write(given.csv, verdicts_write, verdicts, vessels);
    }
    free(verdicts);
    return good ? 0 : 1;
}
