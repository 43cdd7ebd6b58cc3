/*
 * small_file.c - a table of expected areas or a stock list, read whole.
 */
#include "base/limits.h"
#include "base/message.h"
#include "boreline.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* One more than is allowed, so that a longer file is told from one at the
 * limit. */
#define BYTES_MOST ((size_t)LIMIT_SMALL_BYTES + 1)

static bl_status refused(bl_message *message, const char *what) {
    return message_set(message, BL_ERR_FILE, 0, 0, "%s: %s", what,
                       strerror(errno));
}

static bl_status fill(int file, char *bytes, size_t *size,
                      bl_message *message) {
    while (*size < BYTES_MOST) {
        ssize_t got = read(file, bytes + *size, BYTES_MOST - *size);
        if (got == 0) {
            break;
        }
        if (got > 0) {
            *size += (size_t)got;
        } else if (errno != EINTR) {
            return refused(message, "cannot read");
        }
    }
    return BL_OK;
}

/* What reads a table of one kind from its bytes into *(kind **)out. */
typedef bl_status (*from_text)(const char *bytes, size_t size, const char *name,
                               void *out, bl_message *message);

static bl_status read_whole(const char *path, from_text take, void *out,
                            bl_message *message) {
    bool standard = strcmp(path, "-") == 0;
    int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return refused(message, "cannot open");
    }
    size_t size = 0;
    char *bytes = malloc(BYTES_MOST);
    bl_status status = bytes == NULL ? message_memory(message)
                                     : fill(file, bytes, &size, message);
    if (status == BL_OK) {
        status = take(bytes, size, path, out, message);
    }
    free(bytes);
    if (!standard) {
        (void)close(file); /* opened for reading: nothing to lose */
    }
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
