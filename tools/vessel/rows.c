/*
 * rows.c - the contour table of a described vessel.
 *
 * A contour is the wall at its frame's position, breathed, shaken and seen
 * from the catheter; where there is a device, its inner edge and the wall
 * around it follow. Points have equal steps of the ellipse's parameter, so a
 * polygon of n points has exactly n/(2 pi) sin(2 pi/n) of its area, whatever
 * the aspect ratio. Shaking moves the wall outward by a smooth random
 * function of harmonics 2 to 7, so that more points do not make it rougher.
 * Numbers are written by hand into a large buffer: formatting by printf would
 * take most of the time of a table of fifteen million points.
 */
#include "vessel.h"

#include <stdlib.h>
#include <string.h>

#define SHAKE_FIRST 2
#define SHAKE_COUNT 6
/* Left of a contour of too few of them. */
#define FEW_POINTS 2
#define BUFFER_BYTES (1U << 20)
/* More than any row: three numbers, separators, the end. */
#define ROW_BYTES 128

typedef struct rows {
    FILE *out;
    const table_options *options;
    int64_t scale; /* 10 to the power of decimals */
    char *buffer;
    size_t used;
    bool begun; /* a block was written */
    bool failed;
} rows;

/* Everything about the angles that is the same in every frame. */
typedef struct angles {
    size_t count;
    double *cosine; /* [harmonic 1 .. SHAKE_LAST][count]; row 0 is harmonic 1 */
    double *sine;
} angles;

#define SHAKE_LAST (SHAKE_FIRST + SHAKE_COUNT - 1)

static void rows_flush(rows *to) {
    if (fwrite(to->buffer, 1, to->used, to->out) != to->used) {
        to->failed = true;
    }
    to->used = 0;
}

static void rows_char(rows *to, char c) {
    to->buffer[to->used++] = c;
}

static void rows_integer(rows *to, uint64_t value, int digits) {
    char reversed[24];
    int n = 0;
    do {
        reversed[n++] = (char)('0' + value % 10);
        value /= 10;
    } while (value > 0 || n < digits);
    while (n > 0) {
        to->buffer[to->used++] = reversed[--n];
    }
}

static void rows_fixed(rows *to, double value) {
    int64_t scaled = llround(value * (double)to->scale);
    if (scaled < 0) {
        rows_char(to, '-');
        scaled = -scaled;
    }
    rows_integer(to, (uint64_t)(scaled / to->scale), 1);
    if (to->options->decimals > 0) {
        rows_char(to, '.');
        rows_integer(to, (uint64_t)(scaled % to->scale), to->options->decimals);
    }
}

/* kind: NULL where the table has no such column. */
static void rows_point(rows *to, int64_t frame, const char *kind, double x,
                       double y) {
    char separator = to->options->blocks ? ' ' : to->options->separator;
    if (to->used + ROW_BYTES > BUFFER_BYTES) {
        rows_flush(to);
    }
    if (!to->options->blocks) {
        rows_integer(to, (uint64_t)frame, 1);
        rows_char(to, separator);
        if (kind != NULL) {
            size_t size = strlen(kind);
            memcpy(to->buffer + to->used, kind, size);
            to->used += size;
            rows_char(to, separator);
        }
    }
    rows_fixed(to, x);
    rows_char(to, separator);
    rows_fixed(to, y);
    rows_char(to, '\n');
}

static void rows_contour(rows *to, int64_t frame, const char *kind,
                         const double *x, const double *y, size_t count) {
    if (to->options->blocks) {
        rows_flush(to);
        to->used = (size_t)snprintf(to->buffer, ROW_BYTES, "%sframe %lld%s%s\n",
                                    to->begun ? "\n" : "", (long long)frame,
                                    kind != NULL ? " kind=" : "",
                                    kind != NULL ? kind : "");
        to->begun = true;
    }
    for (size_t i = 0; i < count; i++) {
        rows_point(to, frame, kind, x[i], y[i]);
    }
}

static bool angles_make(angles *out, size_t count) {
    *out = (angles){.count = count};
    out->cosine = malloc(SHAKE_LAST * count * sizeof *out->cosine);
    out->sine = malloc(SHAKE_LAST * count * sizeof *out->sine);
    if (out->cosine == NULL || out->sine == NULL) {
        return false;
    }
    for (size_t k = 0; k < SHAKE_LAST; k++) {
        for (size_t i = 0; i < count; i++) {
            /* The remainder keeps the angle, hence its error, small. */
            size_t step = (k + 1) * i % count;
            double t = 2.0 * PI * (double)step / (double)count;
            out->cosine[k * count + i] = cos(t);
            out->sine[k * count + i] = sin(t);
        }
    }
    return true;
}

