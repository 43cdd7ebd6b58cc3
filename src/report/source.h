/*
 * source.h - what every report says of its input.
 */
#ifndef REPORT_SOURCE_H
#define REPORT_SOURCE_H

#include "base/text.h"
#include "boreline.h"
#include "report/json.h"

/* Members "file", "crc32" and "options" of the object that is open. */
void source_json(json *to, const bl_source *source);

/* "9ae0daaf", or "not known". */
void source_checksum(text *out, const bl_source *source);

/* Member "pullback": labels, length, how positions and scale were known. */
void source_pullback_json(json *to, const bl_study *study);

/* "; case; side; stage; reader A", of what is known. */
void source_labels(text *out, const bl_pullback *pullback);

/* Words in the left column of a text, which is so wide. */
#define SOURCE_HEADING_WIDTH 15
void source_heading(text *out, const char *words);

/* The flags' words with blanks between. */
void source_flags(text *out, uint32_t flags);

#endif
