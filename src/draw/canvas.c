/*
 * canvas.c - the display list.
 *
 * Invariant: items hold consecutive runs of points; the last item is the one
 * that canvas_to extends.
 */
#include "draw/canvas.h"

#include "draw/advance.h"
#include "draw/utf8.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

/* Of DejaVu Sans, per size: hhea ascender and descender without accents on
 * capitals, rounded outward. */
#define ASCENT 0.78
#define DESCENT 0.24

void canvas_free(canvas *on) {
    free(on->items);
    free(on->points);
    text_free(&on->words);
    *on = (canvas){0};
}

/* Room for one more element; the new address, or NULL. */
static void *grow(void *array, size_t count, size_t *capacity, size_t size) {
    if (count < *capacity) {
        return array;
    }
    if (*capacity > SIZE_MAX / size / 4) {
        return NULL;
    }
    size_t wanted = *capacity == 0 ? 64 : *capacity * 2;
    void *larger = realloc(array, wanted * size);
    if (larger != NULL) {
        *capacity = wanted;
    }
    return larger;
}

static canvas_item *item_add(canvas *on) {
    if (on->failed) {
        return NULL;
    }
    canvas_item *items =
        grow(on->items, on->item_count, &on->item_capacity, sizeof *on->items);
    if (items == NULL) {
        on->failed = true;
        return NULL;
    }
    on->items = items;
    canvas_item *item = &items[on->item_count++];
    *item = (canvas_item){.first = on->point_count};
    return item;
}

void canvas_begin(canvas *on, canvas_mode mode, uint32_t fill, canvas_pen pen) {
    canvas_item *item = item_add(on);
    if (item != NULL) {
        item->mode = mode;
        item->fill = fill;
        item->pen = pen;
    }
}

void canvas_to(canvas *on, double x, double y) {
    assert(isfinite(x) && isfinite(y));
    if (on->failed) {
        return;
    }
    canvas_point *points = grow(on->points, on->point_count,
                                &on->point_capacity, sizeof *on->points);
    if (points == NULL) {
        on->failed = true;
        return;
    }
    on->points = points;
    points[on->point_count++] = (canvas_point){x, y};
    on->items[on->item_count - 1].count++;
}

void canvas_line(canvas *on, double x0, double y0, double x1, double y1,
                 canvas_pen pen) {
    canvas_begin(on, CANVAS_OPEN, CANVAS_NONE, pen);
    canvas_to(on, x0, y0);
    canvas_to(on, x1, y1);
}

void canvas_rectangle(canvas *on, canvas_box box, uint32_t fill,
                      canvas_pen pen) {
    canvas_begin(on, CANVAS_CLOSED, fill, pen);
    canvas_to(on, box.x0, box.y0);
    canvas_to(on, box.x1, box.y0);
    canvas_to(on, box.x1, box.y1);
    canvas_to(on, box.x0, box.y1);
}

void canvas_hatch(canvas *on, canvas_box box, double step, bool falling,
                  canvas_pen pen) {
    assert(step > 0.0);
    canvas_begin(on, CANVAS_SEGMENTS, CANVAS_NONE, pen);
    /* Lines x = c -+ (y - y0), c a multiple of step. */
    double height = box.y1 - box.y0;
    double low = falling ? box.x0 - height : box.x0;
    double high = falling ? box.x1 : box.x1 + height;
    for (double k = ceil(low / step); k * step <= high; k += 1.0) {
        double c = k * step;
        double turn = falling ? 1.0 : -1.0;
        double near = falling ? box.x0 - c : c - box.x1;
        double far = falling ? box.x1 - c : c - box.x0;
        double from = fmax(0.0, near);
        double to = fmin(height, far);
        if (from < to) {
            canvas_to(on, c + turn * from, box.y0 + from);
            canvas_to(on, c + turn * to, box.y0 + to);
        }
    }
}

void canvas_upright(canvas *on, canvas_box box, double step, canvas_pen pen) {
    assert(step > 0.0);
    canvas_begin(on, CANVAS_SEGMENTS, CANVAS_NONE, pen);
    for (double k = ceil(box.x0 / step); k * step <= box.x1; k += 1.0) {
        canvas_to(on, k * step, box.y0);
        canvas_to(on, k * step, box.y1);
    }
}

void canvas_text(canvas *on, double x, double y, canvas_style style,
                 const char *string) {
    if (*string == '\0') {
        return;
    }
    canvas_item *item = item_add(on);
    if (item == NULL) {
        return;
    }
    item->mode = CANVAS_TEXT;
    item->style = style;
    item->text_at = on->words.size;
    item->advance_mm = advance_of(string, style.size_mm, style.bold);
    utf8_clean(&on->words, string);
    text_bytes(&on->words, "", 1);
    if (on->words.failed) {
        on->failed = true;
    }
    canvas_to(on, x, y);
}

const char *canvas_words(const canvas *on, const canvas_item *item) {
    assert(item->mode == CANVAS_TEXT);
    return on->words.bytes + item->text_at;
}

canvas_box canvas_text_box(const canvas *on, const canvas_item *item) {
    canvas_point at = on->points[item->first];
    double ascent = ASCENT * item->style.size_mm;
    double descent = DESCENT * item->style.size_mm;
    double back = 0.0;
    if (item->style.anchor == CANVAS_MIDDLE) {
        back = item->advance_mm / 2;
    } else if (item->style.anchor == CANVAS_END) {
        back = item->advance_mm;
    }
    double on_from = -back;
    double on_to = item->advance_mm - back;
    if (item->style.upwards) {
        return (canvas_box){at.x - ascent, at.y - on_to, at.x + descent,
                            at.y - on_from};
    }
    return (canvas_box){at.x + on_from, at.y - ascent, at.x + on_to,
                        at.y + descent};
}

size_t canvas_dash_lengths(canvas_pen pen, double lengths[2]) {
    static const double ratio[][2] = {{0, 0}, {4, 3}, {6, 3}, {0, 2.4}};
    lengths[0] = ratio[pen.dash][0] * pen.width_mm;
    lengths[1] = ratio[pen.dash][1] * pen.width_mm;
    return pen.dash == CANVAS_SOLID ? 0 : 2;
}
