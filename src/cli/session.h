/*
 * session.h - what every command does: read the table, write the outputs.
 */
#ifndef CLI_SESSION_H
#define CLI_SESSION_H

#include "cli/request.h"

typedef struct session {
    const request *wanted;
    bl_assess_options assess; /* as wanted, with the table of --expected */
    bl_normals *expected;
    bl_study *study;
    bl_source source;
} session;

typedef enum session_way {
    SESSION_PLAIN,
    SESSION_KEEPS_CONTOURS,
    SESSION_CHECKSUM, /* of which text tells the checksum too */
    SESSION_APPOSES,  /* holds devices against the wall */
    SESSION_GOES_ON   /* behind faults, to find them all */
} session_way;

/* Reads the input into a study; *read and *message tell how that ended, and
 * nothing is said of it. 0 or an exit status when it did not begin; free with
 * session_close in any case. */
int session_read(session *out, const request *wanted, uint32_t columns,
                 session_way way, bl_status *read, bl_message *message);

/* Reads the input into a study; says what was wrong and what was noticed.
 * 0 or an exit status; free with session_close in any case. */
int session_open(session *out, const request *wanted, uint32_t columns,
                 session_way way);
void session_close(session *of);

/* Writes one file: `write` gets the session and a sink. 0 or exit status. */
typedef bl_status (*session_writer)(const session *of, const void *what,
                                    bl_sink sink, void *context);
int session_write(const session *of, const char *path, session_writer write,
                  const void *what);

/* Whether both name one file that is there. */
bool session_is_same_file(const char *a, const char *b);

/* Whether two inputs that were read hold the same bytes: one file by other
 * names, or a copy. */
bool session_is_same_content(const session *a, const session *b);

/* EXIT_USAGE, after saying so, when the path names an input itself. */
int session_check_output(const request *wanted, const char *path);

/* The same of -o where it takes a report, and when its path ends as a picture
 * does; `draws` is what draws one. */
int session_check_report(const request *wanted, const char *draws);

/* EXIT_USAGE, after saying so, unless the path ends as a picture does. */
int session_check_picture(const char *path);

/* Both of the output and, where one is asked for, of the picture beside it, and
 * EXIT_USAGE, after saying so, where they would be one file. */
int session_check_outputs(const request *wanted);

/* Writes a figure, which is freed, to a path by its ending; `drawn` is how the
 * drawing of it ended. 0 or exit status. */
int session_paint(const session *of, bl_status drawn, bl_figure *figure,
                  const char *path);

/* Draws the profile, with the plan where there is one (else NULL), to a path by
 * its ending. 0 or exit status. */
int session_draw(const session *of, const bl_assessment *assessment,
                 const bl_plan *plan, const char *path);

/* Says where position and scale come from on standard error: a table has no
 * room for it. */
void session_say_origin(const session *of);

/* Says the assessment's warnings on standard error, but for those of reading,
 * which session_open said: for outputs that have no room for them. */
void session_warn(const session *of, const bl_assessment *assessment);

#endif
