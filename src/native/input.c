/*
 * input.c - a file or standard input, fed to a study in pieces.
 *
 * One buffer is reused: memory does not grow with the file. The checksum is
 * of the bytes as they came, packed or not.
 */
#include "base/limits.h"
#include "base/message.h"
#include "boreline.h"
#include "native/file.h"
#include "native/gunzip.h"
#include "native/room.h"
#include "native/threads.h"
#include "study/ending.h"

#include <stdlib.h>
#include <sys/stat.h>
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

static bl_status study_message(const input *in, bl_status status) {
    if (status != BL_OK) {
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
        bl_status status =
            file_fill(in->file, in->piece, PIECE_BYTES, &size, in->message);
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
    bl_status status = file_open(path, &in->file, in->message);
    if (status != BL_OK) {
        return status;
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
    bl_message told = {.status = BL_OK};
    input in = {.study = study,
                .options = options != NULL ? options : &defaults,
                .file = -1,
                .source = {.file = path, .options = ""},
                .message = &told};
    bl_status status = open_input(&in, path);
    if (status == BL_OK && in.options->threads > 1) {
        in.threads = threads_new(study, in.options->threads);
        status = in.threads != NULL ? BL_OK : message_memory(&told);
    }
    bool begun = status == BL_OK;
    if (begun) {
        status = feed_all(&in);
    }
    if (status != BL_OK) {
        study_tell(study, &told);
        status = begun ? study_end(study, status) : status;
        if (message != NULL) {
            *message = *bl_study_message(study);
        }
    } else {
        *source = in.source;
    }
    threads_free(in.threads);
    gunzip_free(in.packed);
    free(in.piece);
    file_close(in.file);
    return status;
}
