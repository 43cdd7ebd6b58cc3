/*
 * lookalike.c - characters that look like those of a number or a name and are
 * others.
 *
 * Word processors and spreadsheets put them there, and on paper nobody sees
 * it. Code points: the Unicode standard, names list.
 */
#include "pullback/lookalike.h"

#include "base/unicode.h"

static const char no_utf8[] =
    "; its bytes are no UTF-8, but perhaps Latin-1 or Windows-1252: save the "
    "table as UTF-8";

static const struct {
    uint32_t first;
    uint32_t last;
    const char *hint;
} known[] = {
    {0x2010, 0x2015, "; its minus is a dash: write '-'"},
    {0x2212, 0x2212, "; its minus is typographic, U+2212: write '-'"},
    {0xA0, 0xA0, "; it holds a no-break space, U+00A0: take it out"},
    {0x2000, 0x200A, "; it holds a typographic space: take it out"},
    {0x200B, 0x200F, "; it holds a character that is not seen: take it out"},
    {0x202F, 0x202F, "; it holds a no-break space, U+202F: take it out"},
    {0xFEFF, 0xFEFF, "; it holds a byte-order mark, U+FEFF: take it out"},
};

static const char *hint_of(uint32_t code) {
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (code >= known[i].first && code <= known[i].last) {
            return known[i].hint;
        }
    }
    return "";
}

const char *lookalike_hint(const char *bytes, size_t size) {
    const char *found = "";
    for (size_t at = 0; at < size;) {
        uint32_t code;
        unsigned length = unicode_decode(bytes + at, size - at, &code);
        if (length == 0) {
            return no_utf8;
        }
        found = *found == '\0' ? hint_of(code) : found;
        at += length;
    }
    return found;
}
