/*
 * table.c - a study of a table in text, read to its end or to its error.
 */
#include "support/table.h"

#include <string.h>

static bl_study *begin(uint32_t columns) {
    bl_study_options options = {.columns = columns, .keep_contours = true};
    bl_study *study = NULL;
    assert_int_equal(bl_study_new(&options, &study), BL_OK);
    return study;
}

static bl_status read_all(bl_study *study, const char *text) {
    bl_status status = bl_study_feed(study, text, strlen(text));
    return status == BL_OK ? bl_study_finish(study) : status;
}

bl_study *table_study(const char *text, uint32_t columns) {
    bl_study *study = begin(columns);
    if (read_all(study, text) != BL_OK) {
        fail_msg("%s\n%s", text, bl_study_message(study)->text);
    }
    return study;
}

bl_status table_read(const char *text, const char *key, const char *value,
                     bl_message *message) {
    bl_study *study = begin(BL_COLUMNS_ASSESS);
    bl_status status = BL_OK;
    if (key != NULL) {
        status = bl_study_set(study, key, value);
    }
    if (status == BL_OK) {
        status = read_all(study, text);
    }
    *message = *bl_study_message(study);
    bl_study_free(study);
    return status;
}

void table_refused(const char *text, bl_status status, uint64_t line,
                   uint64_t column, const char *expected) {
    bl_message got = {0};
    bl_status ended = table_read(text, NULL, NULL, &got);
    if (ended != status || got.status != status || got.line != line ||
        got.column != column || strcmp(got.text, expected) != 0) {
        fail_msg("%s\nended %d at %llu:%llu: %s\nexpected %d at %llu:%llu: %s",
                 text, (int)ended, (unsigned long long)got.line,
                 (unsigned long long)got.column, got.text, (int)status,
                 (unsigned long long)line, (unsigned long long)column,
                 expected);
    }
}
