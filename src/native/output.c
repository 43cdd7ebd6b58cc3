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
#include "native/file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define BUFFER_BYTES 65536
/* As many as Linux follows (path_resolution(7)). */
#define LINKS_MOST 40
/* Names beside the target that are tried. */
#define BESIDE_MOST 256
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

/* Memory, or NULL and ENOMEM, which is set here: compilers may take malloc and
 * strdup not to touch errno. */
static char *room(size_t size) {
    char *out = malloc(size);
    if (out == NULL) {
        errno = ENOMEM;
    }
    return out;
}

static char *copy_of(const char *words) {
    size_t size = strlen(words) + 1;
    char *out = room(size);
    if (out != NULL) {
        memcpy(out, words, size);
    }
    return out;
}

/* A name in the folder that the path's last slash ends, "" for none. */
static char *beside_path(const char *path, const char *name) {
    const char *slash = strrchr(path, '/');
    size_t folder = slash == NULL ? 0 : (size_t)(slash + 1 - path);
    size_t size = strlen(name) + 1;
    char *out = room(folder + size);
    if (out != NULL) {
        memcpy(out, path, folder);
        memcpy(out + folder, name, size);
    }
    return out;
}

/* Where a link leads, from the folder it stands in; NULL and EINVAL where there
 * is none. */
static char *follow(const char *link) {
    char to[PATH_MAX];
    ssize_t size = readlink(link, to, sizeof to - 1);
    if (size < 0) {
        errno = errno == ENOENT ? EINVAL : errno;
        return NULL;
    }
    to[size] = '\0';
    return to[0] == '/' ? copy_of(to) : beside_path(link, to);
}

/* A file that is yet to be: its folder, which is there, and its name. */
static char *resolve_folder(const char *path) {
    const char *slash = strrchr(path, '/');
    const char *name = slash == NULL ? path : slash + 1;
    char *folder = beside_path(path, ".");
    char *real = folder == NULL ? NULL : realpath(folder, NULL);
    free(folder);
    if (real == NULL) {
        return NULL;
    }
    size_t size = strlen(real) + strlen(name) + 2;
    char *out = room(size);
    if (out != NULL) {
        (void)snprintf(out, size, "%s/%s", real, name);
    }
    free(real);
    return out;
}

/* The target with its links followed, so that a link stays one, also one to a
 * file that is yet to be; one path for each file. NULL and errno. */
static char *resolve(const char *path) {
    char *at = copy_of(path);
    for (int links = 0; at != NULL && links <= LINKS_MOST; links++) {
        char *real = realpath(at, NULL);
        if (real != NULL || errno != ENOENT) {
            free(at);
            return real;
        }
        char *next = follow(at);
        if (next == NULL && errno == EINVAL) {
            real = resolve_folder(at);
            free(at);
            return real;
        }
        free(at);
        at = next;
    }
    if (at != NULL) {
        free(at);
        errno = ELOOP;
    }
    return NULL;
}

bool bl_output_is_same(const char *a, const char *b) {
    bool standard = strcmp(a, "-") == 0 || strcmp(b, "-") == 0;
    if (standard) {
        return strcmp(a, b) == 0;
    }
    char *of_a = resolve(a);
    char *of_b = resolve(b);
    bool same = of_a != NULL && of_b != NULL && strcmp(of_a, of_b) == 0;
    free(of_a);
    free(of_b);
    return same;
}

/* A new file by a name that nothing has; the kernel takes the umask from its
 * mode, which could only be asked by changing it for the whole process. */
static int create_beside(const char *target, mode_t mode, char *name,
                         size_t size) {
    unsigned long first = (unsigned long)getpid() * BESIDE_MOST;
    int file = -1;
    errno = EEXIST;
    for (unsigned i = 0; file < 0 && errno == EEXIST && i < BESIDE_MOST; i++) {
        (void)snprintf(name, size, "%s.%06lx", target,
                       (first + i) & 0xffffffUL);
        file = open(name, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, mode);
    }
    return file;
}

/* A file that is there keeps its mode; nobody else may open the new one
 * before it has it. */
static bl_status open_beside(bl_output *output, bl_message *message) {
    struct stat old;
    bool replaces = stat(output->target, &old) == 0;
    mode_t mode = replaces ? old.st_mode & 0777 : 0666;
    size_t size = strlen(output->target) + sizeof ".XXXXXX";
    output->beside = malloc(size);
    if (output->beside == NULL) {
        return message_memory(message);
    }
    output->file = create_beside(output->target, mode, output->beside, size);
    if (output->file < 0) {
        bl_status status = file_refused(message, "cannot write");
        free(output->beside);
        output->beside = NULL;
        return status;
    }
    return replaces && fchmod(output->file, mode) != 0
               ? file_refused(message, "cannot write")
               : BL_OK;
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
                               : file_refused(message, "cannot write");
    }
    struct stat old;
    if (stat(output->target, &old) == 0 && !S_ISREG(old.st_mode)) {
        output->direct = true;
        output->file = open(output->target, O_WRONLY | O_CLOEXEC);
        return output->file < 0 ? file_refused(message, "cannot write") : BL_OK;
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
    errno = output->error;
    return errno == 0 ? BL_OK : file_refused(message, "cannot write");
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
