/*
 * faults_test.c - the program when memory is out, the disk full, the pipe
 * closed: exit 1, words on standard error, and no half-written file.
 */
#include "support/check.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#define COMMAND_BYTES 4096

static const char *build(void) {
    const char *folder = getenv("BUILD");
    return folder == NULL ? "build" : folder;
}

static int run(const char *command) {
    int status = system(command);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static long read_number(const char *path) {
    char text[32] = "";
    FILE *from = fopen(path, "r");
    assert_non_null(from);
    assert_non_null(fgets(text, sizeof text, from));
    (void)fclose(from);
    return strtol(text, NULL, 10);
}

/* Exits 1, says why, leaves no output; a picture beside it is not there or the
 * same as when nothing fails. */
static void check_failed(long n, const char *arguments, const char *output,
                         const char *picture) {
    char command[COMMAND_BYTES];
    (void)snprintf(command, sizeof command,
                   "BORELINE_FAIL_AT=%ld %s/boreline-faults %s "
                   ">/dev/null 2>%s/faults.err",
                   n, build(), arguments, build());
    int status = run(command);
    if (status != 1) {
        print_error("allocation %ld, status %d: %s\n", n, status, arguments);
    }
    assert_int_equal(status, 1);
    assert_int_not_equal(access(output, F_OK), 0);
    (void)snprintf(command, sizeof command,
                   "grep -q 'out of memory' %s/faults.err", build());
    assert_int_equal(run(command), 0);
    if (picture != NULL && access(picture, F_OK) == 0) {
        (void)snprintf(command, sizeof command, "cmp -s %s %s/faults.whole",
                       picture, build());
        assert_int_equal(run(command), 0);
        assert_int_equal(unlink(picture), 0);
    }
}

/* The n-th allocation fails, for every n until there are no more. Tables are
 * cut short so that there are not too many runs; every code path is there. */
static void check_allocations_beside(const char *arguments, const char *output,
                                     const char *picture) {
    char command[COMMAND_BYTES];
    char count[64];
    (void)snprintf(count, sizeof count, "%s/faults.count", build());
    (void)snprintf(command, sizeof command,
                   "BORELINE_COUNT_TO=%s %s/boreline-faults %s >/dev/null 2>&1",
                   count, build(), arguments);
    assert_int_equal(run(command), 0);
    if (picture != NULL) {
        (void)snprintf(command, sizeof command, "mv %s %s/faults.whole",
                       picture, build());
        assert_int_equal(run(command), 0);
    }
    long allocations = read_number(count);
    assert_in_range(allocations, 5, 5000);
    long step = allocations > 400 ? allocations / 400 + 1 : 1;
    for (long n = 1; n <= allocations; n += n < 200 ? 1 : step) {
        (void)unlink(output);
        check_failed(n, arguments, output, picture);
    }
}

static void check_allocations(const char *arguments, const char *output) {
    check_allocations_beside(arguments, output, NULL);
}

static char table[128];

static void make_table(void) {
    char command[COMMAND_BYTES];
    (void)snprintf(table, sizeof table, "%s/faults.csv", build());
    (void)snprintf(command, sizeof command,
                   "printf 'vein,area_mm2,source\\ncommon iliac vein,190,"
                   "here\\n' >%s/faults.areas",
                   build());
    assert_int_equal(run(command), 0);
    (void)snprintf(command, sizeof command,
                   "%s/vessel samples/short-flattening.vessel --frames 60 "
                   "--points 24 -o %s",
                   build(), table);
    assert_int_equal(run(command), 0);
}

static void test_memory_measure(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_table();
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    (void)snprintf(arguments, sizeof arguments, "measure %s -o %s", table,
                   output);
    check_allocations(arguments, output);
    (void)snprintf(arguments, sizeof arguments, "measure %s --json -o %s",
                   table, output);
    check_allocations(arguments, output);
}

/* A table so long that room is made for its rows before they come: comments do
 * for that. */
static void test_memory_of_a_long_table(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_table();
    (void)snprintf(arguments, sizeof arguments,
                   "{ awk 'BEGIN { for (i = 0; i < 15000; i++) "
                   "printf \"# %%1000s\\n\", \"\" }'; cat %s; } "
                   ">%s/faults-long.csv",
                   table, build());
    assert_int_equal(run(arguments), 0);
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    (void)snprintf(arguments, sizeof arguments,
                   "measure %s/faults-long.csv -o %s", build(), output);
    check_allocations(arguments, output);
}

static void test_memory_assess(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_table();
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    const char *const forms[] = {"--flow", "--json --flow", "--csv",
                                 "--reference find --explain --flow",
                                 "--reference expected"};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        (void)snprintf(arguments, sizeof arguments, "assess %s %s -o %s", table,
                       forms[i], output);
        check_allocations(arguments, output);
    }
    (void)snprintf(arguments, sizeof arguments,
                   "assess %s --expected %s/faults.areas -o %s", table, build(),
                   output);
    check_allocations(arguments, output);
}