/* The smooth outward movement of each point, root mean square `rms`. */
static void shake_make(const angles *at, double rms, uint64_t *state,
                       double *out) {
    double norm = 0.0;
    for (int k = SHAKE_FIRST; k <= SHAKE_LAST; k++) {
        norm += 1.0 / ((double)k * k);
    }
    memset(out, 0, at->count * sizeof *out);
    for (size_t k = SHAKE_FIRST; k <= SHAKE_LAST; k++) {
        double weight = rms / ((double)k * sqrt(norm));
        double p = weight * random_bell(state);
        double q = weight * random_bell(state);
        const double *cosine = at->cosine + (k - 1) * at->count;
        const double *sine = at->sine + (k - 1) * at->count;
        for (size_t i = 0; i < at->count; i++) {
            out[i] += p * cosine[i] + q * sine[i];
        }
    }
}

/* One of the contours of a frame. */
typedef struct tracing {
    const vessel *of;
    double at_mm;
    wall shape;
    double size; /* so many times as large as the shape */
    bool around; /* the vein's wall around a device of this shape */
} tracing;

/* How far point `t` of the contour lies from the shape's centre, along its
 * axes, before it is shaken. */
static void tracing_point(const tracing *of, double t, double cosine,
                          double sine, double *along, double *across) {
    const wall *w = &of->shape;
    double factor = of->size;
    if (w->irregular > 0.0) {
        double slope = 0.0;
        factor *=
            1.0 + w->irregular * wall_offset(of->of, of->at_mm, t, &slope);
    }
    *along = w->long_mm * factor * cosine;
    *across = w->short_mm * factor * sine;
    if (of->around) {
        double gap = device_gap(of->of, of->at_mm, t);
        double x = 0.0;
        double y = 0.0;
        wall_normal(w, t, &x, &y);
        *along += gap * x;
        *across += gap * y;
    }
}

/* `shake` comes in as movements; x and y go out in mm, seen from the catheter
 * in the lumen. */
static void contour_make(const tracing *of, const angles *at,
                         const double *shake, double *x, double *y) {
    wall lumen = wall_at(of->of, of->at_mm);
    double axis = of->shape.axis_deg * PI / 180.0;
    double turn = 2.0 * PI * of->at_mm / of->of->turn_mm;
    double off = of->of->offset * lumen.short_mm;
    double along_x = cos(axis);
    double along_y = sin(axis);
    for (size_t i = 0; i < at->count; i++) {
        double t = 2.0 * PI * (double)i / (double)at->count;
        double u = 0.0;
        double v = 0.0;
        tracing_point(of, t, at->cosine[i], at->sine[i], &u, &v);
        u += shake[i] * at->cosine[i];
        v += shake[i] * at->sine[i];
        x[i] = u * along_x - v * along_y - off * cos(turn);
        y[i] = u * along_y + v * along_x - off * sin(turn);
    }
}

/* Turns a quarter of the list round, so that two edges cross. */
static void contour_cross(double *x, double *y, size_t count) {
    for (size_t i = count / 4, j = count / 2; i < j; i++, j--) {
        double keep = x[i];
        x[i] = x[j];
        x[j] = keep;
        keep = y[i];
        y[i] = y[j];
        y[j] = keep;
    }
}

bool frame_is_missing(const vessel *of, int64_t frame) {
    for (size_t i = 0; i < of->missing_count; i++) {
        if (frame >= of->missing[i].from && frame <= of->missing[i].to) {
            return true;
        }
    }
    return false;
}

const bad_frame *frame_bad(const vessel *of, int64_t frame) {
    for (size_t i = 0; i < of->bad_count; i++) {
        if (frame == of->bad[i].frame) {
            return &of->bad[i];
        }
    }
    return NULL;
}

/* By how much a frame is traced larger than the wall. */
static double frame_share(const vessel *of, const bad_frame *bad,
                          uint64_t *state) {
    double area = 1.0 + of->area_pct / 100.0 * random_bell(state);
    if (bad != NULL && bad->how == BAD_STRAY) {
        area *= bad->area_pct / 100.0;
    }
    return sqrt(area);
}

static void note_text(FILE *out, const char *key, const char *value) {
    if (value[0] != '\0') {
        fprintf(out, "# %s = %s\n", key, value);
    }
}

