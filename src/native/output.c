/*
 * output.c - files that appear whole or not at all.
 *
 * Bytes gather in a buffer and go to a new file beside the target, which is
 * synced and renamed over it only by commit. Until then the target keeps what
 * it had, and a discarded output leaves nothing behind. A target that is not
 * a regular file (a device, a pipe) cannot be replaced and is written into.
 */
#include "base/message.h"
#include "boreline.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define BUFFER_BYTES 65536
/* So many at once are not copied first. */
#define LARGE_BYTES 16384

struct bl_output {
    int file;
    bool direct; /* standard output, or a target that is no regular file */
    int error;   /* errno of the first write that failed */
    char *target;
    char *beside; /* NULL when direct */
    size_t held;
    char buffer[BUFFER_BYTES];
};

static bl_status refused(bl_message *message, const char *what, int error) {
    return message_set(message, BL_ERR_FILE, 0, 0, "%s: %s", what,
                       strerror(error));
}

/* The target with its links followed, so that a link stays one. */
static char *resolve(const char *path) {
    char *real = realpath(path, NULL);
    if (real == NULL && errno == ENOENT) {
        real = strdup(path);
    }
    return real;
}

static bl_status open_beside(bl_output *output, bl_message *message) {
    size_t size = strlen(output->target) + sizeof ".XXXXXX";
    output->beside = malloc(size);
    if (output->beside == NULL) {
        return message_memory(message);
    }
    (void)snprintf(output->beside, size, "%s.XXXXXX", output->target);
    output->file = mkstemp(output->beside);
    if (output->file < 0) {
        int error = errno;
        free(output->beside);
        output->beside = NULL;
        return refused(message, "cannot write", error);
    }
    struct stat old;
    mode_t mask = umask(0);
    (void)umask(mask);
    mode_t mode =
        stat(output->target, &old) == 0 ? (old.st_mode & 0777) : (0666 & ~mask);
    if (fchmod(output->file, mode) != 0) {
        return refused(message, "cannot write", errno);
    }
    return BL_OK;
}

static bl_status open_target(bl_output *output, const char *path,
                             bl_message *message) {
    if (strcmp(path, "-") == 0) {
        output->file = STDOUT_FILENO;
        output->direct = true;
        return BL_OK;
    }
    output->target = resolve(path);
    if (output->target == NULL) {
        return errno == ENOMEM ? message_memory(message)
                               : refused(message, "cannot write", errno);
    }
    struct stat old;
    if (stat(output->target, &old) == 0 && !S_ISREG(old.st_mode)) {
        output->direct = true;
        output->file = open(output->target, O_WRONLY | O_CLOEXEC);
        return output->file < 0 ? refused(message, "cannot write", errno)
                                : BL_OK;
    }
    return open_beside(output, message);
}

bl_status bl_output_open(const char *path, bl_output **out,
                         bl_message *message) {
    bl_output *output = malloc(sizeof *output);
    if (output == NULL) {
        return message_memory(message);
    }
    output->file = -1;
    output->direct = false;
    output->error = 0;
    output->target = NULL;
    output->beside = NULL;
    output->held = 0;
    bl_status status = open_target(output, path, message);
    if (status != BL_OK) {
        bl_output_free(output);
        return status;
    }
    *out = output;
    return BL_OK;
}

static bl_status write_all(bl_output *output, const char *bytes, size_t size) {
    while (size > 0 && output->error == 0) {
        ssize_t put = write(output->file, bytes, size);
        if (put >= 0) {
            bytes += put;
            size -= (size_t)put;
        } else if (errno != EINTR) {
            output->error = errno;
        }
    }
    return output->error == 0 ? BL_OK : BL_ERR_FILE;
}

static bl_status write_held(bl_output *output) {
    size_t size = output->held;
    output->held = 0;
    return write_all(output, output->buffer, size);
}

bl_status bl_output_sink(void *context, const char *bytes, size_t size) {
    bl_output *output = context;
    if (size >= LARGE_BYTES || size > BUFFER_BYTES - output->held) {
        bl_status status = write_held(output);
        if (status != BL_OK) {
            return status;
        }
    }
    if (size >= LARGE_BYTES) {
        return write_all(output, bytes, size);
    }
    memcpy(output->buffer + output->held, bytes, size);
    output->held += size;
    return BL_OK;
}

/* Some file systems cannot sync; a full disk that only shows now must stop
 * the rename. */
static void sync_file(bl_output *output) {
    if (fsync(output->file) != 0 && errno != EINVAL && errno != EROFS) {
        output->error = errno;
    }
}

bl_status bl_output_commit(bl_output *output, bl_message *message) {
    if (write_held(output) == BL_OK && !output->direct) {
        sync_file(output);
    }
    if (output->file != STDOUT_FILENO) {
        if (close(output->file) != 0 && output->error == 0) {
            output->error = errno;
        }
        output->file = -1;
    }
    if (output->error == 0 && output->beside != NULL) {
        if (rename(output->beside, output->target) == 0) {
            free(output->beside);
            output->beside = NULL;
        } else {
            output->error = errno;
        }
    }
    return output->error == 0 ? BL_OK
                              : refused(message, "cannot write", output->error);
}

void bl_output_free(bl_output *output) {
    if (output == NULL) {
        return;
    }
    if (output->file >= 0 && output->file != STDOUT_FILENO) {
        (void)close(output->file);
    }
    if (output->beside != NULL) {
        (void)unlink(output->beside);
    }
    free(output->beside);
    free(output->target);
    free(output);
}
