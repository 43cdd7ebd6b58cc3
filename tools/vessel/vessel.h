/*
 * vessel.h - an invented vessel, described in words, whose measures are known.
 *
 * Positions are millimetres along the pullback from its first frame.
 * The grammar of a description is in samples/README.md.
 */
#ifndef VESSEL_H
#define VESSEL_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#define PI 3.14159265358979323846

#define VESSEL_TEXT 128
#define VESSEL_CALIBRES 32
#define VESSEL_LESIONS 16
#define VESSEL_MARKS 16
#define VESSEL_FRAMES 32
#define VESSEL_REFERENCES 2
#define VESSEL_NOMINALS 4
/* Harmonics of an irregular wall: 3 .. 6. */
#define WALL_HARMONICS 4
#define WALL_FIRST_HARMONIC 3

/* Healthy vein at one position; between two of them everything is linear. */
typedef struct calibre {
    double at_mm;
    double diameter_mm; /* of the circle of equal area */
    double aspect;      /* long axis / short axis, >= 1 */
    double axis_deg;    /* of the long axis, counter-clockwise of +x */
} calibre;

/* A vein pressed flat: its depth follows a raised cosine over twice half_mm
 * and its wall keeps kept_pct of its length at the centre. One of area_mm2,
 * aspect and left_pct is given, the others NaN; all are those at the centre. */
typedef struct flattening {
    double at_mm;
    double half_mm;
    double area_mm2;
    double aspect;
    double kept_pct;
    double axis_deg; /* NaN: as the healthy vein */
    double left_pct; /* of the area */
    double loss;     /* share of area lost at the centre, worked out */
} flattening;

/* A vein that lost calibre: full depth but for raised-cosine edges. */
typedef struct scar {
    double from_mm;
    double to_mm;
    double edge_mm;
    double left_pct;      /* area left */
    double irregular_pct; /* of the wall around, rms, share of the radius */
    double uneven_pct;    /* of the area along, amplitude */
    double every_mm;      /* wavelength of that */
    double aspect;        /* NaN: as the healthy vein */
} scar;

/* Tissue inside a device: full share but for raised-cosine edges. */
typedef struct tissue {
    double from_mm;
    double to_mm;
    double edge_mm;
    double share_pct; /* of the device's area */
} tissue;

/* Where the vein's wall stands off a device: a raised cosine around, largest
 * in the middle, and raised-cosine edges along. */
typedef struct standoff {
    double from_mm;
    double to_mm;
    double edge_mm;
    double largest_mm;
    double middle_deg; /* of the ellipse's parameter, from its long axis */
    double arc_deg;    /* from one foot of the cosine to the other */
} standoff;

/* What is written on an implanted device, and where its cranial end lies. */
typedef struct nominal {
    double diameter_mm;
    double length_mm;
    double from_mm;
} nominal;

typedef struct mark {
    char name[VESSEL_TEXT];
    double at_mm;
} mark;

typedef struct stretch {
    double from_mm;
    double to_mm;
    bool noted; /* also a `reference` note of the table */
} stretch;

typedef struct frames {
    int64_t from;
    int64_t to;
} frames;

/* How a single frame is traced wrongly. */
typedef enum bad_how {
    BAD_CROSSING, /* across itself */
    BAD_FEW,      /* two points only */
    BAD_STRAY     /* another border: a share of the area */
} bad_how;

typedef struct bad_frame {
    int64_t frame;
    bad_how how;
    double area_pct; /* of a stray one */
} bad_frame;

