/*
 * study.h - many invented vessels through the library, and how often it is
 * right. docs/simulation.md says what is drawn and how it is judged.
 *
 * Positions are millimetres along the pullback from its first frame; a loss is
 * the share of its healthy area that a place has lost, in percent.
 */
#ifndef STUDY_H
#define STUDY_H

#include "boreline.h"
#include "vessel.h"

#define STUDY_VEINS 4

typedef enum disease {
    DISEASE_NONE,
    DISEASE_COSINE,    /* round, a raised cosine */
    DISEASE_PLATEAU,   /* round, of one depth between its edges */
    DISEASE_FLAT,      /* pressed flat with its wall length kept */
    DISEASE_SCAR,      /* long, irregular and uneven */
    DISEASE_SEVERAL,   /* two or three of the first three */
    DISEASE_THROUGHOUT /* scar from end to end: nothing is healthy */
} disease;

#define DISEASE_COUNT 7

const char *disease_name(disease of);

/* What was drawn of one vessel, and the vessel. */
typedef struct invented {
    size_t number;
    disease disease;
    size_t veins;
    size_t first_vein; /* of all that are drawn, cava is 0 */
    bool marked;
    bool cranially;
    size_t gaps;
    double spacing_mm;             /* of frames */
    double ripple_pct;             /* peak to trough, of the diameter */
    double border_mm[STUDY_VEINS]; /* where a vein ends, veins - 1 of them */
    vessel vessel;
} invented;

/* The number of the vein that a place lies in, of those that the pullback
 * shows, from the cranial one; and its nominal diameter. */
size_t vein_at(const invented *of, double at_mm);
double vein_nominal_mm(const invented *of, size_t vein);
#define SMALLEST_NOMINAL_MM 12.0

/* The vessel of this number in the study of this seed. */
void invent(uint64_t seed, size_t number, invented *out);

/* What is true of a vessel where good frames were traced. */
typedef struct known {
    double healthy_mm; /* longest stretch of healthy vein within one vein and
                          without a gap over 5 mm */
    double own_mm;     /* the same of the vein that the worst place lies in */
    double worst_loss_pct;
    double worst_mm; /* the first of the worst places */
    double even_mm;  /* of frames within EVEN_PCT of the worst */
    double least_area_mm2;
} known;

#define EVEN_PCT 1.0

/* What one says who is told part of the truth (observers.c). NaN where the
 * library found no reference, but for the widest. */
#define OBSERVED_WIDTHS 3
typedef struct observed {
    double calibre_told_mm; /* worst places */
    double breath_told_mm[OBSERVED_WIDTHS];
    double shape_told_mm;
    double mean_mm2; /* reference areas at the library's worst place */
    double line_mm2;
    double widest; /* 10 mm of vein, as a share of a nominal area */
    double widest_by_marks;
} observed;

/* What the library said of it. */
typedef struct verdict {
    invented of; /* the vessel */
    known truth;
    bl_status status; /* BL_OK or BL_ERR_REFERENCE */
    /* The rest is of BL_OK only, else NaN or 0. */
    size_t segments;
    double segments_loss_pct; /* greatest loss within a segment */
    double segments_from_mm;  /* of the segment where that is */
    double segments_to_mm;
    double worst_mm;
    double stenosis_pct;
    double corrected_pct; /* the same, for the least of many frames */
    bl_interval least_area_mm2;
    bl_interval worst_pct;
    bl_interval place_mm;
    double reference_area_mm2; /* at worst_mm */
    double healthy_area_mm2;   /* the same in truth */
    double away_mm;            /* from the nearest truly worst place */
    double off_mm; /* of the interval of the place from the nearest such */
    size_t narrowings;
    bool warned; /* that a reference is well below the normal */
    observed observed;
} verdict;

/* From the nearest place that is as bad as the worst of the vessel. */
double worst_away_mm(const verdict *of, double at_mm);
/* So near it is the worst place. */
#define PLACE_MM 2.0

/* Fills `observed` of a verdict that has the rest; got: NULL when there was no
 * reference. False when memory is out. */
bool observe(const bl_study *study, const bl_assessment *got, verdict *out);

/* Has a vessel assessed with these options, but that the reference is found,
 * and judges. False when memory is out, or when the table could not be read or
 * assessed, which is said on stderr. */
bool judge(const invented *of, const bl_assess_options *options, verdict *out);

/* A vein without a stretch of so much healthy vein has none to find; with so
 * much it is to be found. */
#define NONE_HEALTHY_MM 10.0
#define SOME_HEALTHY_MM 15.0
/* From here on a place has disease. */
#define DISEASED_PCT 5.0
#define NARROWED_PCT 50.0

/* A figure that is a share of vessels. */
typedef struct share {
    const char *words;
    double least_pct; /* NaN: told, but no target */
    double most_pct;
    bool (*counts)(const verdict *of);
    bool (*good)(const verdict *of);
} share;

typedef enum share_name {
    SHARE_HEALTHY,
    SHARE_AREA_MEDIAN,
    SHARE_AREA_95,
    SHARE_PLACE,
    SHARE_NONE,
    SHARE_INVENTED,
    SHARE_HOLDS_AREA,
    SHARE_HOLDS_STENOSIS,
    SHARE_HOLDS_CALM_AREA,
    SHARE_HOLDS_CALM_STENOSIS,
    SHARE_OWN_5,
    SHARE_OWN_10,
    SHARE_WARNED,
    SHARE_HOLDS_PLACE,
    SHARE_COUNT
} share_name;

extern const share SHARES[SHARE_COUNT];

/* good of all that counts. */
typedef struct tally {
    size_t good;
    size_t all;
} tally;

/* In percent. */
typedef struct interval {
    double low;
    double high;
} interval;

/* Wilson's, 95 % (J Am Stat Assoc 1927;22:209-12). */
interval share_interval(tally of);

tally share_tally(const share *of, const verdict *verdicts, size_t count);

/* Stenosis as found less the true one where a narrowing is to be found, in
 * points; NaN mean for none. */
typedef struct bias {
    double mean;
    double deviation;
    size_t count;
} bias;

/* corrected: of the corrected stenosis. */
bias bias_of(const verdict *verdicts, size_t count, bool corrected);

/* The median width of intervals where a narrowing is to be found: of least
 * area, as a share of the true one in percent, and of stenosis, in points. */
typedef struct widths {
    double area_pct;
    double stenosis;
    size_t count;
} widths;

widths widths_of(const verdict *verdicts, size_t count);

/* One line a vessel; the figures and their strata as Markdown. */
void verdicts_write(const verdict *verdicts, size_t count, FILE *out);
void figures_write(const verdict *verdicts, size_t count, FILE *out);
void strata_write(const verdict *verdicts, size_t count, FILE *out);
/* Beside figures what observers reach. */
void observers_write(const verdict *verdicts, size_t count, FILE *out);

#endif
