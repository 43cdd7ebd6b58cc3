/*
 * folder.c - a folder for what a test writes.
 */
#include "support/folder.h"

#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>

void folder_make(char path[FOLDER_BYTES]) {
    const char *parent = getenv("TMPDIR");
    int size = snprintf(path, FOLDER_BYTES, "%s/boreline-test-XXXXXX",
                        parent == NULL || *parent == '\0' ? P_tmpdir : parent);
    assert_in_range(size, 1, FOLDER_BYTES - 1);
    assert_non_null(mkdtemp(path));
}

void folder_remove(const char *path) {
    char command[FOLDER_BYTES + 16];
    (void)snprintf(command, sizeof command, "rm -rf '%s'", path);
    assert_int_equal(system(command), 0);
}
