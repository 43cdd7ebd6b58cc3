/*
 * peer_geos.c - the columns of `boreline measure`, by C and the GEOS C API.
 *
 *     peer_geos [--circle] TABLE > OUTPUT
 *
 * The program that somebody who knows both would write in an afternoon: fgets
 * and strtod read, each frame becomes a polygon, GEOS is asked whatever it
 * knows (area, length, centroid, hull, validity, with --circle the largest
 * inscribed circle), and the rest is computed beside it: Feret diameters by
 * calipers on the hull, chords through the centre at 720 directions. It is here
 * to be timed against; nothing in it is slower than it need be.
 *
 * Where it differs from boreline by nature:
 *   min/max diameter   the extremes over 720 directions, not over all
 *   inscribed circle   GEOS's own, to 0.001 mm
 *   reading            frame,x_mm,y_mm with speed and rate as notes
 */
#include <geos_c.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PI 3.14159265358979323846
#define DIRECTIONS 720 /* half a turn: a chord every quarter of a degree */
#define CIRCLE_MM 1e-3
#define RANGE_MM 1000.0
#define LINE_BYTES 4096

static const char HEADER[] =
    "frame,time_s,position_mm,kind,points,area_mm2,perimeter_mm,"
    "equivalent_diameter_mm,perimeter_diameter_mm,min_diameter_mm,"
    "max_diameter_mm,min_feret_mm,max_feret_mm,inscribed_diameter_mm,"
    "aspect_ratio,eccentricity,circularity,solidity,long_axis_deg,"
    "centroid_x_mm,centroid_y_mm,flags";

typedef struct point {
    double x, y;
} point;

typedef struct contour {
    long frame;
    size_t count, room;
    point *points;
    point *moved; /* the same about the centre */
} contour;

typedef struct measures {
    const char *flags;
    double area, perimeter, hull_area;
    double min_diameter, max_diameter, long_axis_deg;
    double min_feret, max_feret;
    double inscribed;
    point centre;
} measures;

typedef struct settings {
    bool with_circle;
    double speed_mm_per_s, frame_rate_hz;
    point directions[DIRECTIONS];
} settings;

static void give_up(const char *words) {
    fprintf(stderr, "peer_geos: %s\n", words);
    exit(1);
}

static void silent(const char *message, ...) {
    (void)message;
}

static double cross(point a, point b) {
    return a.x * b.y - a.y * b.x;
}

static point from_to(point a, point b) {
    return (point){b.x - a.x, b.y - a.y};
}

static double length(point a) {
    return sqrt(a.x * a.x + a.y * a.y);
}

/* ---------------------------------------------------------------- Feret */

/* Rotating calipers on a convex ring of n points, either way round. */
static void calipers(const point *hull, size_t n, measures *out) {
    out->min_feret = INFINITY;
    out->max_feret = 0.0;
    size_t far = 1;
    for (size_t i = 0; i < n; i++) {
        point edge = from_to(hull[i], hull[(i + 1) % n]);
        double reach = fabs(cross(edge, from_to(hull[i], hull[far])));
        for (;;) {
            size_t next = (far + 1) % n;
            double further = fabs(cross(edge, from_to(hull[i], hull[next])));
            if (further < reach || next == i) {
                break;
            }
            reach = further;
            far = next;
            out->max_feret =
                fmax(out->max_feret, length(from_to(hull[i], hull[far])));
        }
        out->min_feret = fmin(out->min_feret, reach / length(edge));
        out->max_feret =
            fmax(out->max_feret, length(from_to(hull[i], hull[far])));
        out->max_feret =
            fmax(out->max_feret, length(from_to(hull[(i + 1) % n], hull[far])));
    }
}

