/*
 * small_file.c - a table of expected areas, read whole.
 */
#include "base/limits.h"
#include "base/message.h"
#include "boreline.h"
#include "native/file.h"

#include <stdlib.h>

/* One more than is allowed, so that a longer file is told from one at the
 * limit. */
#define BYTES_MOST ((size_t)LIMIT_AREAS_BYTES + 1)

bl_status bl_normals_read(const char *path, bl_normals **out,
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
        status = bl_normals_from_text(bytes, size, path, out, message);
    }
    free(bytes);
    file_close(file);
    return status;
}