/* A vein that ripples has two profiles and their figures. */
static void test_memory_ripple(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    (void)snprintf(arguments, sizeof arguments,
                   "printf 'length 160 mm\\nspeed 5 mm/s\\nframe rate 3 /s\\n"
                   "points 24\\ncalibre at 0 mm: diameter 16 mm\\n"
                   "reference 10 to 30 mm, noted\\n"
                   "breathing 8 %%%% every 4 s\\n' >%s/faults.vessel && "
                   "%s/vessel %s/faults.vessel -o %s/faults-ripple.csv",
                   build(), build(), build(), build());
    assert_int_equal(run(arguments), 0);
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    const char *const forms[] = {"", "--steady --json"};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        (void)snprintf(arguments, sizeof arguments,
                       "assess %s/faults-ripple.csv %s -o %s", build(),
                       forms[i], output);
        check_allocations(arguments, output);
    }
    (void)snprintf(output, sizeof output, "%s/faults.svg", build());
    (void)snprintf(arguments, sizeof arguments,
                   "plot %s/faults-ripple.csv --steady -o %s", build(), output);
    check_allocations(arguments, output);
}

/* A plan with its picture, which is drawn before the words and may be there
 * when these fail; then it is whole. */
static void check_plan_picture(const char *ending, const char *output) {
    char arguments[COMMAND_BYTES];
    char picture[128];
    (void)snprintf(picture, sizeof picture, "%s/faults-plan.%s", build(),
                   ending);
    (void)snprintf(arguments, sizeof arguments,
                   "plan %s --stock %s/faults.stock --device 16x40@20 --size "
                   "80x60 --dpi 50 --plot %s -o %s",
                   table, build(), picture, output);
    check_allocations_beside(arguments, output, picture);
}

/* Text, JSON and picture of a plan, beside a chain that is checked. */
static void test_memory_plan(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    (void)snprintf(arguments, sizeof arguments,
                   "printf 'label,diameter_mm,length_mm,count\\na,16,40,2\\n"
                   "b,18,60,1\\n' >%s/faults.stock",
                   build());
    assert_int_equal(run(arguments), 0);
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    static const char *const forms[] = {"", "--json --device 16x40@20"};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        (void)snprintf(arguments, sizeof arguments,
                       "plan %s --stock %s/faults.stock %s -o %s", table,
                       build(), forms[i], output);
        check_allocations(arguments, output);
    }
    check_plan_picture("svg", output);
    check_plan_picture("png", output);
}

/* Two tables of one vein, before and after. They are read in one thread: in
 * several how many allocations there are depends on which is done first. */
static void make_pair(void) {
    char arguments[COMMAND_BYTES];
    static const char *const names[] = {"before", "after"};
    for (size_t i = 0; i < 2; i++) {
        (void)snprintf(arguments, sizeof arguments,
                       "%s/vessel samples/unapposed-%s.vessel --frames 50 "
                       "--points 24 -o %s/faults-%s.csv",
                       build(), names[i], build(), names[i]);
        assert_int_equal(run(arguments), 0);
    }
}

/* Two tables of one vein: found by their profiles, and held against each other
 * in text, JSON and picture. */
static void test_memory_compare(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_pair();
    char picture[128];
    (void)snprintf(picture, sizeof picture, "%s/faults-compare.svg", build());
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    (void)snprintf(arguments, sizeof arguments,
                   "compare %s/faults-before.csv %s/faults-after.csv "
                   "--threads 1 --nominal 14x50,14x40 -o %s",
                   build(), build(), output);
    check_allocations(arguments, output);
    (void)snprintf(arguments, sizeof arguments,
                   "compare %s/faults-before.csv %s/faults-after.csv --json "
                   "--threads 1 --shift -6 --treated 60..140 --plot %s -o %s",
                   build(), build(), picture, output);
    check_allocations_beside(arguments, output, picture);
}

/* The record in its three forms, one of them with a plan. */
static void test_memory_record(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_table();
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    static const char *const forms[] = {"", "--format json",
                                        "--format md --device 16x40@20"};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        (void)snprintf(arguments, sizeof arguments, "record %s %s -o %s", table,
                       forms[i], output);
        check_allocations(arguments, output);
    }
    make_pair();
    (void)snprintf(arguments, sizeof arguments,
                   "record %s/faults-before.csv %s/faults-after.csv "
                   "--threads 1 --nominal 14x50,14x40 -o %s",
                   build(), build(), output);
    check_allocations(arguments, output);
}

/* Two tables, with healthy vein and without. */
static void test_memory_inflow(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_pair();
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    static const char *const forms[] = {"", "--json", "--csv",
                                        "--reference 500..600"};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        (void)snprintf(arguments, sizeof arguments,
                       "inflow %s/faults-before.csv %s/faults-after.csv "
                       "--threads 1 %s -o %s",
                       build(), build(), forms[i], output);
        check_allocations(arguments, output);
    }
    char picture[128];
    (void)snprintf(picture, sizeof picture, "%s/faults-inflow.svg", build());
    (void)snprintf(arguments, sizeof arguments,
                   "inflow %s/faults-before.csv %s/faults-after.csv "
                   "--threads 1 --plot %s -o %s",
                   build(), build(), picture, output);
    check_allocations_beside(arguments, output, picture);
}

