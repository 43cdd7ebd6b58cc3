/*
 * record_page.h - a record as paragraphs, each about one matter, written as
 * text, as Markdown or as members of JSON.
 *
 * Words come from files: a label may be anything. Text and Markdown replace
 * what is no printable UTF-8, and characters that turn the direction of
 * writing, by U+FFFD; Markdown escapes all that it could take for its own.
 */
#ifndef REPORT_RECORD_PAGE_H
#define REPORT_RECORD_PAGE_H

#include "base/text.h"
#include "report/json.h"

#define RECORD_PARAGRAPHS ((size_t)48)

/* All are constants but for the words. */
typedef struct record_paragraph {
    const char *part;  /* "before", "after", ...: of what */
    const char *about; /* its first word or two */
    text words;        /* sentences; none: the paragraph is left out */
} record_paragraph;

typedef struct record_page {
    record_paragraph paragraphs[RECORD_PARAGRAPHS];
    size_t count;
} record_page;

/* Begins a paragraph, whose words are to be filled. */
text *record_page_begin(record_page *to, const char *part, const char *about);
void record_page_free(record_page *of);

/* Adds words to a paragraph as a sentence of its own: with a blank before it, a
 * capital and a full stop. Without words nothing. */
void record_sentence(text *to, const char *words);
/* The same of composed words, which are freed. */
void record_sentence_of(text *to, text *words);

/* A label in double quotes, which those within it cannot end. */
void record_label(text *to, const char *label);
/* A name, in quotes unless it is of letters, digits and "_-./" only. */
void record_name(text *to, const char *name);

/* Parts under their titles. */
void record_page_text(record_page *of, text *out);
void record_page_markdown(record_page *of, text *out);
/* Member "words": a list of objects with part, about and text. */
void record_page_json(record_page *of, json *to);

#endif
