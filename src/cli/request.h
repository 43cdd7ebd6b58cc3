/*
 * request.h - one command line, read; and the one table of options that
 * parsing and help come from.
 */
#ifndef CLI_REQUEST_H
#define CLI_REQUEST_H

#include "boreline.h"

#define EXIT_WORK 1
#define EXIT_USAGE 2

/* The commands, as bits, so that an option can name those that take it. */
enum command_bit {
    FOR_MEASURE = 1,
    FOR_ASSESS = 2,
    FOR_PLOT = 4,
    FOR_CHECK = 8,
    FOR_PLAN = 16,
    FOR_COMPARE = 32,
    FOR_INFLOW = 64,
    FOR_RECORD = 128,
    FOR_ALL = FOR_MEASURE | FOR_ASSESS | FOR_PLOT | FOR_CHECK | FOR_PLAN |
              FOR_COMPARE | FOR_INFLOW | FOR_RECORD
};

/* A note set from the command line. */
typedef struct setting {
    const char *key;
    const char *value;
    bool second_only; /* of the second of two tables */
} setting;

typedef enum format {
    FORMAT_PLAIN,
    FORMAT_JSON,
    FORMAT_CSV,
    FORMAT_MARKDOWN
} format;

typedef struct request {
    const char *input;    /* the first */
    char *const *inputs;  /* all of them */
    size_t input_count;   /* 1 or more */
    const char *second;   /* of a pair of tables; else NULL */
    bool is_second;       /* `input` is that one */
    const char *output;   /* "-" unless -o was given */
    const char *plot;     /* NULL unless --plot was given */
    const char *expected; /* NULL unless --expected was given */
    const char *stock;    /* NULL unless --stock was given */
    const char *treat;    /* NULL unless --treat was given */
    format as;
    bool format_given; /* by --format */
    bool help;
    const char *treated; /* NULL unless --treated was given */
    bool reference_given;
    bool after_reference_given;
    bl_reference_choice after_reference;
    bool columns_given;
    bl_column columns[BL_COLUMN_COUNT];
    size_t column_count;
    unsigned digits;
    bl_assess_options assess;
    /* Without what has to be read first: stock, stretch to treat; and without
     * where the wishes are. */
    bl_plan_options plan;
    bl_device_wish wishes[BL_WISHES_MOST]; /* plan.wish_count of them */
    /* Without what has to be read first, the treated stretch, and without where
     * the sizes are. */
    bl_compare_options compare;
    bl_nominal nominals[BL_NOMINALS_MOST]; /* compare.nominal_count of them */
    double gap_tolerance_mm;               /* 0 unless given */
    bl_figure_options size;
    double dpi;
    double within_mm;      /* of each caudal end, for inflow */
    size_t repeats;        /* findings of one sort listed, 0 for the default */
    unsigned threads;      /* 1 or more */
    uint64_t memory_limit; /* bytes, 0 unless given */
    uint64_t unpacked_limit; /* bytes, 0 unless given */
    setting *settings;       /* as many as there are options; owned */
    size_t setting_count;
    char *options; /* as given, less the names of outputs; owned */
} request;

/* One row of the table of options. */
typedef struct option_row {
    const char *name;
    char letter;          /* 0: none */
    const char *argument; /* NULL: takes none */
    unsigned commands;
    const char *note; /* the note that it sets, or NULL */
    int (*apply)(request *to, const char *value); /* when it sets none */
    const char *help;
} option_row;

typedef struct command {
    const char *name;
    enum command_bit bit;
    int (*run)(const request *wanted);
    const char *files;   /* NULL: it takes one; else how several are named */
    size_t files_least;  /* where it takes several */
    size_t files_most;   /* 2: they are a pair, of which one may do */
    const char *summary; /* one line */
    const char *about;   /* for its help */
    const char *examples;
} command;

/* The table, ended by a row whose name is NULL. */
const option_row *request_options(void);

/* Reads the arguments after the command's name. 0, EXIT_WORK or EXIT_USAGE
 * after saying why. The request is freed with request_free in any case. */
int request_parse(const command *of, int count, char **arguments, request *out);
void request_free(request *of);

/* Adds a note to set, in the first of two tables, or in the second: 0, or
 * EXIT_WORK after saying that memory is out. */
int request_set(request *to, const char *key, const char *value);
int request_set_second(request *to, const char *key, const char *value);

/* Help for the program and for a command, to standard output: exit status. */
int help_program(const command *commands);
int help_command(const command *of);

extern const command command_check;
extern const command command_measure;
extern const command command_assess;
extern const command command_plot;
extern const command command_plan;
extern const command command_inflow;
extern const command command_compare;
extern const command command_record;

#endif
