/*
 * fuzz_replay_test.c - the fuzz targets on every file of their corpus: inputs
 * that reach something of their own, and those that once broke a property.
 *
 * A target that finds a property broken aborts and says where.
 */
#include "support/check.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FILE_BYTES 65536

int fuzz_areas(const uint8_t *bytes, size_t size);
int fuzz_assessment(const uint8_t *bytes, size_t size);
int fuzz_comparison(const uint8_t *bytes, size_t size);
int fuzz_geometry(const uint8_t *bytes, size_t size);
int fuzz_gzip(const uint8_t *bytes, size_t size);
int fuzz_inflow(const uint8_t *bytes, size_t size);
int fuzz_notes(const uint8_t *bytes, size_t size);
int fuzz_options(const uint8_t *bytes, size_t size);
int fuzz_pair(const uint8_t *bytes, size_t size);
int fuzz_record(const uint8_t *bytes, size_t size);
int fuzz_stock(const uint8_t *bytes, size_t size);
int fuzz_table(const uint8_t *bytes, size_t size);

typedef struct target {
    const char *name;
    int (*run)(const uint8_t *bytes, size_t size);
} target;

/* The bytes of a file in memory of just their size, so that a sanitizer sees
 * what reads past them. */
static uint8_t *load(const char *path, size_t *size) {
    static uint8_t bytes[FILE_BYTES];
    FILE *from = fopen(path, "rb");
    assert_non_null(from);
    *size = fread(bytes, 1, sizeof bytes, from);
    assert_true(*size < sizeof bytes);
    (void)fclose(from);
    uint8_t *copy = malloc(*size + (*size == 0));
    assert_non_null(copy);
    memcpy(copy, bytes, *size);
    return copy;
}

static void replay(const target *of) {
    char path[512];
    size_t files = 0;
    (void)snprintf(path, sizeof path, "tests/fuzz/corpus/%s", of->name);
    DIR *folder = opendir(path);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        if (entry->d_name[0] == '.') {
            continue;
        }
        (void)snprintf(path, sizeof path, "tests/fuzz/corpus/%s/%s", of->name,
                       entry->d_name);
        size_t size;
        uint8_t *bytes = load(path, &size);
        assert_int_equal(of->run(bytes, size), 0);
        free(bytes);
        files++;
    }
    (void)closedir(folder);
    assert_true(files > 0);
    /* Nothing at all is an input too. */
    assert_int_equal(of->run((const uint8_t *)"", 0), 0);
}

static void every_corpus_file_keeps_every_property(void **state) {
    static const target targets[] = {
        {"areas", fuzz_areas},
        {"assessment", fuzz_assessment},
        {"comparison", fuzz_comparison},
        {"geometry", fuzz_geometry},
        {"gzip", fuzz_gzip},
        {"inflow", fuzz_inflow},
        {"notes", fuzz_notes},
        {"options", fuzz_options},
        {"pair", fuzz_pair},
        {"record", fuzz_record},
        {"stock", fuzz_stock},
        {"table", fuzz_table},
    };
    (void)state;
    for (size_t i = 0; i < sizeof targets / sizeof targets[0]; i++) {
        replay(&targets[i]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_corpus_file_keeps_every_property),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
