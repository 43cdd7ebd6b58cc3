/*
 * marks.c - marks that cannot be meant as they stand.
 *
 * A border may lie beyond what was traced, but not far: what does is a slip of
 * a digit or of the unit (our own measure).
 */
#include "pullback/marks.h"

#include "base/blank.h"
#include "base/text.h"
#include "pullback/quote.h"
#include "pullback/veins.h"

#include <string.h>

#define FAR_MM 50.0

static quote quoted(const bl_mark *mark) {
    return quote_bytes(mark->name, strlen(mark->name));
}

static uint64_t later_line(const bl_mark *a, const bl_mark *b) {
    return a->line > b->line ? a->line : b->line;
}

/* Marks that contradict the travel name the wrong veins. */
static bl_status doubt_order(const bl_pullback *pullback, findings *said) {
    const bl_mark *before = NULL;
    bl_status status = BL_OK;
    for (unsigned i = 0; status == BL_OK && i < VEIN_BORDERS; i++) {
        const bl_mark *mark = vein_border(pullback, i);
        if (mark == NULL) {
            continue;
        }
        bool caudally =
            before == NULL || mark->position_mm >= before->position_mm;
        if (before != NULL && caudally != (pullback->travel == BL_END_CAUDAL)) {
            status = findings_warn(
                said, later_line(before, mark), 0, -1,
                "marks %s and %s stand in an order that contradicts travel = "
                "%s: veins are named wrongly",
                before->name, mark->name, bl_end_name(pullback->travel));
        }
        before = mark;
    }
    return status;
}

static bool is_marked(const bl_pullback *pullback, const char *name) {
    size_t i = 0;
    while (i < pullback->mark_count &&
           strcmp(pullback->marks[i].name, name) != 0) {
        i++;
    }
    return i < pullback->mark_count;
}

/* Any name may stand on a mark, but only a border's own tells of veins. */
static bl_status doubt_names(const bl_pullback *pullback, findings *said) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        const char *meant = vein_border_meant(mark->name);
        if (meant != NULL && !is_marked(pullback, meant)) {
            status = findings_warn(
                said, mark->line, 0, -1,
                "the mark %s tells of no vein; did you mean '%s'?",
                quoted(mark).text, meant);
        }
    }
    return status;
}

/* The next letter, lower-case, behind blanks and what stands for them. */
static char next_letter(const char **at) {
    while (blank_is(**at) || **at == '_') {
        (*at)++;
    }
    char c = **at;
    *at += c != '\0';
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* The same letters, whatever their case (of ASCII) and the blanks. */
static bool is_alike(const char *a, const char *b) {
    char letter;
    do {
        letter = next_letter(&a);
        if (letter != next_letter(&b)) {
            return false;
        }
    } while (letter != '\0');
    return true;
}

/* Two names that are one to a person: the mark was given twice. */
static bl_status doubt_alike(const bl_pullback *pullback, findings *said) {
    bl_status status = BL_OK;
    for (size_t i = 1; status == BL_OK && i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        size_t other = 0;
        while (other < i &&
               !is_alike(pullback->marks[other].name, mark->name)) {
            other++;
        }
        if (other < i) {
            const bl_mark *first = &pullback->marks[other];
            status = findings_warn(
                said, later_line(first, mark), 0, -1,
                "the marks %s and %s differ in case or blanks only; if they "
                "are one, keep one, else rename it",
                quoted(first).text, quoted(mark).text);
        }
    }
    return status;
}

static bl_status say_far(const bl_mark *mark, bl_span traced, findings *said) {
    text words = {0};
    text_format(&words, "the mark %s at ", quoted(mark).text);
    text_fixed(&words, mark->position_mm, 1);
    text_add(&words, " mm is far outside the traced vein, ");
    text_span(&words, traced);
    text_add(&words, "; check its position and unit");
    return findings_warn_text(said, mark->line, -1, &words);
}

static bl_status doubt_places(const bl_pullback *pullback, bl_span traced,
                              findings *said) {
    bl_status status = BL_OK;
    for (size_t i = 0; status == BL_OK && i < pullback->mark_count; i++) {
        const bl_mark *mark = &pullback->marks[i];
        if (mark->position_mm < traced.from_mm - FAR_MM ||
            mark->position_mm > traced.to_mm + FAR_MM) {
            status = say_far(mark, traced, said);
        }
    }
    return status;
}

bl_status marks_doubt(const bl_pullback *pullback, bl_span traced,
                      findings *said) {
    bl_status status = doubt_order(pullback, said);
    if (status == BL_OK) {
        status = doubt_names(pullback, said);
    }
    if (status == BL_OK) {
        status = doubt_alike(pullback, said);
    }
    return status == BL_OK ? doubt_places(pullback, traced, said) : status;
}