typedef struct vessel {
    char case_name[VESSEL_TEXT];
    char side[VESSEL_TEXT];
    char stage[VESSEL_TEXT];
    char reader[VESSEL_TEXT];
    char travel[VESSEL_TEXT]; /* "" or a word of the note */
    double length_mm;
    double speed_mm_per_s;
    double frame_rate_hz;
    double breathing_pct; /* amplitude, of the diameter */
    double breath_s;
    double noise_mm;   /* rms, of the wall's place */
    double area_pct;   /* rms, of a whole frame's area, each by itself */
    double offset;     /* of the catheter, share of the short half axis */
    double turn_mm;    /* pullback in which that offset turns once */
    double begins_mm;  /* of the vein as described, where the first frame is */
    double apposed_mm; /* from a device's inner edge to the wall it lies on */
    int64_t frame_count;
    int64_t points;
    uint64_t seed;
    calibre calibres[VESSEL_CALIBRES];
    size_t calibre_count;
    flattening flattenings[VESSEL_LESIONS];
    size_t flattening_count;
    scar scars[VESSEL_LESIONS];
    size_t scar_count;
    calibre devices[VESSEL_CALIBRES]; /* from the first to the last of them */
    size_t device_count;
    nominal nominals[VESSEL_NOMINALS];
    size_t nominal_count;
    tissue tissues[VESSEL_LESIONS];
    size_t tissue_count;
    standoff standoffs[VESSEL_LESIONS];
    size_t standoff_count;
    mark marks[VESSEL_MARKS];
    size_t mark_count;
    stretch references[VESSEL_REFERENCES];
    size_t reference_count;
    frames missing[VESSEL_FRAMES];
    size_t missing_count;
    bad_frame bad[VESSEL_FRAMES];
    size_t bad_count;
    double phase[WALL_HARMONICS]; /* of the irregular wall, from the seed */
    double drift[WALL_HARMONICS]; /* its change per mm */
} vessel;

/* The wall at one position: an ellipse, made irregular without changing its
 * area. Without breathing, noise or missing frames. */
typedef struct wall {
    double long_mm; /* half axes */
    double short_mm;
    double axis_deg;
    double irregular; /* rms, share of the radius */
} wall;

/* xorshift64*: Marsaglia, J Stat Softw 2003;8(14), with Vigna's multiplier,
 * ACM Trans Math Softw 2016;42(4):30. */
uint64_t random_next(uint64_t *state);
/* In [0, 1). */
double random_unit(uint64_t *state);
/* Mean 0, standard deviation 1, bell-shaped: a sum of four uniforms. */
double random_bell(uint64_t *state);
uint64_t random_start(uint64_t seed);

/* Reads a description; false after saying on stderr what is wrong. */
bool description_read(const char *path, vessel *out);
/* Puts the vessel on `count` frames, the same places in the vein. */
void vessel_rescale(vessel *of, int64_t count);

/* Works out what follows from the rest of a described vessel, which makes it
 * ready for all below; false after saying on stderr what is wrong. */
bool vessel_ready(vessel *of);

/* The part of vessel_ready that is the wall's. */
bool wall_prepare(vessel *of);
wall wall_at(const vessel *of, double at_mm);
double wall_area(const wall *of);
/* Before any disease: of the calibres alone. */
double wall_healthy_area(const vessel *of, double at_mm);
double wall_perimeter(const vessel *of, const wall *at, double at_mm);
/* What a breath multiplies the diameter by, so long after the first frame. */
double wall_breath(const vessel *of, double time_s);
/* Share by which the irregular wall stands off at parameter t (radians), and
 * its derivative; multiply by wall.irregular. */
double wall_offset(const vessel *of, double at_mm, double t, double *slope);

/* 1 at the middle, 0 from `half` on, raised cosine between. */
double hump(double distance, double half);
/* 1 between from + edge and to - edge, 0 outside, raised cosine between. */
double plateau(double at_mm, double from_mm, double to_mm, double edge_mm);
/* Linear between two of `count` >= 1; the first or last beyond them. */
calibre calibre_at(const calibre *of, size_t count, double at_mm);

bool device_covers(const vessel *of, double at_mm);
/* The device's inner edge, where it covers. */
wall device_at(const vessel *of, double at_mm);
/* What tissue leaves open of it. */
wall device_lumen(const vessel *of, double at_mm);
/* From the device's inner edge at parameter t (radians), along its outward
 * normal, to the vein's wall. */
double device_gap(const vessel *of, double at_mm, double t);
/* The outward unit normal of an ellipse at parameter t, along its axes. */
void wall_normal(const wall *of, double t, double *along, double *across);

typedef struct table_options {
    bool blocks;
    char separator;
    int decimals; /* 0 .. 6 */
} table_options;

bool frame_is_missing(const vessel *of, int64_t frame);
/* NULL: it is traced as it should be. */
const bad_frame *frame_bad(const vessel *of, int64_t frame);

/* Both return false when writing failed. */
bool table_write(const vessel *of, const table_options *options, FILE *out);
bool truth_write(const vessel *of, FILE *out);
/* Of a vein with devices; before: the same vein before, NULL: not known. */
bool result_write(const vessel *of, const vessel *before, FILE *out);

#endif
