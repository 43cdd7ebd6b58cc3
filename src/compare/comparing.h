/*
 * comparing.h - what the parts of a comparison share.
 */
#ifndef COMPARE_COMPARING_H
#define COMPARE_COMPARING_H

#include "base/sentences.h"
#include "compare/denominator.h"
#include "compare/trace.h"

enum { BEFORE, AFTER, TABLES };

/* Frames of a fault that a sentence names; of more it names the first. */
#define FRAMES_NAMED ((size_t)5)

/* Where contours cannot be measured, ascending on the axis of BEFORE. */
typedef struct left_out_places {
    double *at_mm;
    size_t count;
    uint32_t flags; /* of all of them */
} left_out_places;

/* One of the two tables. Traces stand on the axis of BEFORE once they are lined
 * up; until then on their own, AFTER's turned where catheters travelled in
 * opposite directions. */
typedef struct compared_table {
    const bl_study *study;
    const bl_assessment *assessment;
    const bl_pullback *pullback;
    trace_pace pace;
    trace lumen;
    trace device;
    bool end_unseen[2]; /* of the device, in position order of BEFORE */
} compared_table;

/* Whether the calibres outside the treated stretch agree as lined up. */
typedef enum lining_misfit {
    MISFIT_NONE,     /* they do, or it is not known */
    MISFIT_AT_EDGES, /* not beside its ends, and beyond the edges they do */
    MISFIT_ALL
} lining_misfit;

typedef struct comparing {
    compared_table tables[TABLES];
    const bl_compare_options *options;
    double turn; /* of AFTER's positions: 1, or -1 */
    denominators against;
    lining_misfit misfit;
    left_out_places left_out[BL_KIND_VESSEL + 1]; /* of AFTER, by kind */
    arena *owner;                                 /* of the comparison */
    sentences said;                               /* warnings */
    sentences foremost;                           /* before any figure */
    sentences unsaid;                             /* what cannot be said */
    bl_message *message;
    bl_comparison *out;
} comparing;

/* lining.c: finds the alignment and puts AFTER's traces on the axis of BEFORE.
 * BL_ERR_INPUT: nothing to line up by; BL_ERR_MEMORY. */
bl_status lining_find(comparing *in);

/* lining_words.c: by what the tables are lined up and how well, a sentence that
 * the comparison owns; treated: a treated stretch is known. NULL when memory is
 * out. Then warnings of it. */
const char *lining_words(const comparing *in, const bl_alignment *of,
                         bool treated);
void lining_remark(comparing *in);
/* What of it has to be read before any figure. */
void lining_lead(comparing *in);
/* Whether diameters of the second table are others on both sides of the treated
 * stretch, as of another scale. */
bool lining_is_rescaled(const comparing *in);

/* denominator.c: what everything is held against, once the treated stretch is
 * known. BL_ERR_MEMORY. */
bl_status denominators_find(comparing *in);
/* Whether a stretch of the reference of a table's assessment reaches into the
 * treated one. */
bool denominators_in_treated(const comparing *in, int which);

/* left_out.c: contours that cannot be measured. BL_ERR_MEMORY. */
bl_status left_out_fill(comparing *in);
/* How many of one kind of AFTER lie between two places. */
size_t left_out_between(const comparing *in, bl_kind kind, bl_span span);
/* "crossing", "crossing, no-area". */
void left_out_flags(text *out, uint32_t flags);
/* Leads with those that hide where the device lies; then warns of all. */
void left_out_lead(comparing *in);
void left_out_tell(comparing *in);

/* More of a stretch without a lumen was not traced. What frames stand apart is
 * lost at either end of it. */
static inline double comparing_untraced_mm(const compared_table *of) {
    double step = 2.0 * of->pace.step_mm;
    return of->pace.gap_mm > step ? of->pace.gap_mm : step;
}

/* hole.c: which ends of the device were not seen, once tables are lined up;
 * then, from the series, where AFTER lacks lumen or device, and a warning of a
 * device that was traced too sparsely to tell. BL_ERR_MEMORY. */
void hole_find_ends(comparing *in);
bl_status hole_fill(comparing *in);
/* "Where the device ends cranially was not seen", "Where the device begins and
 * ends was not seen". */
const char *hole_ends_words(const comparing *in);

/* implant.c: the state of the device, but for apposition. BL_ERR_MEMORY. */
bl_status implant_fill(comparing *in);

/* crossed_mark.c: confluences that the device lies across; then warns of them.
 */
void crossed_mark_fill(comparing *in);
void crossed_mark_tell(comparing *in);

/* wall.c: apposition. BL_ERR_INPUT: devices outside the vessel in too many
 * frames; BL_ERR_MEMORY. */
bl_status wall_fill(comparing *in);
/* What the device contour of a row tells of its vein; NULL: nothing. */
const bl_apposition *wall_of(const bl_study *study, size_t row);
/* Whether its lumen, where it has one, lies wholly beside it. */
bool wall_is_beside(const bl_apposition *of);

/* wall_only.c: where AFTER has a wall and no lumen outside the treated stretch.
 * BL_ERR_MEMORY. */
bl_status wall_only_fill(comparing *in);

/* beyond.c: the edges, and what is narrow outside the treated stretch.
 * BL_ERR_MEMORY. */
bl_status beyond_fill(comparing *in);

/* difference.c: changes with their intervals. BL_ERR_MEMORY. */
bl_status difference_fill(comparing *in);

/* loss.c: the greatest losses at one place. BL_ERR_MEMORY. */
bl_status loss_fill(comparing *in);

/* series.c: frame by frame. BL_ERR_MEMORY. */
bl_status series_fill(comparing *in);

/* remark.c: warnings, and what cannot be said, from all the rest. */
void remark_collect(comparing *in);
/* Whether the lumen is wider than the device nearly all along it. counts, which
 * may be NULL: frames where it is, and frames with both. */
bool remark_is_swapped(const comparing *in, size_t counts[2]);
/* Whether an end of the device is elsewhere than in BEFORE. */
bool remark_is_moved(const comparing *in);

/* mistrust.c: what undoes figures, each in a sentence that leads, or, where it
 * touches less, in a warning. Kinds that do not lie in each other; a scale in
 * doubt; a treated stretch without a lumen in BEFORE; devices wider than their
 * sizes; edges that narrowed. */
void mistrust_kinds(comparing *in);
void mistrust_scale(comparing *in);
void mistrust_untraced(comparing *in);
void mistrust_sizes(comparing *in);
void mistrust_edges(comparing *in);

/* foremost.c: what leads the report. */
void foremost_collect(comparing *in);
/* Whether the nominal area is not known since an end of the device was not
 * seen. */
bool foremost_is_cut(const comparing *in);

/* comparison.c: whether a place lies in the treated stretch or on its end. */
bool comparing_is_treated(const comparing *in, double at_mm);
/* Half of where the shift may lie, by profiles; 0 where they do not tell it. */
double comparing_shift_error_mm(const comparing *in);

/* The place of a node of a table, held against everything. */
bl_waist waist_of(const comparing *in, const trace_node *node);
bl_waist waist_nowhere(void);
/* Area stenosis by the reference before, else by that after. */
double waist_stenosis_pct(const bl_waist *at);
/* Which node of a run is so many from its cranial end: so that what is found
 * first among equals does not turn with the table. */
size_t waist_from_cranial(const comparing *in, trace_run run, size_t index);
/* The least area of a run, of equals the one with the greatest stenosis, then
 * the cranial one; nowhere of an empty run. */
bl_waist waist_least(const comparing *in, const trace *of, trace_run run);

#endif
