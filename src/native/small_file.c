/*
 * small_file.c - a table of expected areas or a stock list, read whole.
 */
#include "base/limits.h"
#include "base/message.h"
#include "boreline.h"
#include "native/file.h"

#include <stdlib.h>

/* One more than is allowed, so that a longer file is told from one at the
 * limit. */
#define BYTES_MOST ((size_t)LIMIT_SMALL_BYTES + 1)

/* What reads a table of one kind from its bytes into *(kind **)out. */
typedef bl_status (*from_text)(const char *bytes, size_t size, const char *name,
                               void *out, bl_message *message);

static bl_status read_whole(const char *path, from_text take, void *out,
                            bl_message *message) {
    int file;
    bl_status status = file_open(path, &file, message);
    if (status != BL_OK) {
        return status;
    }
    size_t size = 0;
    char *bytes = malloc(BYTES_MOST);
    status = bytes == NULL ? message_memory(message)
                           : file_fill(file, bytes, BYTES_MOST, &size, message);
    if (status == BL_OK) {
        status = take(bytes, size, path, out, message);
    }
    free(bytes);
    file_close(file);
    return status;
}

static bl_status take_normals(const char *bytes, size_t size, const char *name,
                              void *out, bl_message *message) {
    return bl_normals_from_text(bytes, size, name, out, message);
}

static bl_status take_stock(const char *bytes, size_t size, const char *name,
                            void *out, bl_message *message) {
    return bl_stock_from_text(bytes, size, name, out, message);
}

bl_status bl_normals_read(const char *path, bl_normals **out,
                          bl_message *message) {
    return read_whole(path, take_normals, out, message);
}

bl_status bl_stock_read(const char *path, bl_stock **out, bl_message *message) {
    return read_whole(path, take_stock, out, message);
}
