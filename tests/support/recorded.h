/*
 * recorded.h - records of the samples by the program itself, and what the
 * commands that they come from say with the same options.
 */
#ifndef SUPPORT_RECORDED_H
#define SUPPORT_RECORDED_H

#include "support/check.h"
#include "support/leaves.h"

#define RECORDED_SAMPLES 21
/* Bytes of an output, and of a paragraph. */
#define RECORDED_OUTPUT (1 << 20)
#define RECORDED_PARAGRAPH 16384

typedef struct recorded_sample {
    const char *file;
    const char *assess;  /* options that all commands take */
    const char *plan;    /* options of the plan, or NULL for none */
    const char *second;  /* the table after, or NULL for none */
    const char *compare; /* options of the comparison */
} recorded_sample;

extern const recorded_sample recorded_samples[RECORDED_SAMPLES];

/* What a command prints, to be freed; the test fails unless it ends well. */
char *recorded_output(const char *command, const char *options,
                      const char *files);

/* The same of a sample. A plan or comparison that its record does not have is
 * "". */
char *recorded_record(const recorded_sample *of, const char *format);
char *recorded_assess(const recorded_sample *of, const char *format,
                      const char *file);
char *recorded_plan(const recorded_sample *of, const char *format);
char *recorded_comparison(const recorded_sample *of, const char *format);

/* Paragraph `index` of a record in JSON as its text shows it, in one line:
 * about, a full stop, sentences. */
void recorded_paragraph(const leaves *record, size_t index,
                        char to[RECORDED_PARAGRAPH]);
size_t recorded_paragraph_count(const leaves *record);

/* A record in text with each paragraph in one line, to be freed. */
char *recorded_unwrapped(const char *text);

/* Runs each of the checks on each of the samples, its state. */
typedef struct recorded_check {
    const char *name;
    CMUnitTestFunction run;
} recorded_check;

int recorded_run(const char *group, const recorded_check *checks, size_t count);

#endif
