/*
 * input.c - a file or standard input, fed to a study in pieces.
 *
 * One buffer is reused: memory does not grow with the file. The checksum is
 * of the bytes as they came.
 */
#include "base/message.h"
#include "boreline.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zlib.h>

#define PIECE_BYTES 262144

static bl_status refused(bl_message *message, const char *what) {
    return message_set(message, BL_ERR_FILE, 0, 0, "%s: %s", what,
                       strerror(errno));
}

/* *size is 0 at the end. */
static bl_status piece_read(int file, char *piece, size_t *size,
                            bl_message *message) {
    for (;;) {
        ssize_t got = read(file, piece, PIECE_BYTES);
        if (got >= 0) {
            *size = (size_t)got;
            return BL_OK;
        }
        if (errno != EINTR) {
            return refused(message, "cannot read");
        }
    }
}

static bl_status study_message(const bl_study *study, bl_status status,
                               bl_message *message) {
    if (message != NULL) {
        *message = *bl_study_message(study);
    }
    return status;
}

static bl_status feed_all(bl_study *study, int file, char *piece,
                          bl_source *source, bl_message *message) {
    uLong check = crc32(0, NULL, 0);
    uint64_t bytes = 0;
    for (;;) {
        size_t size = 0;
        bl_status status = piece_read(file, piece, &size, message);
        if (status != BL_OK) {
            return status;
        }
        if (size == 0) {
            break;
        }
        check = crc32(check, (const Bytef *)piece, (uInt)size);
        bytes += size;
        status = bl_study_feed(study, piece, size);
        if (status != BL_OK) {
            return study_message(study, status, message);
        }
    }
    bl_status status = bl_study_finish(study);
    if (status != BL_OK) {
        return study_message(study, status, message);
    }
    source->crc32 = (uint32_t)check;
    source->bytes = bytes;
    return BL_OK;
}

bl_status bl_study_read(bl_study *study, const char *path, bl_source *source,
                        bl_message *message) {
    bool standard = strcmp(path, "-") == 0;
    int file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return refused(message, "cannot open");
    }
    char *piece = malloc(PIECE_BYTES);
    bl_status status = piece == NULL
                           ? message_memory(message)
                           : feed_all(study, file, piece, source, message);
    if (status == BL_OK) {
        source->file = path;
    }
    free(piece);
    if (!standard) {
        (void)close(file); /* opened for reading: nothing to lose */
    }
    return status;
}
