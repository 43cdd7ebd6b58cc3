/*
 * framelist.c - rows in words, by their frames.
 */
#include "study/framelist.h"

void framelist_add(framelist *to, const bl_row *rows, size_t row,
                   size_t number) {
    bool goes_on = to->count > 0 && number == to->last + 1;
    to->first = to->count == 0 ? row : to->first;
    to->runs += !goes_on;
    to->last = number;
    to->count++;
    if (to->runs <= FRAMELIST_NAMED) {
        size_t run = to->runs - 1;
        to->from[run] = goes_on ? to->from[run] : rows[row].frame;
        to->to[run] = rows[row].frame;
    }
}

void framelist_write(const framelist *of, text *words) {
    size_t named = of->runs < FRAMELIST_NAMED ? of->runs : FRAMELIST_NAMED;
    text_add(words, of->count == 1 ? "frame " : "frames ");
    for (size_t i = 0; i < named; i++) {
        bool last = i + 1 == of->runs;
        text_add(words, i == 0 ? "" : last ? " and " : ", ");
        text_format(words, "%lld", (long long)of->from[i]);
        if (of->to[i] > of->from[i]) {
            text_format(words, "..%lld", (long long)of->to[i]);
        }
    }
    if (of->runs > named) {
        text_format(words, " and %zu more stretch%s", of->runs - named,
                    of->runs - named == 1 ? "" : "es");
    }
}
