/*
 * vessel.c - makes an invented pullback whose truth is known.
 *
 *     vessel DESCRIPTION [-o FILE] [--truth FILE] [--frames N] [--points N]
 *            [--before DESCRIPTION] [--result FILE]
 *            [--shape long|blocks] [--separator WORD] [--decimals N]
 *
 * Reads a described vessel (samples/README.md has the grammar) and writes its
 * contour table, and with --truth what a perfect measurement of it would say.
 * --result writes what a perfect comparison with the vein before would say.
 * --frames spreads N frames over the same vein by changing the frame rate.
 */
#include "vessel.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>

#define FRAMES_MAX 1000000
#define POINTS_MAX 100000

static const char USAGE[] =
    "Usage: vessel DESCRIPTION [-o FILE] [--truth FILE] [--frames N]\n"
    "              [--before DESCRIPTION] [--result FILE]\n"
    "              [--points N] [--shape long|blocks] [--decimals 0..6]\n"
    "              [--separator comma|semicolon|tab|blank]\n"
    "Writes the contour table of an invented vessel to FILE or standard\n"
    "output, with --truth what a perfect measurement of it would say, and\n"
    "with --result what a perfect comparison with --before would.\n";

typedef struct arguments {
    const char *description;
    const char *output;
    const char *truth;
    const char *before;
    const char *result;
    int64_t frames; /* 0: as described */
    int64_t points; /* 0: as described */
    table_options table;
} arguments;

static bool number_take(const char *word, long low, long high, int64_t *out) {
    char *end = NULL;
    errno = 0;
    long value = strtol(word, &end, 10);
    if (errno != 0 || end == word || *end != '\0' || value < low ||
        value > high) {
        fprintf(stderr, "vessel: %s: a number from %ld to %ld is wanted\n",
                word, low, high);
        return false;
    }
    *out = value;
    return true;
}

static bool shape_take(const char *word, table_options *out) {
    out->blocks = strcmp(word, "blocks") == 0;
    if (!out->blocks && strcmp(word, "long") != 0) {
        fprintf(stderr, "vessel: %s: the shapes are long and blocks\n", word);
        return false;
    }
    return true;
}

static bool separator_take(const char *word, table_options *out) {
    static const char *const names[] = {"comma", "semicolon", "tab", "blank"};
    static const char separators[] = ",;\t ";
    for (size_t i = 0; i < 4; i++) {
        if (strcmp(word, names[i]) == 0) {
            out->separator = separators[i];
            return true;
        }
    }
    fprintf(stderr,
            "vessel: %s: the separators are comma, semicolon, tab, blank\n",
            word);
    return false;
}

static bool option_take(const char *name, const char *value, arguments *out) {
    int64_t number = 0;
    if (strcmp(name, "-o") == 0) {
        out->output = value;
    } else if (strcmp(name, "--truth") == 0) {
        out->truth = value;
    } else if (strcmp(name, "--before") == 0) {
        out->before = value;
    } else if (strcmp(name, "--result") == 0) {
        out->result = value;
    } else if (strcmp(name, "--frames") == 0) {
        return number_take(value, 2, FRAMES_MAX, &out->frames);
    } else if (strcmp(name, "--points") == 0) {
        return number_take(value, 8, POINTS_MAX, &out->points);
    } else if (strcmp(name, "--shape") == 0) {
        return shape_take(value, &out->table);
    } else if (strcmp(name, "--separator") == 0) {
        return separator_take(value, &out->table);
    } else if (strcmp(name, "--decimals") == 0) {
        if (!number_take(value, 0, 6, &number)) {
            return false;
        }
        out->table.decimals = (int)number;
    } else {
        fprintf(stderr, "vessel: no such option: %s\n%s", name, USAGE);
        return false;
    }
    return true;
}

static bool arguments_read(int count, char **words, arguments *out) {
    *out = (arguments){.table = {.separator = ',', .decimals = 3}};
    for (int i = 1; i < count; i++) {
        if (words[i][0] != '-') {
            if (out->description != NULL) {
                fprintf(stderr, "vessel: one description at a time\n%s", USAGE);
                return false;
            }
            out->description = words[i];
        } else if (i + 1 < count) {
            if (!option_take(words[i], words[i + 1], out)) {
                return false;
            }
            i++;
        } else {
            fprintf(stderr, "vessel: %s: a value is wanted\n", words[i]);
            return false;
        }
    }
    if (out->description == NULL) {
        fputs(USAGE, stderr);
        return false;
    }
    return true;
}

typedef bool (*writer)(const vessel *of, const table_options *options,
                       FILE *out);

static bool truth_writer(const vessel *of, const table_options *options,
                         FILE *out) {
    (void)options;
    return truth_write(of, out);
}

static bool file_write(const char *path, writer write, const vessel *of,
                       const table_options *options) {
    FILE *out = path != NULL ? fopen(path, "w") : stdout;
    if (out == NULL) {
        perror(path);
        return false;
    }
    bool good = write(of, options, out);
    good = (path != NULL ? fclose(out) : fflush(out)) == 0 && good;
    if (!good) {
        perror(path != NULL ? path : "standard output");
    }
    return good;
}

/* What comparing says, where it is asked for. */
static bool result_make(const arguments *given, const vessel *of) {
    vessel before;
    if (given->result == NULL) {
        if (given->before != NULL) {
            fputs("vessel: --before is for --result; give both\n", stderr);
        }
        return given->before == NULL;
    }
    if (of->device_count == 0) {
        fputs("vessel: --result wants a device in the description\n", stderr);
        return false;
    }
    if (given->before != NULL && !description_read(given->before, &before)) {
        return false;
    }
    FILE *out = fopen(given->result, "w");
    if (out == NULL) {
        perror(given->result);
        return false;
    }
    fputs("name,position_mm,value\n", out);
    bool good = result_write(of, given->before != NULL ? &before : NULL, out);
    if (fclose(out) != 0) {
        perror(given->result);
        return false;
    }
    return good;
}

int main(int count, char **words) {
    if (count == 2 && strcmp(words[1], "--help") == 0) {
        fputs(USAGE, stdout);
        return 0;
    }
    arguments given;
    if (!arguments_read(count, words, &given)) {
        return 2;
    }
    vessel of;
    if (!description_read(given.description, &of)) {
        return 1;
    }
    if (given.frames > 0) {
        vessel_rescale(&of, given.frames);
    }
    if (given.points > 0) {
        of.points = given.points;
    }
    if (!file_write(given.output, table_write, &of, &given.table)) {
        return 1;
    }
    if (given.truth != NULL &&
        !file_write(given.truth, truth_writer, &of, NULL)) {
        return 1;
    }
    return result_make(&given, &of) ? 0 : 1;
}
