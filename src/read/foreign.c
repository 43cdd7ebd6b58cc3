/*
 * foreign.c - files that are no tables, known by how they begin.
 *
 * The first bytes: ZIP, PKWARE APPNOTE 4.3.7; PDF, ISO 32000-1 7.5.2; PNG,
 * RFC 2083 3.1; JPEG, ITU-T T.81 B.1.1.3; TIFF 6.0 section 2; DICOM, PS3.10
 * 7.1; compound file, MS-CFB 2.2; HTML and JSON by their brackets (all from
 * memory).
 */
#include "read/foreign.h"

#include "pullback/quote.h"

#include <string.h>

/* DICOM has 128 bytes of preamble before its own. */
#define DICOM_AT ((size_t)128)
/* So many characters of UTF-16 tell it. */
#define UTF16_PAIRS ((size_t)4)

static const struct {
    const char *words;
    size_t at;
    size_t size;
    const char *bytes;
} known[] = {
    {"a workbook of a spreadsheet, or another ZIP archive", 0, 4, "PK\3\4"},
    {"an old workbook or another compound file", 0, 4, "\xd0\xcf\x11\xe0"},
    {"a PDF document", 0, 5, "%PDF-"},
    {"a PNG picture", 0, 4, "\x89PNG"},
    {"a JPEG picture", 0, 3, "\xff\xd8\xff"},
    {"a TIFF picture", 0, 4, "II*\0"},
    {"a TIFF picture", 0, 4, "MM\0*"},
    {"a DICOM file", DICOM_AT, 4, "DICM"},
    {"a web page or XML", 0, 1, "<"},
    {"JSON", 0, 1, "{"},
    {"JSON", 0, 1, "["},
};

static const char *name_of(const char *line, size_t size) {
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (size >= known[i].at + known[i].size &&
            memcmp(line + known[i].at, known[i].bytes, known[i].size) == 0) {
            return known[i].words;
        }
    }
    return NULL;
}

/* Text of two bytes a character, of which every second is 0: an even number of
 * them is looked at, since the last may be half a line end. */
static bool is_utf16(const char *line, size_t size) {
    size_t pairs = size / 2 < UTF16_PAIRS ? size / 2 : UTF16_PAIRS;
    size_t little = 0;
    size_t big = 0;
    for (size_t i = 0; i < pairs; i++) {
        bool low = line[2 * i] == '\0';
        bool high = line[2 * i + 1] == '\0';
        little += high && !low;
        big += low && !high;
    }
    return pairs > 1 && (little == pairs || big == pairs);
}

bl_status foreign_check(const char *line, size_t size, bl_message *message) {
    const char *name = name_of(line, size);
    if (name != NULL) {
        return message_set(message, BL_ERR_INPUT, 1, 1,
                           "the file is %s; expected a table in text: export "
                           "or save it as CSV",
                           name);
    }
    return is_utf16(line, size)
               ? message_set(message, BL_ERR_INPUT, 1, 1,
                             "the file is UTF-16 without its byte-order mark; "
                             "save it as UTF-8, or with the mark")
               : BL_OK;
}

bl_status foreign_check_nul(const char *line, size_t size, uint64_t number,
                            bl_message *message) {
    const char *nul = size > 0 ? memchr(line, '\0', size) : NULL;
    return nul != NULL
               ? message_set(message, BL_ERR_INPUT, number,
                             quote_column(line, nul),
                             "a NUL byte; expected a table in text, in UTF-8 "
                             "or in UTF-16 with its byte-order mark")
               : BL_OK;
}
