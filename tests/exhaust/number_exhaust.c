/*
 * number_exhaust.c - a hundred million decimal numbers, each read as strtod
 * reads it. `make number-exhaust`; an argument gives another count.
 */
#include "support/numerals.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

static uint64_t wrong_of(const numeral_kind *kind, uint64_t count, dice *from) {
    static char text[NUMERAL_BYTES];
    uint64_t wrong = 0;
    for (uint64_t i = 0; i < count; i++) {
        kind->write(from, text);
        if (!numeral_reads_right(text)) {
            wrong++;
            printf("wrong: %s\n", text);
        }
    }
    return wrong;
}

int main(int count, char **arguments) {
    uint64_t all =
        count > 1 ? strtoull(arguments[1], NULL, 10) : UINT64_C(100000000);
    uint64_t wrong = 0;
    dice from = {2021};
    for (size_t i = 0; i < numeral_kind_count; i++) {
        const numeral_kind *kind = &numeral_kinds[i];
        uint64_t share = all / 1000 * kind->share;
        uint64_t found = wrong_of(kind, share, &from);
        printf("%-34s %10" PRIu64 " read, %" PRIu64 " wrong\n", kind->name,
               share, found);
        fflush(stdout);
        wrong += found;
    }
    return wrong == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
