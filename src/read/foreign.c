/*
 * foreign.c - files that are no tables, known by how they begin.
 *
 * The first bytes: ZIP, PKWARE APPNOTE 4.3.7; PDF, ISO 32000-1 7.5.2; PNG,
 * RFC 2083 3.1; JPEG, ITU-T T.81 B.1.1.3; TIFF 6.0 section 2; DICOM, PS3.10
 * 7.1; compound file, MS-CFB 2.2; HTML and JSON by their brackets (all from
 * memory).
 */
#include "read/foreign.h"

#include <string.h>

/* DICOM has 128 bytes of preamble before its own. */
#define DICOM_AT ((size_t)128)

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

const char *foreign_named(const char *line, size_t size) {
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (size >= known[i].at + known[i].size &&
            memcmp(line + known[i].at, known[i].bytes, known[i].size) == 0) {
            return known[i].words;
        }
    }
    return NULL;
}