static void notes_write(const vessel *of, const table_options *options,
                        FILE *out) {
    fprintf(out, "# case = invented: %s\n", of->case_name);
    note_text(out, "side", of->side);
    note_text(out, "stage", of->stage);
    note_text(out, "reader", of->reader);
    note_text(out, "travel", of->travel);
    fprintf(out, "# speed_mm_per_s = %.12g\n", of->speed_mm_per_s);
    fprintf(out, "# frame_rate_hz = %.12g\n", of->frame_rate_hz);
    for (size_t i = 0; i < of->mark_count; i++) {
        fprintf(out, "# mark = %s @ %.12g\n", of->marks[i].name,
                of->marks[i].at_mm);
    }
    for (size_t i = 0; i < of->reference_count; i++) {
        if (of->references[i].noted) {
            fprintf(out, "# reference = %.12g..%.12g\n",
                    of->references[i].from_mm, of->references[i].to_mm);
        }
    }
    if (!options->blocks) {
        char by = options->separator;
        if (of->device_count > 0) {
            fprintf(out, "frame%ckind%cx_mm%cy_mm\n", by, by, by);
        } else {
            fprintf(out, "frame%cx_mm%cy_mm\n", by, by);
        }
    }
}

static double frame_place(const vessel *of, int64_t frame) {
    return (double)frame / of->frame_rate_hz * of->speed_mm_per_s;
}

/* The lumen as it is, breathing where no device holds it. */
static tracing lumen_tracing(const vessel *of, int64_t frame, double share) {
    double at_mm = frame_place(of, frame);
    wall w = wall_at(of, at_mm);
    double breath = device_covers(of, at_mm)
                        ? 1.0
                        : wall_breath(of, (double)frame / of->frame_rate_hz);
    return (tracing){of, at_mm, w,
                     share * breath / sqrt(1.0 + w.irregular * w.irregular),
                     false};
}

typedef struct pen {
    const angles *at;
    double *x;
    double *y;
    double *shake;
    uint64_t device_state;
    rows *to;
} pen;

/* Device and wall of one frame, each shaken by itself. */
static void implant_write(const vessel *of, pen *on, int64_t frame) {
    static const char *const kinds[] = {"device", "vessel"};
    double at_mm = frame_place(of, frame);
    for (int i = 0; i < 2; i++) {
        shake_make(on->at, of->noise_mm, &on->device_state, on->shake);
        if (!device_covers(of, at_mm) || frame_is_missing(of, frame)) {
            continue;
        }
        tracing one = {of, at_mm, device_at(of, at_mm), 1.0, i == 1};
        contour_make(&one, on->at, on->shake, on->x, on->y);
        rows_contour(on->to, frame, kinds[i], on->x, on->y, on->at->count);
    }
}

static bool frames_write(const vessel *of, pen *on) {
    uint64_t state = random_start(of->seed + 1);
    uint64_t area_state = random_start(of->seed + 2);
    size_t count = on->at->count;
    for (int64_t frame = 0; frame < of->frame_count; frame++) {
        /* Drawn for every frame: a missing one changes nothing elsewhere. */
        shake_make(on->at, of->noise_mm, &state, on->shake);
        const bad_frame *bad = frame_bad(of, frame);
        double share = frame_share(of, bad, &area_state);
        if (!frame_is_missing(of, frame)) {
            tracing lumen = lumen_tracing(of, frame, share);
            contour_make(&lumen, on->at, on->shake, on->x, on->y);
            if (bad != NULL && bad->how == BAD_CROSSING) {
                contour_cross(on->x, on->y, count);
            }
            bool few = bad != NULL && bad->how == BAD_FEW;
            rows_contour(on->to, frame, of->device_count > 0 ? "lumen" : NULL,
                         on->x, on->y, few ? FEW_POINTS : count);
        }
        if (of->device_count > 0) {
            implant_write(of, on, frame);
        }
    }
    rows_flush(on->to);
    return !on->to->failed;
}

bool table_write(const vessel *of, const table_options *options, FILE *out) {
    rows to = {.out = out, .options = options, .scale = 1};
    for (int i = 0; i < options->decimals; i++) {
        to.scale *= 10;
    }
    angles at;
    bool good = angles_make(&at, (size_t)of->points);
    double *work = malloc(3 * (size_t)of->points * sizeof *work);
    to.buffer = malloc(BUFFER_BYTES);
    if (good && work != NULL && to.buffer != NULL) {
        pen on = {&at,
                  work,
                  work + at.count,
                  work + 2 * at.count,
                  random_start(of->seed + 3),
                  &to};
        notes_write(of, options, out);
        good = frames_write(of, &on);
    } else {
        fputs("vessel: memory is out\n", stderr);
        good = false;
    }
    free(to.buffer);
    free(work);
    free(at.cosine);
    free(at.sine);
    return good;
}