/* What keeps a vein from being named is put into words of its own: another
 * side, a scale in doubt, and a shared vein that is not alike. */
static void test_memory_inflow_doubts(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    static const char *const edits[] = {
        "/^# side/ { $0 = \"# side = right\" }",
        "/^[0-9]/ { $2 /= 10; $3 /= 10 }",
        "/^[0-9]/ { $2 *= 1.3; $3 *= 1.3 }",
    };
    static const char *const headlines[] = {"tables are of different sides",
                                            "scale of A is doubtful",
                                            "vein that both share"};
    (void)snprintf(output, sizeof output, "%s/faults.out", build());
    for (size_t i = 0; i < sizeof edits / sizeof edits[0]; i++) {
        (void)snprintf(arguments, sizeof arguments,
                       "for i in femoral deep-femoral; do %s/vessel "
                       "samples/inflow-$i.vessel --points 24 -o "
                       "%s/faults-$i.csv || exit 1; done; "
                       "awk -F, -v OFS=, '%s { print }' %s/faults-femoral.csv "
                       ">%s/faults-edited.csv",
                       build(), build(), edits[i], build(), build());
        assert_int_equal(run(arguments), 0);
        (void)snprintf(arguments, sizeof arguments,
                       "%s/boreline inflow %s/faults-edited.csv "
                       "%s/faults-deep-femoral.csv 2>/dev/null | tr -s '\\n ' "
                       "' ' | grep -q 'none is named: the %s'",
                       build(), build(), build(), headlines[i]);
        assert_int_equal(run(arguments), 0);
        (void)snprintf(arguments, sizeof arguments,
                       "inflow %s/faults-edited.csv "
                       "%s/faults-deep-femoral.csv --threads 1 -o %s",
                       build(), build(), output);
        check_allocations(arguments, output);
    }
}

static void test_memory_plot(void **state) {
    (void)state;
    char arguments[COMMAND_BYTES];
    char output[128];
    make_table();
    const char *const endings[] = {"svg", "png", "pdf"};
    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        (void)snprintf(output, sizeof output, "%s/faults.%s", build(),
                       endings[i]);
        (void)snprintf(arguments, sizeof arguments, "plot %s --dpi 50 -o %s",
                       table, output);
        check_allocations(arguments, output);
    }
}

/* /dev/full takes nothing: "No space left on device". */
static void test_full_disk(void **state) {
    (void)state;
    static const char compared[] = "compare samples/good-before.csv "
                                   "samples/good-after.csv";
    const char *const commands[] = {"measure samples/healthy.csv",
                                    "measure --json samples/healthy.csv",
                                    "assess samples/healthy.csv",
                                    "assess --json samples/healthy.csv",
                                    "record samples/healthy.csv",
                                    compared,
                                    "--help",
                                    "--version",
                                    "assess --help"};
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        char command[COMMAND_BYTES];
        (void)snprintf(command, sizeof command,
                       "%s/boreline %s >/dev/full 2>%s/faults.err", build(),
                       commands[i], build());
        assert_int_equal(run(command), 1);
        (void)snprintf(command, sizeof command,
                       "grep -q 'standard output: cannot write' "
                       "%s/faults.err",
                       build());
        assert_int_equal(run(command), 0);
    }
}

static void test_closed_pipe(void **state) {
    (void)state;
    char command[COMMAND_BYTES];
    (void)snprintf(command, sizeof command,
                   "( %s/boreline measure --digits 17 samples/healthy.csv "
                   "2>%s/faults.err; echo $? >%s/faults.status ) | true",
                   build(), build(), build());
    assert_int_equal(run(command), 0);
    char path[128];
    (void)snprintf(path, sizeof path, "%s/faults.status", build());
    assert_int_equal(read_number(path), 1);
}

/* A picture that cannot be written leaves nothing, and no report is made. */
static void test_no_half_output(void **state) {
    (void)state;
    char command[COMMAND_BYTES];
    (void)snprintf(command, sizeof command,
                   "rm -rf %s/half && mkdir %s/half && %s/boreline assess "
                   "samples/healthy.csv --plot %s/half/none/p.png "
                   "-o %s/half/report 2>/dev/null",
                   build(), build(), build(), build(), build());
    assert_int_equal(run(command), 1);
    (void)snprintf(command, sizeof command, "test -z \"$(ls -A %s/half)\"",
                   build());
    assert_int_equal(run(command), 0);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_memory_measure),
        cmocka_unit_test(test_memory_of_a_long_table),
        cmocka_unit_test(test_memory_assess),
        cmocka_unit_test(test_memory_ripple),
        cmocka_unit_test(test_memory_plan),
        cmocka_unit_test(test_memory_record),
        cmocka_unit_test(test_memory_compare),
        cmocka_unit_test(test_memory_inflow),
        cmocka_unit_test(test_memory_inflow_doubts),
        cmocka_unit_test(test_memory_plot),
        cmocka_unit_test(test_full_disk),
        cmocka_unit_test(test_closed_pipe),
        cmocka_unit_test(test_no_half_output),
    };
    return cmocka_run_group_tests_name("faults", tests, NULL, NULL);
}
