/*
 * wellformed.h - whether a text is what it says it is, for tests that make
 * outputs nobody reads.
 */
#ifndef SUPPORT_WELLFORMED_H
#define SUPPORT_WELLFORMED_H

#include <stdbool.h>
#include <stddef.h>

/* UTF-8 (RFC 3629) without control characters but line feeds. */
bool wellformed_utf8(const char *bytes, size_t size);

/* One JSON value (RFC 8259) and nothing behind it but blanks. */
bool wellformed_json(const char *bytes, size_t size);

/* One element, closed tag by tag, with quoted attributes and known entities,
 * as much of XML 1.0 as SVG needs; no attribute holds nan or inf. */
bool wellformed_xml(const char *bytes, size_t size);

/* Markdown as a record is written: titles, and paragraphs of one line that
 * begin with a bold lead; within a line every character that CommonMark 0.30
 * gives a meaning stands behind a backslash, and no address would be made a
 * link (GitHub Flavored Markdown 0.29, 6.9). */
bool wellformed_markdown(const char *bytes, size_t size);

#endif
