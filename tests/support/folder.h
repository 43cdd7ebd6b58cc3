/*
 * folder.h - a folder for what a test writes, its own, so that two runs at once
 * do not meet.
 */
#ifndef SUPPORT_FOLDER_H
#define SUPPORT_FOLDER_H

#define FOLDER_BYTES 512

/* Makes an empty folder in that for temporary files (TMPDIR), and names it. */
void folder_make(char path[FOLDER_BYTES]);

/* Removes it with all that is in it. */
void folder_remove(const char *path);

#endif
