/*
 * help.c - help for the program and for each command, from the same tables
 * that the command line is read by.
 */
#include "cli/console.h"
#include "cli/request.h"

#include <stdio.h>
#include <string.h>

#define HELP_BYTES 16384
#define OPTION_WIDTH 28
#define LINE_WIDTH 79

typedef struct page {
    char bytes[HELP_BYTES];
    size_t size;
} page;

/* Help is our own text: one that does not fit is a mistake of ours, caught by
 * the golden tests, and is cut. */
static void add(page *to, const char *words, size_t size) {
    size_t room = sizeof to->bytes - 1 - to->size;
    size = size < room ? size : room;
    memcpy(to->bytes + to->size, words, size);
    to->size += size;
    to->bytes[to->size] = '\0';
}

static void add_words(page *to, const char *words) {
    add(to, words, strlen(words));
}

static void add_blanks(page *to, size_t count) {
    for (size_t i = 0; i < count; i++) {
        add(to, " ", 1);
    }
}

/* Words wrapped into the right column, which starts at OPTION_WIDTH. */
static void add_column(page *to, const char *words) {
    size_t column = OPTION_WIDTH;
    while (*words != '\0') {
        size_t size = strcspn(words, " ");
        bool first = column == OPTION_WIDTH;
        if (!first && column + 1 + size > LINE_WIDTH) {
            add_words(to, "\n");
            add_blanks(to, OPTION_WIDTH);
            column = OPTION_WIDTH;
        } else if (!first) {
            add_blanks(to, 1);
            column++;
        }
        add(to, words, size);
        column += size;
        words += size + (words[size] == ' ');
    }
    add_words(to, "\n");
}

static void add_option(page *to, const option_row *row) {
    size_t start = to->size;
    if (row->letter != 0) {
        char letter[] = {' ', ' ', '-', row->letter, ',', ' ', '\0'};
        add_words(to, letter);
    } else {
        add_words(to, "  ");
    }
    add_words(to, "--");
    add_words(to, row->name);
    if (row->argument != NULL) {
        add_words(to, " ");
        add_words(to, row->argument);
    }
    size_t used = to->size - start;
    if (used + 1 >= OPTION_WIDTH) {
        add_words(to, "\n");
        used = 0;
    }
    add_blanks(to, OPTION_WIDTH - used);
    add_column(to, row->help);
}

static const char table_words[] =
    " is a table of contours, or - for standard input. Notes come first, "
    "then a\nheader and a row a point:\n\n"
    "  # speed_mm_per_s = 1\n"
    "  # frame_rate_hz = 30\n"
    "  # mark = iliocaval_confluence @ 12.5\n"
    "  frame,x_mm,y_mm\n"
    "  0,7.21,0.40\n"
    "  0,7.05,1.32\n\n"
    "These marks tell which vein is where: iliocaval_confluence,\n"
    "internal_iliac_confluence, inguinal_ligament, femoral_confluence; for "
    "inflow,\ndeep_femoral_mouth too. Other shapes, pixels and all notes: "
    "docs/formats.md, or\n'man boreline'.\n\n";

int help_command(const command *of) {
    page out = {.size = 0};
    const option_row *rows = request_options();
    add_words(&out, "usage: boreline ");
    add_words(&out, of->name);
    add_words(&out, " [OPTIONS] ");
    add_words(&out, of->files == NULL ? "FILE" : of->files);
    add_words(&out, "\n\n");
    add_words(&out, of->about);
    add_words(&out, of->files == NULL ? "\nFILE" : "\nEach");
    add_words(&out, table_words);
    for (size_t i = 0; rows[i].name != NULL; i++) {
        if ((rows[i].commands & of->bit) != 0 && rows[i].note == NULL) {
            add_option(&out, &rows[i]);
        }
    }
    add_words(&out, "\nInstead of notes in the table (options win over "
                    "notes):\n");
    for (size_t i = 0; rows[i].name != NULL; i++) {
        if ((rows[i].commands & of->bit) != 0 && rows[i].note != NULL) {
            add_option(&out, &rows[i]);
        }
    }
    add_words(&out, "\nExamples:\n");
    add_words(&out, of->examples);
    add_words(&out, "\n");
    add_words(&out, bl_caution());
    add_words(&out, "\n");
    return console_print(out.bytes);
}

int help_program(const command *commands) {
    page out = {.size = 0};
    add_words(&out,
              "usage: boreline COMMAND [OPTIONS] FILE\n\n"
              "Turns the contours traced on an ultrasound pullback through a "
              "deep vein into\nmeasurements, an assessment and a drawn "
              "profile.\n\nCommands:\n");
    for (size_t i = 0; commands[i].name != NULL; i++) {
        size_t used = strlen(commands[i].name);
        add_words(&out, "  ");
        add_words(&out, commands[i].name);
        add_blanks(&out, 12 - used);
        add_words(&out, commands[i].summary);
        add_words(&out, "\n");
    }
    add_words(&out, "\n'boreline COMMAND --help' explains a command; "
                    "--version prints the version.\n\nStart with:\n  boreline "
                    "assess case.csv --plot case.png\n\n");
    add_words(&out, bl_caution());
    add_words(&out, "\n");
    return console_print(out.bytes);
}
