/*
 * once.c - runs a command once and tells what it took: time and peak memory.
 *
 *     once OUTPUT COMMAND [ARGUMENT...]
 *
 * The command's standard output goes to the file OUTPUT. On its own standard
 * output once prints wall seconds, processor seconds, peak resident kilobytes
 * and exit status.
 * A child's peak counts the pages of the process that started it, up to the
 * moment of exec; this one is small, a Python is not.
 */
#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

extern char **environ;

static double seconds(void) {
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double processor_seconds(const struct rusage *usage) {
    return (double)(usage->ru_utime.tv_sec + usage->ru_stime.tv_sec) +
           1e-6 * (double)(usage->ru_utime.tv_usec + usage->ru_stime.tv_usec);
}

static int start(const char *output, char **command, pid_t *out) {
    posix_spawn_file_actions_t actions;
    int error = posix_spawn_file_actions_init(&actions);
    if (error != 0) {
        return error;
    }
    error = posix_spawn_file_actions_addopen(
        &actions, 1, output, O_WRONLY | O_CREAT | O_TRUNC, 0666);
    if (error == 0) {
        error = posix_spawnp(out, command[0], &actions, NULL, command, environ);
    }
    posix_spawn_file_actions_destroy(&actions);
    return error;
}

/* What an earlier run wrote is thrown away first, so that its pages are not
 * freed on this run's time. */
static void empty(const char *output) {
    int file = open(output, O_WRONLY | O_TRUNC);
    if (file >= 0) {
        (void)close(file);
    }
}

static int finish(pid_t child, struct rusage *usage, int *out) {
    while (wait4(child, out, 0, usage) < 0) {
        if (errno != EINTR) {
            return errno;
        }
    }
    return 0;
}

int main(int count, char **words) {
    if (count < 3) {
        fputs("usage: once OUTPUT COMMAND [ARGUMENT...]\n", stderr);
        return 2;
    }
    pid_t child = 0;
    struct rusage usage;
    int status = 0;
    empty(words[1]);
    double begin = seconds();
    int error = start(words[1], words + 2, &child);
    if (error == 0) {
        error = finish(child, &usage, &status);
    }
    double wall = seconds() - begin;
    if (error != 0) {
        fprintf(stderr, "once: %s: %s\n", words[2], strerror(error));
        return 1;
    }
    printf("%.6f %.6f %ld %d\n", wall, processor_seconds(&usage),
           usage.ru_maxrss,
           WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status));
    return 0;
}
