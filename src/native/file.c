/*
 * file.c - opening and reading files, with words for what is refused.
 */
#include "native/file.h"

#include "base/message.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <unistd.h>

bl_status file_refused(bl_message *message, const char *what) {
    return message_set(message, BL_ERR_FILE, 0, 0, "%s: %s", what,
                       strerror(errno));
}

bl_status file_open(const char *path, int *file, bl_message *message) {
    bool standard = strcmp(path, "-") == 0;
    *file = standard ? STDIN_FILENO : open(path, O_RDONLY | O_CLOEXEC);
    return *file < 0 ? file_refused(message, "cannot open") : BL_OK;
}

bl_status file_fill(int file, char *bytes, size_t most, size_t *size,
                    bl_message *message) {
    *size = 0;
    while (*size < most) {
        ssize_t got = read(file, bytes + *size, most - *size);
        if (got == 0) {
            break;
        }
        if (got > 0) {
            *size += (size_t)got;
        } else if (errno != EINTR) {
            return file_refused(message, "cannot read");
        }
    }
    return BL_OK;
}

void file_close(int file) {
    if (file > STDIN_FILENO) {
        (void)close(file); /* opened for reading: nothing to lose */
    }
}