static void hull_measure(const GEOSGeometry *polygon, measures *out) {
    GEOSGeometry *hull = GEOSConvexHull(polygon);
    const GEOSGeometry *ring = hull != NULL ? GEOSGetExteriorRing(hull) : NULL;
    const GEOSCoordSequence *sequence =
        ring != NULL ? GEOSGeom_getCoordSeq(ring) : NULL;
    unsigned n = 0;
    if (sequence == NULL || !GEOSCoordSeq_getSize(sequence, &n)) {
        give_up("GEOS makes no hull");
    }
    point *points = malloc(n * sizeof *points);
    if (points == NULL ||
        !GEOSCoordSeq_copyToBuffer(sequence, (double *)points, 0, 0)) {
        give_up("out of memory");
    }
    GEOSArea(hull, &out->hull_area);
    calipers(points, n - 1, out); /* the last repeats the first */
    free(points);
    GEOSGeom_destroy(hull);
}

/* --------------------------------------------------------------- chords */

/* How far from the centre the line of edge a..b is along direction u. */
static double along(point u, point a, point b) {
    return cross(a, b) / cross(u, from_to(a, b));
}

/* Seen from the centre the contour goes round anticlockwise without turning
 * back: every direction meets one edge. */
static bool star_shaped(const point *p, size_t n) {
    for (size_t i = 0; i < n; i++) {
        if (cross(p[i], p[i + 1 < n ? i + 1 : 0]) <= 0.0) {
            return false;
        }
    }
    return true;
}

/* One turn of directions and one of edges, side by side. */
static void reach_star(const settings *with, const point *p, size_t n,
                       double *reach) {
    size_t i = 0;
    point a = p[n - 1];
    point b = p[0];
    /* The edge that holds +x: from below or on it to above. */
    while (!(a.y <= 0.0 && b.y > 0.0)) {
        a = b;
        b = p[++i];
    }
    for (size_t k = 0; k < (size_t)2 * DIRECTIONS; k++) {
        point u = with->directions[k % DIRECTIONS];
        if (k >= DIRECTIONS) {
            u = (point){-u.x, -u.y};
        }
        while (cross(u, b) < 0.0) {
            a = b;
            i = i + 1 < n ? i + 1 : 0;
            b = p[i];
        }
        reach[k] = along(u, a, b);
    }
}

/* Every direction against every edge; false where the centre is outside. */
static bool reach_any(const settings *with, const point *p, size_t n,
                      double *reach) {
    for (size_t k = 0; k < (size_t)2 * DIRECTIONS; k++) {
        point u = with->directions[k % DIRECTIONS];
        if (k >= DIRECTIONS) {
            u = (point){-u.x, -u.y};
        }
        size_t met = 0;
        reach[k] = INFINITY;
        for (size_t i = 0; i < n; i++) {
            point a = p[i];
            point b = p[i + 1 < n ? i + 1 : 0];
            if ((cross(u, a) > 0.0) != (cross(u, b) > 0.0)) {
                double at = along(u, a, b);
                met += at > 0.0;
                reach[k] = at > 0.0 && at < reach[k] ? at : reach[k];
            }
        }
        if (met % 2 == 0) {
            return false;
        }
    }
    return true;
}

static void reverse(point *p, size_t n) {
    for (size_t i = 0; i < n / 2; i++) {
        point other = p[i];
        p[i] = p[n - 1 - i];
        p[n - 1 - i] = other;
    }
}

static void chords_measure(const settings *with, const contour *of,
                           measures *out) {
    size_t n = of->count;
    point *p = of->moved;
    double turn = 0.0;
    for (size_t i = 0; i < n; i++) {
        p[i] = from_to(out->centre, of->points[i]);
        turn += i > 0 ? cross(p[i - 1], p[i]) : 0.0;
    }
    if (turn < 0.0) {
        reverse(p, n);
    }
    double reach[2 * DIRECTIONS];
    if (star_shaped(p, n)) {
        reach_star(with, p, n, reach);
    } else if (!reach_any(with, p, n, reach)) {
        out->flags = "centre-outside";
        return;
    }
    out->min_diameter = INFINITY;
    out->max_diameter = 0.0;
    for (size_t k = 0; k < DIRECTIONS; k++) {
        double chord = reach[k] + reach[k + DIRECTIONS];
        out->min_diameter = fmin(out->min_diameter, chord);
        if (chord > out->max_diameter) {
            out->max_diameter = chord;
            out->long_axis_deg = (double)k * 180.0 / DIRECTIONS;
        }
    }
}

