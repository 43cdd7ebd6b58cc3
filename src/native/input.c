/*
 * input.c - a file or standard input, fed to a study in pieces.
 *
 * One buffer is reused: memory does not grow with the file. The checksum is
 * of the bytes as they came, packed or not.
 */
#include "base/limits.h"
#include "base/message.h"
#include "boreline.h"
#include "native/gunzip.h"
#include "native/room.h"
#include "native/threads.h"
#include "study/batch.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#define PIECE_BYTES 65536

typedef struct input {
    bl_study *study;
    const bl_read_options *options;
    int file;
    uint64_t total; /* bytes of a file, 0 when unknown */
    bl_source source;
    threads *threads; /* NULL when the caller measures alone */
    gunzip *packed;   /* NULL unless the bytes are gzip */
    char *piece;
    bl_message *message;
} input;

static bl_status refused(bl_message *message, const char *what) {
    return message_set(message, BL_ERR_FILE, 0, 0, "%s: %s", what,
                       strerror(errno));
}

/* Fills the piece as far as bytes come: a pipe gives few at a time. *size is
 * less than a piece at the end only. */
static bl_status piece_read(const input *in, size_t *size) {
    *size = 0;
    while (*size < PIECE_BYTES) {
        ssize_t got = read(in->file, in->piece + *size, PIECE_BYTES - *size);
        if (got == 0) {
            break;
        }
        if (got > 0) {
            *size += (size_t)got;
        } else if (errno != EINTR) {
            return refused(in->message, "cannot read");
        }
    }
    return BL_OK;
}

static bl_status study_message(const input *in, bl_status status) {
    if (in->message != NULL && status != BL_OK) {
        *in->message = *bl_study_message(in->study);
    }
    return status;
}

static bl_status feed_study(void *context, const char *bytes, size_t size) {
    const input *in = context;
    return study_message(in, bl_study_feed(in->study, bytes, size));
}

/* The first piece tells whether the bytes are packed. */
static bl_status feed(input *in, size_t size) {
    if (in->source.bytes == 0 && gunzip_is_packed(in->piece, size)) {
        uint64_t limit = in->options->unpacked_limit;
        in->packed = gunzip_new(limit == 0 ? LIMIT_UNPACKED_BYTES : limit,
                                feed_study, in);
        if (in->packed == NULL) {
            return message_memory(in->message);
        }
    }
    if (in->options->checksum) {
        in->source.crc32 = (uint32_t)crc32(
            in->source.crc32, (const Bytef *)in->piece, (uInt)size);
    }
    in->source.bytes += size;
    if (in->options->progress != NULL) {
        in->options->progress(in->options->context, in->source.bytes,
                              in->total);
    }
    return in->packed != NULL
               ? gunzip_feed(in->packed, in->piece, size, in->message)
               : feed_study(in, in->piece, size);
}

static bl_status feed_all(input *in) {
    for (;;) {
        size_t size = 0;
        bl_status status = piece_read(in, &size);
        if (status == BL_OK && size > 0) {
            status = feed(in, size);
        }
        if (status != BL_OK) {
            return status;
        }
        if (size < PIECE_BYTES) {
            break;
        }
    }
    bl_status status =
        in->packed == NULL ? BL_OK : gunzip_finish(in->packed, in->message);
    return status == BL_OK ? study_message(in, bl_study_finish(in->study))
                           : status;
}

static bl_status open_input(input *in, const char *path) {
    struct stat about;
    in->file = STDIN_FILENO;
    if (strcmp(path, "-") != 0) {
        in->file = open(path, O_RDONLY | O_CLOEXEC);
        if (in->file < 0) {
            return refused(in->message, "cannot open");
        }
    }
    if (fstat(in->file, &about) == 0 && S_ISREG(about.st_mode)) {
        in->total = (uint64_t)about.st_size;
        room_make(in->study, in->total);
    }
    in->piece = malloc(PIECE_BYTES);
    return in->piece != NULL ? BL_OK : message_memory(in->message);
}

bl_status bl_study_read(bl_study *study, const char *path,
                        const bl_read_options *options, bl_source *source,
                        bl_message *message) {
    static const bl_read_options defaults = {.checksum = true};
    input in = {.study = study,
                .options = options != NULL ? options : &defaults,
                .source = {.file = path, .options = ""},
                .message = message};
    bl_status status = open_input(&in, path);
    if (status == BL_OK && in.options->threads > 1) {
        in.threads = threads_new(study, in.options->threads);
        status = in.threads != NULL ? BL_OK : message_memory(message);
    }
    if (status == BL_OK) {
        status = feed_all(&in);
        if (status != BL_OK && study_end(study, status) != status) {
            status = message_memory(message);
        }
    }
    threads_free(in.threads);
    if (status == BL_OK) {
        *source = in.source;
    }
    gunzip_free(in.packed);
    free(in.piece);
    if (in.file > STDIN_FILENO) {
        (void)close(in.file); /* opened for reading: nothing to lose */
    }
    return status;
}
