/*
 * spread.c - labels along a line, moved apart as little as possible.
 *
 * With t_i = wanted_i - (sizes before i + half its own), "no overlap" reads
 * "t_i do not descend": isotonic regression, solved by pooling adjacent
 * violators (Ayer et al. 1955, Ann Math Stat 26:641-7); clamping its result
 * to an interval keeps it the best one within the interval.
 */
#include "draw/spread.h"

#include <math.h>

bool spread_slots(spread_slot *slots, size_t count, double low, double high) {
    double total = 0.0;
    size_t blocks = 0;
    for (size_t i = 0; i < count; i++) {
        double mean = slots[i].wanted - (total + slots[i].size / 2);
        size_t weight = 1;
        total += slots[i].size;
        while (blocks != 0 && slots[blocks - 1].mean >= mean) {
            const spread_slot *block = &slots[--blocks];
            mean =
                (mean * (double)weight + block->mean * (double)block->weight) /
                (double)(weight + block->weight);
            weight += block->weight;
        }
        slots[blocks].mean = mean;
        slots[blocks].weight = weight;
        blocks++;
    }
    if (total > high - low) {
        return false;
    }
    size_t at = 0;
    double before = 0.0;
    for (size_t block = 0; block < blocks; block++) {
        double start = fmin(fmax(slots[block].mean, low), high - total);
        size_t end = at + slots[block].weight;
        for (; at < end; at++) {
            slots[at].centre = start + before + slots[at].size / 2;
            before += slots[at].size;
        }
    }
    return true;
}
