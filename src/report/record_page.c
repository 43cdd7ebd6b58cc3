/*
 * record_page.c - a record as paragraphs.
 *
 * A paragraph of Markdown is one line that begins with its bold lead, so that
 * nothing within it stands where a block could begin; what is left are
 * characters within a line, of which every one that CommonMark or its common
 * extensions give a meaning is escaped by a backslash.
 */
#include "report/record_page.h"

#include "base/unicode.h"
#include "report/prose.h"

#include <assert.h>
#include <string.h>

#define RECORD_TITLE "Ultrasound pullback through a deep vein"
#define REPLACEMENT "\xEF\xBF\xBD" /* U+FFFD */

text *record_page_begin(record_page *to, const char *part, const char *about) {
    assert(to->count < RECORD_PARAGRAPHS);
    record_paragraph *one = &to->paragraphs[to->count++];
    *one = (record_paragraph){.part = part, .about = about};
    return &one->words;
}

void record_page_free(record_page *of) {
    for (size_t i = 0; i < of->count; i++) {
        text_free(&of->paragraphs[i].words);
    }
    of->count = 0;
}

/* ---------------------------------------------------------------- sentences */

static char capital(char letter) {
    return letter >= 'a' && letter <= 'z' ? (char)(letter - 'a' + 'A') : letter;
}

void record_sentence(text *to, const char *words) {
    size_t size = strlen(words);
    if (size == 0) {
        return;
    }
    char first = capital(words[0]);
    text_add(to, to->size > 0 ? " " : "");
    text_bytes(to, &first, 1);
    text_add(to, words + 1);
    text_add(to, strchr(".?!", words[size - 1]) == NULL ? "." : "");
}

void record_sentence_of(text *to, text *words) {
    record_sentence(to, text_c(words));
    to->failed = to->failed || words->failed;
    text_free(words);
}

void record_label(text *to, const char *label) {
    text_add(to, "\"");
    for (const char *at = label; *at != '\0'; at++) {
        char plain = '\'';
        text_bytes(to, *at == '"' ? &plain : at, 1);
    }
    text_add(to, "\"");
}

static bool is_plain(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (c >= '0' && c <= '9') || c == '_' || c == '-' || c == '.' ||
           c == '/';
}

void record_name(text *to, const char *name) {
    size_t size = 0;
    while (is_plain(name[size])) {
        size++;
    }
    if (size > 0 && name[size] == '\0') {
        text_add(to, name);
    } else {
        record_label(to, name);
    }
}

/* --------------------------------------------------------------- characters */

/* What cannot be seen, or changes how what stands beside it reads: controls,
 * separators of lines, marks and overrides of direction (Unicode, chapter 23;
 * UAX 9). */
static bool is_unseen(uint32_t c) {
    return c < 0x20 || (c >= 0x7f && c < 0xa0) ||
           (c >= 0x200b && c <= 0x200f) || (c >= 0x2028 && c <= 0x202e) ||
           (c >= 0x2060 && c <= 0x206f) || c == 0x061c || c == 0xfeff;
}

/* Whether Markdown could take a character for its own: punctuation that
 * CommonMark 0.30 (section 2.4) lets a backslash escape, less what means
 * nothing within a line: " % ' ( ) + , - / ; ?. A full stop and a colon can
 * be of an address, which is made a link where a letter or slash follows. */
static bool is_marking(const char *at) {
    char next = at[1];
    switch (*at) {
    case '.':
        return (next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z');
    case ':':
        return next == '/';
    default:
        return strchr("\\`*_{}[]<>#!|~&$^@=", *at) != NULL;
    }
}

static void add_seen(text *out, const char *words, bool markdown) {
    for (const char *at = words; *at != '\0';) {
        uint32_t c;
        unsigned length = unicode_decode(at, UNICODE_BYTES, &c);
        if (length == 0 || is_unseen(c)) {
            text_add(out, REPLACEMENT);
            at += length == 0 ? 1 : length;
            continue;
        }
        text_add(out, markdown && is_marking(at) ? "\\" : "");
        text_bytes(out, at, length);
        at += length;
    }
}

/* ------------------------------------------------------------------- output */

/* Whether a paragraph is the first of those of its part that say anything. */
static bool begins_part(const record_page *of, size_t index) {
    const char *part = of->paragraphs[index].part;
    bool first = true;
    for (size_t i = 0; i < index; i++) {
        first = first && (of->paragraphs[i].words.size == 0 ||
                          strcmp(of->paragraphs[i].part, part) != 0);
    }
    return first;
}

static void add_capital(text *out, const char *words) {
    char first = capital(words[0]);
    text_bytes(out, &first, 1);
    text_add(out, words + 1);
}

static void paragraph_text(text *out, record_paragraph *of) {
    text whole = {0};
    add_capital(&whole, of->about);
    text_add(&whole, ". ");
    add_seen(&whole, text_c(&of->words), false);
    prose_flow(out, text_c(&whole));
    out->failed = out->failed || whole.failed;
    text_free(&whole);
}

static void paragraph_markdown(text *out, record_paragraph *of) {
    text_add(out, "**");
    add_capital(out, of->about);
    text_add(out, ".** ");
    add_seen(out, text_c(&of->words), true);
    text_add(out, "\n");
}

/* What the two forms differ in. */
typedef struct form {
    const char *title; /* what stands before that of a part */
    void (*paragraph)(text *out, record_paragraph *of);
} form;

static void write_page(record_page *of, const form *as, text *out) {
    for (size_t i = 0; i < of->count; i++) {
        record_paragraph *one = &of->paragraphs[i];
        if (one->words.size > 0) {
            text_add(out, "\n");
            if (begins_part(of, i)) {
                text_add(out, as->title);
                add_capital(out, one->part);
                text_add(out, "\n\n");
            }
            as->paragraph(out, one);
        }
        out->failed = out->failed || one->words.failed;
    }
}

void record_page_text(record_page *of, text *out) {
    static const form as = {"", paragraph_text};
    text_add(out, RECORD_TITLE "\n");
    write_page(of, &as, out);
}

void record_page_markdown(record_page *of, text *out) {
    static const form as = {"## ", paragraph_markdown};
    text_add(out, "# " RECORD_TITLE "\n");
    write_page(of, &as, out);
}

void record_page_json(record_page *of, json *to) {
    json_open(to, "words", '[', false);
    for (size_t i = 0; i < of->count; i++) {
        record_paragraph *one = &of->paragraphs[i];
        if (one->words.size > 0) {
            json_open(to, NULL, '{', false);
            json_string(to, "part", one->part);
            json_string(to, "about", one->about);
            json_string(to, "text", text_c(&one->words));
            json_close(to, '{');
        }
        to->out->failed = to->out->failed || one->words.failed;
    }
    json_close(to, '[');
}
