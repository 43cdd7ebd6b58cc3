/*
 * gunzip.h - a gzip stream, unpacked as its bytes come.
 */
#ifndef NATIVE_GUNZIP_H
#define NATIVE_GUNZIP_H

#include "boreline.h"

typedef struct gunzip gunzip;

/* Whether the first bytes are those of gzip (RFC 1952: 1f 8b). */
bool gunzip_is_packed(const char *bytes, size_t size);

/* Unpacked bytes go to the sink; more than `limit` of them are BL_ERR_LIMIT.
 * NULL when memory is out. */
gunzip *gunzip_new(uint64_t limit, bl_sink sink, void *context);

/* The next bytes of the stream. Members follow each other as one; zeros behind
 * the last are passed over. BL_ERR_INPUT for a damaged stream, BL_ERR_LIMIT,
 * BL_ERR_MEMORY with the words in message; what the sink returns, without. */
bl_status gunzip_feed(gunzip *of, const char *bytes, size_t size,
                      bl_message *message);

/* The end of the stream: BL_ERR_INPUT when it is cut short. */
bl_status gunzip_finish(const gunzip *of, bl_message *message);

void gunzip_free(gunzip *of);

#endif
