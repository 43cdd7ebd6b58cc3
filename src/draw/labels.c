/*
 * labels.c - a row of labels, shortened and thinned until it fits.
 */
#include "draw/labels.h"

#include "draw/advance.h"
#include "draw/spread.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define GAP_EM 1.1
/* A label further than this from its place takes the shorter text first. */
#define FAR_EM 2.5

static int by_place(const void *left, const void *right) {
    const label *a = left;
    const label *b = right;
    int place = (a->wanted_x > b->wanted_x) - (a->wanted_x < b->wanted_x);
    if (place != 0) {
        return place;
    }
    /* So that the order never depends on how qsort treats ties. */
    int worth = (a->worth > b->worth) - (a->worth < b->worth);
    return worth != 0 ? worth : strcmp(a->texts[0], b->texts[0]);
}

static const char *text_at(const label *of, unsigned variant) {
    unsigned i = variant;
    while (i > 0 && (i >= LABEL_TEXTS || of->texts[i] == NULL)) {
        i--;
    }
    return of->texts[i];
}

/* Places those not yet left out; false when they do not fit. */
static bool place_variant(page *on, label *labels, size_t count,
                          spread_slot *slots, unsigned variant, double x0,
                          double x1) {
    double gap = GAP_EM * on->em;
    size_t used = 0;
    for (size_t i = 0; i < count; i++) {
        if (labels[i].shown != NULL) {
            labels[i].shown = text_at(&labels[i], variant);
            double width = advance_of(labels[i].shown, on->em, labels[i].bold);
            slots[used++] = (spread_slot){.wanted = labels[i].wanted_x,
                                          .size = width + gap};
        }
    }
    if (!spread_slots(slots, used, x0 - gap / 2, x1 + gap / 2)) {
        return false;
    }
    bool near = true;
    used = 0;
    for (size_t i = 0; i < count; i++) {
        if (labels[i].shown != NULL) {
            labels[i].x = slots[used++].centre;
            double moved = fabs(labels[i].x - labels[i].wanted_x);
            near = near && moved <= FAR_EM * on->em;
        }
    }
    return near || variant + 1 == LABEL_TEXTS;
}

static int by_worth(const void *left, const void *right) {
    const label *a = *(label *const *)left;
    const label *b = *(label *const *)right;
    int worth = (a->worth > b->worth) - (a->worth < b->worth);
    return worth != 0 ? worth : (a > b) - (a < b); /* then by place */
}

static void show_all_but(label *const *ranked, size_t count, size_t dropped) {
    for (size_t i = 0; i < count; i++) {
        ranked[i]->shown = i < dropped ? NULL : ranked[i]->texts[0];
    }
}

/* Leaves out as few of the least worthy as it takes. Each one left out makes
 * the row shorter, so the fewest are found by halving. */
static size_t place_worthiest(page *on, label *labels, size_t count,
                              spread_slot *slots, double x0, double x1) {
    label **ranked = page_alloc(on, count, sizeof(label *));
    if (ranked == NULL) {
        return 0;
    }
    for (size_t i = 0; i < count; i++) {
        ranked[i] = &labels[i];
    }
    qsort(ranked, count, sizeof(label *), by_worth);
    size_t low = 1;
    size_t high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        show_all_but(ranked, count, middle);
        if (place_variant(on, labels, count, slots, LABEL_TEXTS - 1, x0, x1)) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    show_all_but(ranked, count, low);
    (void)place_variant(on, labels, count, slots, LABEL_TEXTS - 1, x0, x1);
    return low;
}

size_t labels_place(page *on, label *labels, size_t count, double x0,
                    double x1) {
    spread_slot *slots = page_alloc(on, count, sizeof *slots);
    if (slots == NULL) {
        return 0;
    }
    qsort(labels, count, sizeof *labels, by_place);
    for (size_t i = 0; i < count; i++) {
        labels[i].shown = labels[i].texts[0];
    }
    for (unsigned variant = 0; variant < LABEL_TEXTS; variant++) {
        if (place_variant(on, labels, count, slots, variant, x0, x1)) {
            return 0;
        }
    }
    return place_worthiest(on, labels, count, slots, x0, x1);
}

static double half_width(const page *on, const label *of, const char *words) {
    return 0.5 * advance_of(words, on->em, of->bold);
}

static bool is_shown(const label *of) {
    return of->shown != NULL && of->shown[0] != '\0';
}

/* The nearer of the page's end and the neighbour, from the label's centre. */
static double room_beside(const page *on, const label *labels, size_t count,
                          size_t index, double x0, double x1) {
    const label *of = &labels[index];
    double room = fmin(of->x - x0, x1 - of->x);
    for (size_t i = 0; i < count; i++) {
        if (i != index && is_shown(&labels[i])) {
            double away = fabs(labels[i].x - of->x);
            double taken = half_width(on, &labels[i], labels[i].shown);
            room = fmin(room, away - taken - GAP_EM * on->em);
        }
    }
    return room;
}

/* The longest text that is no wider than twice the room; the one that is shown
 * has some. */
static const char *longest_in(const page *on, const label *of, double room) {
    unsigned i = 0;
    while (of->texts[i] != of->shown &&
           half_width(on, of, of->texts[i]) > room) {
        i++;
    }
    return of->texts[i];
}

void labels_lengthen(page *on, label *labels, size_t count, double x0,
                     double x1) {
    for (size_t turn = 0; turn < 2; turn++) {
        for (size_t i = 0; i < count; i++) {
            label *of = &labels[i];
            if (is_shown(of) && of->bold == (turn == 0)) {
                of->shown = longest_in(
                    on, of, room_beside(on, labels, count, i, x0, x1));
            }
        }
    }
}