/* -------------------------------------------------------------- contour */

static GEOSGeometry *polygon_make(contour *of) {
    of->points[of->count] = of->points[0];
    GEOSCoordSequence *sequence = GEOSCoordSeq_copyFromBuffer(
        (const double *)of->points, (unsigned)of->count + 1, 0, 0);
    GEOSGeometry *ring =
        sequence != NULL ? GEOSGeom_createLinearRing(sequence) : NULL;
    GEOSGeometry *polygon =
        ring != NULL ? GEOSGeom_createPolygon(ring, NULL, 0) : NULL;
    if (polygon == NULL) {
        give_up("GEOS makes no polygon");
    }
    return polygon;
}

static void centre_measure(const GEOSGeometry *polygon, measures *out) {
    GEOSGeometry *centre = GEOSGetCentroid(polygon);
    if (centre == NULL || !GEOSGeomGetX(centre, &out->centre.x) ||
        !GEOSGeomGetY(centre, &out->centre.y)) {
        give_up("GEOS finds no centroid");
    }
    GEOSGeom_destroy(centre);
}

static void circle_measure(const GEOSGeometry *polygon, measures *out) {
    GEOSGeometry *radius = GEOSMaximumInscribedCircle(polygon, CIRCLE_MM);
    if (radius == NULL || !GEOSLength(radius, &out->inscribed)) {
        give_up("GEOS finds no circle");
    }
    out->inscribed *= 2.0;
    GEOSGeom_destroy(radius);
}

/* A repeat right after its like, and a closing repeat, count once. */
static void repeats_drop(contour *of) {
    size_t kept = 0;
    for (size_t i = 0; i < of->count; i++) {
        point here = of->points[i];
        if (kept == 0 || here.x != of->points[kept - 1].x ||
            here.y != of->points[kept - 1].y) {
            of->points[kept++] = here;
        }
    }
    while (kept > 1 && of->points[kept - 1].x == of->points[0].x &&
           of->points[kept - 1].y == of->points[0].y) {
        kept--;
    }
    of->count = kept;
}

static bool in_range(const contour *of) {
    for (size_t i = 0; i < of->count; i++) {
        if (fabs(of->points[i].x) > RANGE_MM ||
            fabs(of->points[i].y) > RANGE_MM) {
            return false;
        }
    }
    return true;
}

/* False when only the flags are known. */
static bool contour_measure(const settings *with, contour *of, measures *out) {
    *out = (measures){.flags = ""};
    repeats_drop(of);
    if (of->count < 3 || !in_range(of)) {
        out->flags = of->count < 3 ? "few-points" : "out-of-range";
        return false;
    }
    GEOSGeometry *polygon = polygon_make(of);
    GEOSArea(polygon, &out->area);
    if (out->area == 0.0) {
        out->flags = "no-area";
    } else if (GEOSisValid(polygon) != 1) {
        out->flags = "crossing";
    } else {
        GEOSLength(polygon, &out->perimeter);
        centre_measure(polygon, out);
        hull_measure(polygon, out);
        chords_measure(with, of, out);
        if (with->with_circle) {
            circle_measure(polygon, out);
        }
    }
    GEOSGeom_destroy(polygon);
    return out->perimeter > 0.0;
}

