/*
 * trace.h - one kind of contour of one table along the vessel: what is compared
 * with what.
 */
#ifndef COMPARE_TRACE_H
#define COMPARE_TRACE_H

#include "base/arena.h"
#include "boreline.h"
#include "profile/median.h"

/* A usable contour, smoothed along the vessel. */
typedef struct trace_node {
    double at_mm;  /* where it is compared: on the axis of BEFORE */
    double own_mm; /* its position in its own table */
    double raw_mm2;
    double area_mm2;
    double diameter_mm; /* equivalent */
    double min_mm;      /* NaN where unknown */
    double max_mm;
    double reference_mm2; /* of its own assessment; NaN: none, or a device */
    int64_t frame;
    size_t row;
    bool starts; /* a gap of its own axis lies before it, or it is the first */
} trace_node;

/* Nodes with at_mm ascending. */
typedef struct trace {
    trace_node *nodes;
    size_t count;
} trace;

/* How contours of one table follow each other. */
typedef struct trace_pace {
    double step_mm; /* frames stand so far apart: the median; 0 of one */
    double gap_mm;  /* more without a contour is a gap */
    double turn;    /* 1, or -1 for at_mm counted the other way */
} trace_pace;

/* BL_ERR_MEMORY. */
bl_status trace_pace_of(const bl_study *study, double turn, arena *owner,
                        trace_pace *out);

/* The profile of an assessment. BL_ERR_MEMORY. */
bl_status trace_of_lumen(const bl_study *study, const bl_assessment *of,
                         const trace_pace *pace, arena *owner, trace *out);

/* The usable device contours, smoothed as the lumens are, by running medians
 * over smooth_mm. BL_ERR_MEMORY. */
bl_status trace_of_device(const bl_study *study, double smooth_mm,
                          const trace_pace *pace, arena *owner, trace *out);

/* Puts the nodes, until now where their own table has them (turned), on the
 * axis of BEFORE. */
void trace_place(trace *of, const bl_alignment *by);

/* The first node at or after a place, or, `past`, after it; count: none. */
size_t trace_bound(const trace *of, double at_mm, bool past);

/* Nodes within a span, its ends with room for rounding. */
typedef struct trace_run {
    size_t first;
    size_t end;
} trace_run;

trace_run trace_within(const trace *of, bl_span span);

/* Area at a place, between nodes linear in equivalent diameter; NaN in a gap
 * and beyond the ends. */
double trace_area_mm2(const trace *of, double at_mm);

/* From the first to the last node; NaN without any. */
bl_span trace_extent(const trace *of);

/* Length-weighted mean, by trapezoid, of a number of the nodes of a run, where
 * it is known; that of the only node of a run of one; NaN without any. values:
 * by node of the trace. *known_mm, which may be NULL, is the length that it is
 * of. */
double trace_mean(const trace *of, trace_run run, const double *values,
                  double *known_mm);

/* Length of a run, without gaps. */
double trace_length_mm(const trace *of, trace_run run);

/* Working memory for smoothing a trace. */
typedef struct trace_room {
    double *places;
    median_slot *slots;
} trace_room;

/* BL_ERR_MEMORY. */
bl_status trace_room_open(const trace *of, arena *owner, trace_room *out);

/* The running median of a number of each node over width_mm, never across a
 * gap; width 0 copies. */
void trace_smooth(const trace *of, const trace_room *with, const double *values,
                  double width_mm, double *out);

#endif