static void row_print(const settings *with, contour *of, long first_frame) {
    measures m;
    bool known = contour_measure(with, of, &m);
    double position = (double)(of->frame - first_frame) / with->frame_rate_hz *
                      with->speed_mm_per_s;
    printf("%ld,,%.4f,lumen,%zu,", of->frame, position, of->count);
    if (!known) {
        printf(",,,,,,,,,,,,,,,,%s\n", m.flags);
        return;
    }
    printf("%.4f,%.4f,%.4f,%.4f,", m.area, m.perimeter, 2 * sqrt(m.area / PI),
           m.perimeter / PI);
    bool seen = m.flags[0] == '\0';
    if (seen) {
        printf("%.4f,%.4f,", m.min_diameter, m.max_diameter);
    } else {
        fputs(",,", stdout);
    }
    printf("%.4f,%.4f,", m.min_feret, m.max_feret);
    if (with->with_circle) {
        printf("%.4f", m.inscribed);
    }
    if (seen) {
        printf(",%.4f,%.4f,", m.max_diameter / m.min_diameter,
               1 - m.min_diameter / m.max_diameter);
    } else {
        fputs(",,,", stdout);
    }
    printf("%.4f,%.4f,", 4 * PI * m.area / (m.perimeter * m.perimeter),
           m.area / m.hull_area);
    if (seen) {
        printf("%.4f", m.long_axis_deg);
    }
    printf(",%.4f,%.4f,%s\n", m.centre.x, m.centre.y, m.flags);
}

/* ---------------------------------------------------------------- table */

static void point_add(contour *to, double x, double y) {
    if (to->count + 2 > to->room) { /* one more closes the ring */
        to->room = to->room > 0 ? 2 * to->room : 1024;
        to->points = realloc(to->points, to->room * sizeof *to->points);
        to->moved = realloc(to->moved, to->room * sizeof *to->moved);
        if (to->points == NULL || to->moved == NULL) {
            give_up("out of memory");
        }
    }
    to->points[to->count++] = (point){x, y};
}

/* Notes and header; the line buffer is the caller's. */
static void head_read(FILE *table, char *line, settings *out) {
    do {
        if (fgets(line, LINE_BYTES, table) == NULL) {
            give_up("the table has no rows");
        }
        sscanf(line, "# speed_mm_per_s = %lf", &out->speed_mm_per_s);
        sscanf(line, "# frame_rate_hz = %lf", &out->frame_rate_hz);
    } while (line[0] == '#');
    if (strcmp(line, "frame,x_mm,y_mm\n") != 0) {
        give_up("the header must be frame,x_mm,y_mm");
    }
    if (out->speed_mm_per_s <= 0.0 || out->frame_rate_hz <= 0.0) {
        give_up("speed or frame rate is missing");
    }
}

static void row_read(const char *line, long *frame, double *x, double *y) {
    char *end = NULL;
    *frame = strtol(line, &end, 10);
    bool good = *end == ',';
    *x = strtod(good ? end + 1 : end, &end);
    good = good && *end == ',';
    *y = strtod(good ? end + 1 : end, &end);
    if (!good || (*end != '\n' && *end != '\0')) {
        give_up("a row of three numbers is wanted");
    }
}

static void table_measure(FILE *table, settings *with) {
    char line[LINE_BYTES];
    contour now = {.frame = -1};
    long first = -1;
    head_read(table, line, with);
    puts(HEADER);
    while (fgets(line, sizeof line, table) != NULL) {
        long frame = 0;
        double x = 0;
        double y = 0;
        row_read(line, &frame, &x, &y);
        if (frame != now.frame) {
            if (now.count > 0) {
                row_print(with, &now, first);
            }
            first = first < 0 ? frame : first;
            now.frame = frame;
            now.count = 0;
        }
        point_add(&now, x, y);
    }
    if (now.count > 0) {
        row_print(with, &now, first);
    }
    free(now.points);
    free(now.moved);
}

int main(int count, char **words) {
    settings with = {.with_circle =
                         count == 3 && strcmp(words[1], "--circle") == 0};
    if (count != (with.with_circle ? 3 : 2)) {
        give_up("usage: peer_geos [--circle] TABLE > OUTPUT");
    }
    for (int k = 0; k < DIRECTIONS; k++) {
        double angle = k * PI / DIRECTIONS;
        with.directions[k] = (point){cos(angle), sin(angle)};
    }
    FILE *table = fopen(words[count - 1], "r");
    if (table == NULL) {
        give_up("the table cannot be read");
    }
    initGEOS(silent, silent);
    table_measure(table, &with);
    finishGEOS();
    fclose(table);
    return fflush(stdout) == 0 ? 0 : 1;
}
