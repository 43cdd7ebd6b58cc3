/*
 * boreline.h - measure, assess and draw a pullback through a deep vein.
 *
 * This is the whole public interface; it is the only header installed.
 * Data flows one way: bytes -> contours -> measures -> assessment -> picture
 * or report. Nothing here is global: two studies never share anything.
 *
 * Conventions
 *   Units end the names: _mm, _mm2, _mm3, _deg, _s, _hz, _px, _pct.
 *   A double that is unknown is NaN; it prints as an empty cell or `null`.
 *   Functions that can fail return a bl_status and leave their outputs
 *   untouched unless it is BL_OK. Where a function takes a bl_message, it may
 *   be NULL; on failure it receives the place and the words.
 *   Objects made by bl_X_new or returned through bl_X **out belong to the
 *   caller and are freed by bl_X_free, which accepts NULL.
 *   Pointers returned from an object live as long as that object.
 *
 * For education and record support. Not a medical device: a licensed operator
 * decides, and local rules prevail.
 */
#ifndef BORELINE_H
#define BORELINE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

#define BL_VERSION "0.1.0"

#if defined(__GNUC__)
#define BL_API __attribute__((visibility("default")))
#else
#define BL_API
#endif

/* ------------------------------------------------------------------ status */

typedef enum bl_status {
    BL_OK = 0,
    BL_ERR_MEMORY,    /* an allocation failed */
    BL_ERR_ARGUMENT,  /* the caller passed something that cannot be meant */
    BL_ERR_INPUT,     /* the table cannot be used; the message says where */
    BL_ERR_LIMIT,     /* a named limit was passed; the message names it */
    BL_ERR_REFERENCE, /* no stretch can serve as reference */
    BL_ERR_FILE,      /* the operating system refused; message has its words */
    BL_ERR_FONT,      /* no font is installed to draw text with */
    BL_ERR_LIBRARY    /* a library that paints pictures cannot be loaded */
} bl_status;

#define BL_MESSAGE_BYTES 512

/* What went wrong. line and column count from 1; 0 means "no such place".
 * text reads "what is wrong; what to do about it", without a final newline, of
 * at most BL_MESSAGE_BYTES - 1 bytes: of what is longer "..." stands for the
 * middle, where that can be of a quoted name, never in a character of UTF-8.
 * The file's name is the caller's. */
typedef struct bl_message {
    bl_status status;
    uint64_t line;
    uint64_t column;
    char text[BL_MESSAGE_BYTES];
} bl_message;

/* The version of the library, the text of BL_VERSION it was built with. */
BL_API const char *bl_version(void);

/* The caution that goes with every output that advises. One line, no newline.
 */
BL_API const char *bl_caution(void);

/* Reads a whole text as a decimal number, without locale: "1.5", "-3", "2e3".
 * False, and *value untouched, for anything else or a number too large. */
BL_API bool bl_number_from_text(const char *text, double *value);

/* Receives `size` bytes of output, size >= 1; bytes are gone after the call.
 * Anything but BL_OK stops the writer, which returns it unchanged. */
typedef bl_status (*bl_sink)(void *context, const char *bytes, size_t size);

/* ---------------------------------------------------------------- geometry */

/* One closed contour, in millimetres, y up. It is closed whether or not the
 * last point repeats the first; either turning direction means the same;
 * repeated points are allowed. Values must be finite. */
typedef struct bl_contour {
    const double *x_mm;
    const double *y_mm;
    size_t count;
} bl_contour;

/* Columns of `measure`, in the order of printing. Used as bit numbers. */
typedef enum bl_column {
    BL_COL_FRAME,
    BL_COL_TIME_S,
    BL_COL_POSITION_MM,
    BL_COL_KIND,
    BL_COL_POINTS,
    BL_COL_AREA_MM2,
    BL_COL_PERIMETER_MM,
    BL_COL_EQUIVALENT_DIAMETER_MM,
    BL_COL_PERIMETER_DIAMETER_MM,
    BL_COL_MIN_DIAMETER_MM,
    BL_COL_MAX_DIAMETER_MM,
    BL_COL_MIN_FERET_MM,
    BL_COL_MAX_FERET_MM,
    BL_COL_INSCRIBED_DIAMETER_MM,
    BL_COL_ASPECT_RATIO,
    BL_COL_ECCENTRICITY,
    BL_COL_CIRCULARITY,
    BL_COL_SOLIDITY,
    BL_COL_LONG_AXIS_DEG,
    BL_COL_CENTROID_X_MM,
    BL_COL_CENTROID_Y_MM,
    BL_COL_FLAGS,
    BL_COLUMN_COUNT
} bl_column;

#define BL_BIT(column) (UINT32_C(1) << (column))
#define BL_COLUMNS_ALL (BL_BIT(BL_COLUMN_COUNT) - 1)

/* The column's name as printed, e.g. "area_mm2"; NULL past the last. */
BL_API const char *bl_column_name(unsigned column);

/* Reads "frame,area_mm2,..." (blanks around names allowed) into columns in
 * that order; *count of them, at most BL_COLUMN_COUNT, each at most once.
 * BL_ERR_ARGUMENT names the unknown or repeated column in the message. */
BL_API bl_status bl_columns_from_text(const char *text,
                                      bl_column columns[BL_COLUMN_COUNT],
                                      size_t *count, bl_message *message);

/* What is wrong with a contour. The first four leave it out of assessment. */
typedef enum bl_flag {
    BL_FLAG_FEW_POINTS = 1,      /* fewer than 3 distinct points */
    BL_FLAG_NO_AREA = 2,         /* the points lie on a line */
    BL_FLAG_CROSSING = 4,        /* an edge crosses or runs along another */
    BL_FLAG_OUT_OF_RANGE = 8,    /* a coordinate beyond +-1000 mm */
    BL_FLAG_JUMP = 16,           /* area unlike that of the frames around it */
    BL_FLAG_CENTRE_OUTSIDE = 32, /* centre outside: diameters are unknown */
    BL_FLAG_DOUBTED = 64 /* its points are hardly what was traced: a finding of
                            the study says why; never of a bl_measurer */
} bl_flag;

#define BL_FLAG_COUNT 7
#define BL_FLAGS_LEFT_OUT                                                      \
    (BL_FLAG_FEW_POINTS | BL_FLAG_NO_AREA | BL_FLAG_CROSSING |                 \
     BL_FLAG_OUT_OF_RANGE)

/* The word for flag number 0 .. BL_FLAG_COUNT-1 ("few-points", "no-area",
 * "crossing", "out-of-range", "jump", "centre-outside", "doubted"); NULL past
 * it. */
BL_API const char *bl_flag_name(unsigned number);

/* Everything that is measured of one contour; docs/definitions.md has every
 * definition with its source. Lengths mm, areas mm2. A contour with one of
 * BL_FLAGS_LEFT_OUT, and a measure not asked for, is NaN; but a study, which
 * needs them itself, always has area, perimeter and centroid. */
typedef struct bl_measures {
    double area_mm2;
    double perimeter_mm;           /* as traced, not of the hull */
    double equivalent_diameter_mm; /* of the circle of equal area */
    double perimeter_diameter_mm;  /* of the circle of equal perimeter */
    double min_diameter_mm;        /* shortest chord through the centre */
    double max_diameter_mm;        /* longest chord through the centre */
    double min_feret_mm;           /* least distance of parallel tangents */
    double max_feret_mm;           /* greatest distance of parallel tangents */
    double inscribed_diameter_mm;  /* largest circle inside, to 1e-4 mm;
                                     unknown past a bound on the work,
                                     which a study warns of */
    double aspect_ratio;           /* max / min diameter, >= 1 */
    double eccentricity;           /* (max - min) / max diameter, 0 .. 1 */
    double circularity;            /* 4 pi area / perimeter^2, 0 .. 1 */
    double solidity;               /* area / area of convex hull, 0 .. 1 */
    double long_axis_deg;          /* of the max diameter, [0, 180) ccw of +x */
    double centroid_x_mm;
    double centroid_y_mm;
    uint32_t flags; /* bl_flag bits */
} bl_measures;

/* Measures contours one after another, reusing its working memory. */
typedef struct bl_measurer bl_measurer;

/* columns: BL_BIT(...) of what is wanted; the rest is not computed. Flags are
 * always found. BL_ERR_MEMORY. */
BL_API bl_status bl_measurer_new(uint32_t columns, bl_measurer **out);

/* BL_ERR_MEMORY; BL_ERR_ARGUMENT for a value that is not finite or a NULL
 * array with points; BL_ERR_LIMIT for more than 1,000,000 points. A contour
 * that cannot be measured is not an error: its flags say why. */
BL_API bl_status bl_measurer_measure(bl_measurer *measurer,
                                     const bl_contour *contour,
                                     bl_measures *out);
BL_API void bl_measurer_free(bl_measurer *measurer);

/* ---------------------------------------------------------------- pullback */

typedef enum bl_kind {
    BL_KIND_LUMEN,  /* inner edge of the vein: measured and assessed */
    BL_KIND_DEVICE, /* inner edge of an implanted device */
    BL_KIND_VESSEL  /* outer wall */
} bl_kind;

/* "lumen", "device", "vessel". */
BL_API const char *bl_kind_name(bl_kind kind);

typedef struct bl_span {
    double from_mm;
    double to_mm; /* >= from_mm */
} bl_span;

typedef enum bl_position_from {
    BL_POSITION_COLUMN, /* "position_mm": from the table itself */
    BL_POSITION_AT,     /* "at": piecewise linear between known positions */
    BL_POSITION_STEP,   /* "step_mm": gated, a fixed step a frame */
    BL_POSITION_TIME,   /* "time_s": times and speed */
    BL_POSITION_RATE    /* "frame_rate": frame numbers, rate and speed */
} bl_position_from;

BL_API const char *bl_position_from_name(bl_position_from from);

typedef enum bl_end { BL_END_CRANIAL, BL_END_CAUDAL } bl_end;

/* "cranial", "caudal". */
BL_API const char *bl_end_name(bl_end end);

/* A named position, as given by a `mark` note or option. */
typedef struct bl_mark {
    const char *name;
    double position_mm;
    uint64_t line; /* of its note; 0 from an option */
} bl_mark;

/* A pullback speed and the frame it holds from. */
typedef struct bl_speed {
    int64_t frame;
    double mm_per_s;
} bl_speed;

typedef enum bl_vein {
    BL_VEIN_UNKNOWN,
    BL_VEIN_CAVA,
    BL_VEIN_COMMON_ILIAC,
    BL_VEIN_EXTERNAL_ILIAC,
    BL_VEIN_COMMON_FEMORAL,
    BL_VEIN_FEMORAL
} bl_vein;

/* "inferior vena cava", "common iliac vein", ...; "" when unknown. */
BL_API const char *bl_vein_name(bl_vein vein);

/* What is published of veins without disease, from three studies whose numbers
 * do not convert into each other. */
typedef enum bl_published_column {
    BL_PUBLISHED_MINIMAL_AREA,
    BL_PUBLISHED_NOMINAL_DIAMETER,
    BL_PUBLISHED_MEDIAN, /* area and diameter */
    BL_PUBLISHED_COUNT
} bl_published_column;

/* Who published it, e.g. "Jayaraj et al., J Vasc Surg Venous Lymphat Disord
 * 2021;9:1408-15"; NULL past the last. */
BL_API const char *bl_published_source(bl_published_column column);

/* NaN where nothing is published, as all is of an unknown vein. */
typedef struct bl_published {
    double minimal_area_mm2;    /* normal minimal area */
    double nominal_diameter_mm; /* customary for devices */
    double median_area_mm2;     /* median of people without disease */
    double median_diameter_mm;
} bl_published;

/* side: "left", "right", or "" when it is not known; medians of the iliac
 * veins need it. */
BL_API bl_published bl_published_of(bl_vein vein, const char *side);

/* The areas that healthy veins are expected to have: where NULL stands for such
 * a table, the published normal minimal areas. */
typedef struct bl_normals bl_normals;

/* Reads a user's own table, CSV with the columns vein, side, area_mm2, source
 * (docs/formats.md); name is what its source is called by. BL_ERR_INPUT,
 * BL_ERR_LIMIT, BL_ERR_MEMORY. */
BL_API bl_status bl_normals_from_text(const char *bytes, size_t size,
                                      const char *name, bl_normals **out,
                                      bl_message *message);
BL_API void bl_normals_free(bl_normals *of);

/* The expected area of a vein on a side ("left", "right", "" unknown), mm2; a
 * row for the side goes before one for any. NaN where the table has none:
 * published are common iliac 200, external iliac 150, common femoral 125. */
BL_API double bl_normals_area_mm2(const bl_normals *of, bl_vein vein,
                                  const char *side);

/* Where the areas are from, in words. */
BL_API const char *bl_normals_source(const bl_normals *of);

typedef enum bl_shape {
    BL_SHAPE_LONG,       /* a row a point */
    BL_SHAPE_WIDE,       /* a row a contour: x1,y1,x2,y2,... */
    BL_SHAPE_WIDE_POLAR, /* a row a contour: radii at equal angles */
    BL_SHAPE_BLOCKS      /* 'frame N', then a point a line */
} bl_shape;

/* "long", "wide", "wide polar", "blocks". */
BL_API const char *bl_shape_name(bl_shape shape);

/* What a table said about its pullback, after options were put over notes.
 * Valid after bl_study_finish, and after an error of it or of bl_study_feed,
 * when what comes with positions is unknown and marks and references lack
 * those that could not be placed. Before, labels are "", numbers unknown or 0.
 */
typedef struct bl_pullback {
    const char *case_name; /* labels: "" when not given */
    const char *side;
    const char *reader;
    const char *stage;
    bl_end travel; /* where the catheter goes: BL_END_CAUDAL grows caudally */
    bool y_down;
    bl_position_from position_from;
    double speed_mm_per_s; /* NaN when not used; the first of a schedule */
    bool speed_is_schedule;
    const bl_speed *speeds; /* of the schedule, by frame, rising */
    size_t speed_count;     /* 0 unless there is one */
    double frame_rate_hz;   /* NaN when not used */
    double step_mm;         /* NaN when not used */
    bool has_motion;        /* `motion` is given and used: the catheter moves */
    int64_t motion_from;    /* from this frame */
    int64_t motion_to;      /* to this one; the frames of the table */
    size_t held_before;     /* before it stand where it starts, */
    double held_before_mm;
    size_t held_after; /* and those behind where it ends */
    double held_after_mm;
    double mm_per_px_x; /* NaN when coordinates were millimetres */
    double mm_per_px_y;
    bool scale_from_option; /* not from the table's notes */
    bool scale_is_missing;  /* pixels, and no measure is known */
    bool polar;             /* angles and radii about the catheter */
    const bl_mark *marks;   /* in position order */
    size_t mark_count;
    bl_span references[2]; /* from notes or options, in position order */
    size_t reference_count;
    bl_shape shape;
    char separator;  /* ',' ';' '\t' ' ' or '|'; 0 before a header */
    uint64_t begins; /* line of its header row or first block; 0: none */
    uint64_t points; /* read in all */
    uint64_t ignored_columns;
    /* Last position - first position of contours of any kind, without those of
     * fewer than 3 points that lie over 5 mm outside all others; NaN when
     * unknown. */
    double length_mm;
    size_t outside; /* such contours */
} bl_pullback;

/* The vein at a position, as far as the marks iliocaval_confluence,
 * internal_iliac_confluence, inguinal_ligament and femoral_confluence tell:
 * known only between two neighbouring marks of that list, before the first
 * mark or after the last of the list. */
BL_API bl_vein bl_pullback_vein_at(const bl_pullback *pullback,
                                   double position_mm);

/* One contour of the table and what was measured of it. */
typedef struct bl_row {
    int64_t frame;      /* 0 .. 999,999,999 */
    double time_s;      /* NaN when the table has none */
    double position_mm; /* along the pullback; NaN behind a fault */
    bl_kind kind;
    uint32_t points; /* distinct, closing repeat not counted */
    bl_measures measures;
} bl_row;

/* A study reads one table, measures every contour and gives positions. */
typedef struct bl_study bl_study;

typedef struct bl_study_options {
    uint32_t columns;      /* BL_BIT(...) of the measures wanted */
    bool keep_contours;    /* keep every point, for bl_study_contour */
    bool go_on;            /* make faults findings where reading can go on */
    size_t repeats;        /* findings of one fault that are listed; 0: 10 */
    uint64_t memory_limit; /* bytes for contours as kept; 0: 2 GiB */
    bool appose; /* hold devices against the vein, for bl_study_appositions;
                    points are kept until the end of the table for it */
    double tolerance_mm; /* a gap up to this is none; 0: BL_TOLERANCE_MM */
} bl_study_options;

/* How far a device may lie off the vein and count as apposed, unless said
 * otherwise: this project's own. */
#define BL_TOLERANCE_MM 0.3

/* BL_ERR_ARGUMENT for a tolerance that is below 0 or not finite;
 * BL_ERR_MEMORY. */
BL_API bl_status bl_study_new(const bl_study_options *options, bl_study **out);
BL_API void bl_study_free(bl_study *study);

/* Sets a note from outside; it then overrides the table's own. key and value
 * are in the grammar of the notes (docs/formats.md), e.g.
 * ("speed_mm_per_s", "1.0"), ("mark", "inguinal_ligament @ 143.5").
 * Before the first feed. `reference`, `at` and `mark` may be set repeatedly.
 * BL_ERR_ARGUMENT for an unknown key, a bad value or a study that was fed,
 * BL_ERR_LIMIT, BL_ERR_MEMORY. */
BL_API bl_status bl_study_set(bl_study *study, const char *key,
                              const char *value);

/* Takes the next bytes of the table, any number at a time. BL_ERR_INPUT,
 * BL_ERR_LIMIT, BL_ERR_MEMORY; BL_ERR_ARGUMENT after a bl_study_finish that
 * went well.
 * An error of feed or finish stops the study: both then return it again and
 * take nothing. What was read before it is there to be told of
 * (bl_check_study): message and findings; rows, measured but for BL_ERR_MEMORY,
 * whose positions and order are not those of a pullback; of the pullback
 * labels, units, shape and counts. */
BL_API bl_status bl_study_feed(bl_study *study, const char *bytes, size_t size);

/* Ends the table: positions are known and rows sorted from here on. Once.
 * After an error as bl_study_feed. BL_ERR_INPUT, BL_ERR_LIMIT, BL_ERR_MEMORY;
 * BL_ERR_ARGUMENT where it went well before. */
BL_API bl_status bl_study_finish(bl_study *study);

/* The error of the last call that failed, bl_study_read too; one that returns
 * the error before again leaves its words. */
BL_API const bl_message *bl_study_message(const bl_study *study);

/* Something met in a table that did not stop its reading. */
typedef struct bl_finding {
    bl_message message; /* status BL_OK is a warning, else a fault */
    int64_t frame;      /* -1: of no frame */
    uint64_t more;      /* so many more of the same fault are not listed */
    bool doubts_scale;  /* sizes are such as no deep vein has, or change all at
                           once: the scale may be another, or change */
} bl_finding;

/* Warnings (an unknown note, an ignored column) and, in a study that goes on
 * behind faults, these: in the order met, at most `repeats` of the same, which
 * are the same that differ only in numbers and in what they quote. */
BL_API size_t bl_study_finding_count(const bl_study *study);
BL_API const bl_finding *bl_study_findings(const bl_study *study);

/* Faults in all, listed or not; 0 unless the study goes on behind them. With
 * any, nothing is to be assessed: rows lack what was passed over, and positions
 * are unknown where the fault is in what they come from, measures where pixels
 * have no scale. */
BL_API uint64_t bl_study_fault_count(const bl_study *study);

/* Rows by position, then frame, then kind. Valid after bl_study_finish. */
BL_API size_t bl_study_row_count(const bl_study *study);
BL_API const bl_row *bl_study_rows(const bl_study *study);
BL_API const bl_pullback *bl_study_pullback(const bl_study *study);

/* The line of the table where row `index` begins; 0 past the last row. */
BL_API uint64_t bl_study_line(const bl_study *study, size_t index);

/* Reads a stretch of the pullback as a reference is written, "A..B" in mm or
 * "frame A..frame B" of frames in the table. After bl_study_finish.
 * BL_ERR_ARGUMENT for anything else; BL_ERR_INPUT for other frames. */
BL_API bl_status bl_study_stretch(const bl_study *study, const char *words,
                                  bl_span *out, bl_message *message);

/* The points of row `index`; count 0 unless keep_contours was set and their
 * scale is known. */
BL_API bl_contour bl_study_contour(const bl_study *study, size_t index);

/* Stands for a row that is not there. */
#define BL_NO_ROW SIZE_MAX

/* A frame's device contour against its vein: of every frame that has a device
 * contour and one of lumen or vessel. Exact for the contours as traced, not
 * from point to point; directions are seen from the device's centre of
 * gravity, 0 <= deg < 360 counter-clockwise from +x, y up.
 *
 * The device is held against the vessel contour; where there is none that can
 * be measured, against the lumen, if this reaches beyond the device somewhere
 * or lies within the tolerance of it all round (a lumen that lies wholly
 * further inside is tissue in the device, and says nothing of the wall behind).
 * Where it is held against neither, gap, arcs and outside are unknown, as is
 * all that needs a contour that is missing or left out for its flags. */
typedef struct bl_apposition {
    int64_t frame;
    double position_mm;
    size_t device; /* rows of bl_study_rows; BL_NO_ROW: no such contour */
    size_t lumen;
    size_t vessel;
    double device_mm2; /* areas of the contours */
    double lumen_mm2;
    double vessel_mm2;

    bool is_held;  /* against `outer`, which without it means nothing */
    bl_kind outer; /* BL_KIND_VESSEL or BL_KIND_LUMEN */

    /* Greatest distance to the outer contour of a point of the device that lies
     * within it, and the direction of that point, unknown where there is none:
     * then the gap is 0. */
    double gap_mm;
    double gap_deg;
    /* Directions in which a point of the device has a gap above the tolerance:
     * together, and their widest stretch, counter-clockwise from
     * widest_from_deg, which is unknown where the arcs are 0. */
    double arc_deg;
    double widest_arc_deg;
    double widest_from_deg;
    double between_mm2; /* area between device and outer contour there */
    /* Greatest distance from the outer contour of a point of the device that
     * lies beyond it, with its direction, as for the gap; and the area of the
     * device beyond. Beyond the vessel it is a fault of the tracing, beyond the
     * lumen tissue within the device. */
    double outside_mm;
    double outside_deg;
    double outside_mm2;

    double lumen_inside_mm2; /* lumen within the device */
    double tissue_mm2;       /* of the device what is not lumen */
    /* Greatest distance from the vessel contour of a point of the lumen that
     * lies beyond it, 0 where none does: a fault of the tracing. */
    double lumen_outside_mm;
} bl_apposition;

/* In order of position, then frame; none unless `appose` was set and a scale is
 * known. After a bl_study_finish that went well. */
BL_API size_t bl_study_apposition_count(const bl_study *study);
BL_API const bl_apposition *bl_study_appositions(const bl_study *study);

/* The tolerance that they were computed with, mm. */
BL_API double bl_study_tolerance_mm(const bl_study *study);

/* -------------------------------------------------------------- assessment */

typedef enum bl_rule {
    BL_RULE_TAPER,   /* equivalent diameter linear between the middles */
    BL_RULE_MEAN,    /* mean of the two areas */
    BL_RULE_CRANIAL, /* the cranial one */
    BL_RULE_CAUDAL,  /* the caudal one */
    BL_RULE_LARGEST  /* the larger one */
} bl_rule;

#define BL_RULE_COUNT 5

/* "taper", "mean", "cranial", "caudal", "largest"; NULL past the last. */
BL_API const char *bl_rule_name(unsigned rule);

typedef enum bl_reference_choice {
    BL_REFERENCE_DEFAULT,  /* the table's or options' spans, else find */
    BL_REFERENCE_FIND,     /* search for healthy vein */
    BL_REFERENCE_NONE,     /* no reference: nothing is called narrowed */
    BL_REFERENCE_EXPECTED, /* the area expected of each vein, by marks */
} bl_reference_choice;

/* What the reference is. */
typedef enum bl_reference_from {
    BL_FROM_NOTHING,  /* there is none */
    BL_FROM_GIVEN,    /* stretches by notes or options */
    BL_FROM_FOUND,    /* stretches found by search */
    BL_FROM_EXPECTED, /* areas expected of the veins, without a stretch */
} bl_reference_from;

/* "none", "given", "found", "expected". */
BL_API const char *bl_reference_from_name(bl_reference_from from);

typedef struct bl_assess_options {
    double threshold_pct; /* area stenosis that makes a narrowing, (0, 100) */
    double shoulder_pct;  /* where its shoulders end, [0, threshold) */
    double smooth_mm;     /* running median along the vessel, 0 .. 50; 0 off */
    bl_rule rule;
    bl_reference_choice reference;
    bool accept_gaps; /* go on with more than 20 % of frames left out */
    bool steady;      /* take breathing ripple off the profile, where found */
    bool explain;     /* list the candidates of a search */
    bool flow;        /* report the flow index too */
    const bl_normals *expected; /* NULL: the published; else it must outlive
                                   the assessment */
    /* Errors that the 95 % intervals contain, coefficients of variation. */
    double area_cv_pct;  /* of a single contour's area, 0 .. 50; NaN: 5, or the
                            scatter from frame to frame where that is more */
    double speed_cv_pct; /* of the pullback's speed, 0 .. 50; NaN: 10 where
                            positions come from a speed or step, else 0 */
    uint64_t seed;       /* of the resampling: the same gives the same */
    double inflow_mm; /* give figures of so much vein at the caudal end, as of
                         an inflow, 5 .. 500; 0: none */
} bl_assess_options;

/* Threshold 50 %, shoulder 20 %, smoothing 1 mm, taper, default reference,
 * published normals, errors NaN, seed 1, no inflow. */
BL_API bl_assess_options bl_assess_defaults(void);

/* One stretch of healthy vein. The area is the length-weighted mean of
 * its usable frames as traced, perimeter and flatness that of the smoothed
 * profile. */
typedef struct bl_segment {
    bl_span span;
    size_t frames;
    double area_mm2;
    double equivalent_diameter_mm;
    double perimeter_mm;
    double flatness;    /* min diameter / perimeter diameter, mean */
    double area_cv_pct; /* coefficient of variation of its areas */
    bl_end where;
    bool serves_worst;      /* its calibre counts at the worst place */
    bl_vein vein;           /* that its middle lies in */
    double normal_area_mm2; /* expected of that vein; NaN unknown */
    double share_of_normal_pct;
} bl_segment;

/* How well a stretch would serve as reference; each from 0 to 1, the total a
 * weighted sum of the others (docs/definitions.md). NaN where it cannot. */
typedef struct bl_score {
    double calibre;    /* 1 at the upper envelope of its part */
    double steadiness; /* 1 of one calibre */
    double roundness;
    double length;
    double nearness; /* to the worst narrowing of its part, or to the end */
    double total;
} bl_score;

/* What a search for healthy vein made of a stretch. */
typedef enum bl_verdict {
    BL_VERDICT_CHOSEN,
    BL_VERDICT_RUNNER_UP, /* the next best on its side */
    BL_VERDICT_LOWER,     /* it could serve, and scores less */
    BL_VERDICT_NARROWED,  /* in a narrowing, or narrower than shoulders end */
    BL_VERDICT_SHOULDER,  /* beside one, where its flank may go on */
    BL_VERDICT_FLANK,     /* wider vein lies beside it: where a loss begins */
    BL_VERDICT_FLATTENED,
    BL_VERDICT_FLAGGED,  /* frames flagged, or beside one left out */
    BL_VERDICT_SHORT,    /* less than 10 mm between others and gaps */
    BL_VERDICT_UNSTEADY, /* no 10 mm of steady calibre */
    BL_VERDICT_SMALL     /* less than 60 % of the normal area of the vein */
} bl_verdict;

/* "chosen", "runner-up", "lower score", "narrowed", "beside a narrowing",
 * "beside wider vein", "flattened", "flagged", "too short", "unsteady", "too
 * small". */
BL_API const char *bl_verdict_name(bl_verdict verdict);

/* A stretch that a search looked at. */
typedef struct bl_candidate {
    size_t part;       /* of the line, in position order from 0 */
    bl_span part_span; /* what is traced of it */
    bl_verdict verdict;
    bl_score score;
    bl_segment segment; /* `where` by its side; serves_worst is false */
    double spread_pct;  /* coefficient of variation of the diameter */
    double away_mm;     /* from where nearness counts; NaN where rejected */
} bl_candidate;

/* What speaks against the contour that a place is of. */
typedef struct bl_doubt {
    uint32_t points_few;    /* its points where contours beside it have more */
    uint32_t points_beside; /* than twice as many; both 0 where they have not */
    bool jump;              /* its area is unlike that of frames around it */
    bool tracing;           /* its points: a finding of the study says why */
    size_t left_out;        /* frames directly beside it that were left out */
} bl_doubt;

/* A place on the profile, with its stenoses. */
typedef struct bl_place {
    int64_t frame; /* the frame at or nearest to it */
    size_t row;    /* its index among bl_study_rows */
    double position_mm;
    double area_mm2;
    double equivalent_diameter_mm;
    double min_diameter_mm;
    double max_diameter_mm;
    double reference_area_mm2;        /* NaN, as the stenoses, without one */
    double area_stenosis_pct;         /* of areas */
    double diameter_stenosis_pct;     /* of equivalent diameters */
    double min_diameter_stenosis_pct; /* min against reference equivalent */
    bl_vein vein;
    double normal_area_mm2;     /* expected of that vein; NaN unknown */
    double share_of_normal_pct; /* area / normal area */
    bl_doubt doubt;
} bl_place;

typedef enum bl_pattern {
    BL_PATTERN_FLATTENED, /* flattening share >= 0.6 */
    BL_PATTERN_MIXED,
    BL_PATTERN_ROUND /* flattening share <= 0.3 */
} bl_pattern;

/* "flattened", "mixed", "round". */
BL_API const char *bl_pattern_name(bl_pattern pattern);

/* A 95 % interval, by resampling; NaN where unknown. */
typedef struct bl_interval {
    double low;
    double high; /* >= low */
} bl_interval;

typedef struct bl_narrowing {
    bl_span span;        /* where area stenosis reaches the threshold */
    bl_span shoulders;   /* outward to the shoulder level */
    bool open_from;      /* the shoulder ran into a gap, the first frame or a
                            vein without a reference */
    bool open_to;        /* the same of the last frame */
    bool span_open_from; /* not only the shoulder: the narrowing itself did */
    bool span_open_to;
    size_t left_out;     /* frames between its shoulders that were left out */
    bl_place worst;      /* greatest area stenosis in it */
    double min_area_mm2; /* least area in it */
    double flattening_share; /* 0 .. 1, at the worst place */
    bl_pattern pattern;
    /* Unknown from the 33rd narrowing on. Lengths are those of what was traced:
     * open ends stay open. */
    bl_interval length_interval_mm;
    bl_interval shoulders_interval_mm; /* of the length between shoulders */
    bl_interval min_area_interval_mm2;
    bl_interval area_stenosis_interval_pct;
    double area_stenosis_corrected_pct; /* of `worst`: see bl_intervals */
} bl_narrowing;

typedef struct bl_compression {
    bl_span span;   /* the flattened stretch it lies in */
    bl_place place; /* least minimum diameter of that stretch */
    double aspect_ratio;
    double perimeter_kept_pct; /* perimeter / reference perimeter */
    double long_axis_deg;
    const bl_mark *nearest_mark; /* NULL without marks */
} bl_compression;

/* What was traced of one vein, where marks tell it and a frame lies in it. */
typedef struct bl_vein_row {
    bl_vein vein;
    bl_span span;     /* from mark to mark, as far as there are frames */
    double traced_mm; /* of it, without gaps */
    size_t frames;    /* usable, at least 1 */
    bl_place minimum; /* least smoothed area */
    bool has_reference;
    bl_place worst;     /* greatest area stenosis; without reference minimum */
    double narrowed_mm; /* of narrowings, what lies in it; NaN without one */
    size_t compression_count; /* points in it; 0 without a reference */
} bl_vein_row;

/* A traced stretch of which marks do not tell the vein, while some mark does
 * tell of veins. */
typedef struct bl_untold {
    bl_span span;
    const char *why; /* "marks do not tell the ... from the ..., since ..." */
} bl_untold;

/* Where the reference steps from one part of the line to the next. */
typedef struct bl_step {
    double position_mm;
    double before_area_mm2; /* towards lower positions; NaN: no reference */
    double after_area_mm2;
} bl_step;

/* One usable lumen frame of the profile, in position order. */
typedef struct bl_profile_point {
    size_t row;     /* index among bl_study_rows */
    bool after_gap; /* more than 5 mm from the point before, or the first */
    double position_mm;
    double ripple; /* of breathing, as a share of the diameter without it; 0
                      where none is found. Diameters and perimeter as traced
                      are 1 + ripple times, the area (1 + ripple)^2 times what
                      they are without it */
    double raw_area_mm2; /* as traced, or, in a steady profile, that without
                            ripple; the rest is smoothed */
    double area_mm2;
    double equivalent_diameter_mm;
    double perimeter_mm;
    double min_diameter_mm; /* NaN where unknown */
    double max_diameter_mm;
    double reference_area_mm2; /* NaN without a reference */
    double normal_area_mm2;    /* expected of its vein; NaN unknown */
} bl_profile_point;

/* The figures that breathing touches, with the same reference stretches. */
typedef struct bl_key_figures {
    bl_place minimum;
    bl_place worst; /* the minimum where there is no reference */
    const double *segment_area_mm2; /* of each segment */
    size_t narrowing_count;         /* 0 without a reference */
} bl_key_figures;

/* Breathing ripple: unknown and without stretches unless found. */
typedef struct bl_ripple {
    bool found;           /* peak to trough 10 % of the diameter or more */
    bool removed;         /* found, and the profile is without it */
    double wavelength_mm; /* mean; a speed schedule has several */
    double period_s;      /* NaN when the time of frames is unknown */
    double peak_to_trough_mm;
    double share_of_diameter_pct; /* peak to trough, median over stretches */
    const bl_span *stretches;     /* where it is present, in position order */
    size_t stretch_count;
    bl_key_figures with; /* set when found */
    bl_key_figures without;
} bl_ripple;

typedef enum bl_error_from {
    BL_ERROR_ASSUMED,  /* the default */
    BL_ERROR_GIVEN,    /* by the options */
    BL_ERROR_MEASURED, /* the scatter from frame to frame, above the default */
} bl_error_from;

/* "assumed", "given", "measured". */
BL_API const char *bl_error_from_name(bl_error_from from);

/* 95 % intervals (basic bootstrap). They contain the error of single contours,
 * the spread within the reference's stretches, what a found reference may miss
 * by between and beyond them, breathing, and the error of speed (in lengths).
 * They are for vein in the middle of a breath, and corrected for the least of
 * many frames reading low. They do not contain whether a reference that was
 * given or found is healthy, what else neighbouring frames share, obliquity or
 * scale.
 * A number that was found can lie outside its interval, since it reads low;
 * ends of stenoses can be negative. Unknown, and resamples 0, where the
 * smoothing is over 5 mm. */
typedef struct bl_intervals {
    size_t resamples;
    bl_error_from area_cv_from; /* what options.area_cv_pct is */
    bl_error_from speed_cv_from;
    double scatter_cv_pct; /* of areas from frame to frame, as measured; NaN
                              with too few frames to tell */
    bl_interval minimum_area_mm2;
    double minimum_reads_low_pct;          /* by that much, in the middle */
    bl_interval minimum_area_stenosis_pct; /* of `minimum`; as the next unknown
                                              without a reference there */
    bl_interval worst_area_stenosis_pct;   /* of `worst` */
    double worst_corrected_pct; /* area stenosis of `worst` corrected for what
                                   the least of many frames reads low, for what
                                   the median fills, for the likely ripple and
                                   in the middle of what a found reference may
                                   miss; NaN without one */
    bl_interval worst_position_mm; /* where `worst` may lie, with where it was
                                      found; not by errors of speed */
    double
        likely_ripple_pct;    /* breathing ripple that is in them, peak to
                                 trough      of the diameter: one that was found,
                                 or    a      weaker one; NaN: none is likely */
    double unseen_ripple_pct; /* then, the most that one may swing unseen */
    /* Outside the shoulders of every narrowing; NaN where nothing is. */
    double next_position_mm;
    double next_area_stenosis_pct;
    bl_interval next_area_stenosis_interval_pct;
} bl_intervals;

/* What candidate inflow veins are held against each other by. */
typedef enum bl_inflow_measure {
    BL_INFLOW_MIN_AREA,  /* least smoothed area, mm2: more is better */
    BL_INFLOW_MEAN_AREA, /* by length, mm2: more is better */
    BL_INFLOW_NARROWED,  /* length of narrowings, mm: less is better */
    BL_INFLOW_FLOW       /* flow index: less is better */
} bl_inflow_measure;

#define BL_INFLOW_MEASURES 4

/* "least area", "mean area", "narrowed length", "flow index"; NULL past the
 * last. */
BL_API const char *bl_inflow_measure_name(unsigned measure);

typedef struct bl_inflow_figure {
    double value;         /* NaN where unknown, as its interval */
    bl_interval interval; /* as bl_intervals; of a flow index with the shape as
                             it was traced */
    const char *why_not;  /* why the value is unknown, a phrase; else NULL */
} bl_inflow_figure;

/* The caudal end of what was traced, as an inflow. */
typedef struct bl_inflow_stretch {
    bl_span span;    /* NaN: not asked for; the rest is then of no meaning */
    bool is_shorter; /* than asked for: no more was traced */
    size_t frames;   /* usable */
    size_t left_out; /* frames in it or caudal of it that were left out */
    bl_place minimum;
    bl_inflow_figure figures[BL_INFLOW_MEASURES];
} bl_inflow_stretch;

/* The same under the next best stretches of a search: on every side of a part
 * that has one, instead of the chosen; on the others the chosen. The rule is
 * that of the assessment. */
typedef struct bl_runner_up {
    const bl_segment *segments; /* in position order */
    size_t segment_count;
    bl_place worst;
    double minimum_area_stenosis_pct; /* at the assessment's minimum */
    const bl_narrowing *narrowings;
    size_t narrowing_count;
    double narrowed_mm; /* their length in all */
    const bl_compression *compressions;
    size_t compression_count;
} bl_runner_up;

typedef struct bl_assessment {
    /* As used: NaN of what was left open is replaced. */
    bl_assess_options options;

    size_t frames;          /* lumen frames in the table */
    size_t frames_used;     /* those that could be measured */
    const size_t *left_out; /* rows not used, left_out_count of them */
    size_t left_out_count;

    bl_reference_from reference_from;
    const bl_segment *segments; /* in position order */
    size_t segment_count;       /* 0 unless it was given or found */
    const char *reference_why;  /* a sentence */
    /* Of a search, with the option to explain: part by part, of each at most 8
     * stretches that can serve, best first on either side, then at most 8 that
     * cannot, in position order. The rest is counted. */
    const bl_candidate *candidates;
    size_t candidate_count;
    size_t more_candidates; /* that do not overlap those listed */
    size_t more_rejected;
    const bl_step *steps; /* within what was traced, in position order */
    size_t step_count;

    bl_place minimum;      /* least smoothed area */
    bl_place worst;        /* greatest area stenosis, smoothed; the minimum
                              where there is no reference */
    bl_place lowest_frame; /* least area of a single frame, as traced */
    /* Greatest area stenosis, that at minimum and the narrowings' length in
     * all; NaN without segments. */
    double worst_by_rule_pct[BL_RULE_COUNT];
    double minimum_by_rule_pct[BL_RULE_COUNT];
    double narrowed_by_rule_mm[BL_RULE_COUNT];
    size_t narrowings_by_rule[BL_RULE_COUNT];
    const bl_runner_up *runner_up; /* NULL unless a search found one */
    /* Under one of these references there is a narrowing, under another none.
     */
    bool call_depends;

    bl_intervals intervals;
    bl_inflow_stretch inflow; /* where options.inflow_mm asks for it */

    const bl_narrowing *narrowings; /* in position order */
    size_t narrowing_count;
    const bl_compression *compressions; /* in position order */
    size_t compression_count;
    const bl_vein_row *veins; /* in position order */
    size_t vein_count;        /* 0 where marks tell none */
    const bl_untold *untold;  /* in position order */
    size_t untold_count;
    const bl_span *gaps; /* stretches over 5 mm without a usable frame */
    size_t gap_count;
    const bl_profile_point *profile;
    size_t profile_count;

    double volume_mm3; /* trapezoid over the traced stretches; in a steady
                          profile without ripple */
    double traced_mm;  /* their length */
    /* That of what was held against a reference: each frame stands for half the
     * way to its neighbours. Elsewhere nothing is called narrowed. */
    double judged_mm;
    bl_ripple ripple;

    const char *const *warnings;
    size_t warning_count;
    /* The first of them that are findings of the study, in words (at most 12,
     * and one that counts the rest), and the last that are about frames and
     * gaps, which a check lists one by one. */
    size_t reading_warning_count;
    size_t frame_warning_count;
} bl_assessment;

/* Assesses the lumen contours of a finished study, which must have been made
 * with BL_COLUMNS_ASSESS and must outlive the result.
 * BL_ERR_INPUT: too few usable frames, all at one position, or too many left
 * out;
 * BL_ERR_REFERENCE: no healthy vein found, a given stretch has none, or no
 * mark tells a vein of which an area is expected;
 * BL_ERR_ARGUMENT: an option out of range; BL_ERR_MEMORY. */
#define BL_COLUMNS_ASSESS                                                      \
    (BL_BIT(BL_COL_AREA_MM2) | BL_BIT(BL_COL_PERIMETER_MM) |                   \
     BL_BIT(BL_COL_MIN_DIAMETER_MM) | BL_BIT(BL_COL_MAX_DIAMETER_MM) |         \
     BL_BIT(BL_COL_LONG_AXIS_DEG))
BL_API bl_status bl_assess(const bl_study *study,
                           const bl_assess_options *options,
                           bl_assessment **out, bl_message *message);
BL_API void bl_assessment_free(bl_assessment *assessment);

/* Laminar resistance of a stretch, as a multiple of that of its reference: a
 * teaching aid, never a pressure gradient. */
typedef struct bl_flow {
    bl_span span;
    double index;
    double area_index;   /* the same were every cross-section round: what loss
                            of area alone makes of it */
    const char *why_not; /* why the index is not known, a phrase; else NULL */
} bl_flow;

/* The flow index of a stretch of an assessment's smoothed profile: the
 * integral of (r + 1/r) / 2 / area^2, r the aspect ratio, over the integral of
 * 1 / (reference area)^2; the cross-section counts as an ellipse of its area
 * and aspect ratio, the reference as a circle (White, Viscous Fluid Flow; Shah
 * and London 1978; docs/definitions.md). Both numbers are NaN across a gap,
 * where a part has no reference or was not traced, and for a stretch without
 * length; the index alone where a diameter in it is unknown. */
BL_API bl_flow bl_assessment_flow(const bl_assessment *of, bl_span span);

/* What it is, is not and leaves out: it stands wherever an index does. No
 * newline. */
BL_API const char *bl_flow_note(void);

/* -------------------------------------------------------------------- plan */

/* Sizes that a device can have, mm: past these a number is another unit or a
 * slip (common practice, no source). */
#define BL_DEVICE_DIAMETER_LEAST_MM 4.0
#define BL_DEVICE_DIAMETER_MOST_MM 40.0
#define BL_DEVICE_LENGTH_LEAST_MM 10.0
#define BL_DEVICE_LENGTH_MOST_MM 300.0

/* Devices of a chain that is to be checked. */
#define BL_WISHES_MOST 16

/* What is on the shelf. */
typedef struct bl_stock bl_stock;

typedef struct bl_stock_device {
    const char *label;         /* never "", no two alike */
    double diameter_mm;        /* nominal, 4 .. 40 */
    double length_mm;          /* nominal, 10 .. 300 */
    double foreshortening_pct; /* of the length, at nominal diameter, 0 .. 50;
                                  0 where the table does not say */
    bool counted;              /* the table says how many there are */
    uint32_t count;            /* that many; 0 of them is none */
    uint64_t line;             /* of its row */
} bl_stock_device;

/* Reads a stock list, CSV with the columns label, diameter_mm, length_mm and,
 * if wanted, foreshortening_pct and count (docs/formats.md); name is what it
 * is called by. BL_ERR_INPUT, BL_ERR_LIMIT, BL_ERR_MEMORY. */
BL_API bl_status bl_stock_from_text(const char *bytes, size_t size,
                                    const char *name, bl_stock **out,
                                    bl_message *message);
BL_API void bl_stock_free(bl_stock *stock);

/* In the order of the table. */
BL_API size_t bl_stock_device_count(const bl_stock *stock);
BL_API const bl_stock_device *bl_stock_devices(const bl_stock *stock);
BL_API const char *bl_stock_name(const bl_stock *stock);

/* What a device's diameter is held against. */
typedef enum bl_size_by {
    BL_SIZE_BY_AREA,     /* the reference's equivalent diameter */
    BL_SIZE_BY_PERIMETER /* its perimeter / pi */
} bl_size_by;

/* "area", "perimeter". */
BL_API const char *bl_size_by_name(bl_size_by by);

/* A device that a user wants to see checked: its cranial end lies at from_mm
 * where the catheter travels caudally, its caudal end otherwise. */
typedef struct bl_device_wish {
    double diameter_mm;
    double length_mm; /* nominal */
    double from_mm;   /* its end at the lower position */
} bl_device_wish;

typedef struct bl_plan_options {
    double landing_mm; /* least length of healthy vein to land in, 0 .. 100 */
    double overlap_mm; /* least overlap of neighbours, 0 .. 100 */
    double margin_mm;  /* how far an end lies in healthy vein, 0 .. 50 */
    double join_mm;    /* narrowings with less than that of other vein between
                          their shoulders are treated together, 0 .. 300 */
    double step_mm;    /* most difference of neighbours' diameters, where the
                          stock allows, 0 .. 20 */
    bl_size_by size_by;
    double oversize_limit_pct; /* of the diameter, 0 .. 100; NaN: none */
    bool treat_given;          /* treat `treat` and not the narrowings */
    bl_span treat;
    const bl_stock *stock;        /* NULL: none; must outlive the plan */
    const bl_device_wish *wishes; /* a chain to be checked beside the plan */
    size_t wish_count;            /* BL_WISHES_MOST at most */
} bl_plan_options;

/* Landing 10 mm, overlap 15 mm, margin 5 mm, join 30 mm, step 2 mm, by area, no
 * limit, the narrowings, no stock, no wishes. */
BL_API bl_plan_options bl_plan_defaults(void);

/* What healthy vein ends at. */
typedef enum bl_border {
    BL_BORDER_PULLBACK,    /* the first or last frame */
    BL_BORDER_GAP,         /* over 5 mm without a frame */
    BL_BORDER_LEFT_OUT,    /* a frame that could not be measured */
    BL_BORDER_SHOULDER,    /* vein narrower than the shoulder level */
    BL_BORDER_COMPRESSION, /* a compression point */
    BL_BORDER_REFERENCE,   /* vein that no reference is known of */
    BL_BORDER_CONFLUENCE   /* the mark of the iliocaval or femoral one */
} bl_border;

/* "end of the pullback", "gap", ... */
BL_API const char *bl_border_name(bl_border border);

/* Where a chain of devices ends. */
typedef struct bl_landing {
    bl_end where;
    double position_mm;     /* where the device is wanted to end */
    bool healthy;           /* in healthy vein of at least landing_mm */
    bool open;              /* the treated stretch ran into the end of what is
                               known: position_mm is there, the true one unknown */
    bl_span healthy_vein;   /* that it lies in, or the nearest; NaN: none */
    bl_border ends_at;      /* its end away from the treated stretch */
    const bl_mark *crosses; /* the confluence that devices reach over there:
                               cranially iliocaval, caudally femoral; NULL */
    const bl_mark *near;    /* inguinal ligament within 10 mm of the devices'
                               end or of the landing point; NULL */
    const bl_mark *beyond;  /* the mark that all of what is covered lies beyond
                               at this end: cranially iliocaval, caudally
                               femoral, else the inguinal ligament; NULL */
    double equivalent_diameter_mm;    /* of the vein there; NaN: no frame */
    double aspect_ratio;              /* NaN unknown */
    double reference_diameter_mm;     /* equivalent; NaN unknown */
    bl_interval position_interval_mm; /* by the error of speed; NaN: none, or
                                         open */
} bl_landing;

/* One device, in place. */
typedef struct bl_device {
    const bl_stock_device *of; /* NULL: not of the stock (a wish) */
    double diameter_mm;        /* nominal; its balloon's too */
    double length_mm;          /* nominal */
    bl_span span;              /* covered, shortened as the stock says */
    /* Means over the span; NaN where no reference is known. */
    double reference_diameter_mm; /* what it is sized by */
    double area_diameter_mm;      /* equivalent */
    double perimeter_diameter_mm; /* perimeter / pi */
    double oversize_mm;           /* diameter - reference_diameter_mm */
    double oversize_pct;
    double oversize_area_pct; /* of diameter against area_diameter_mm */
    double oversize_perimeter_pct;
    double oversize_cranial_mm; /* at its ends, as sized by; below 0 the vein
                                   is wider than the device */
    double oversize_caudal_mm;
    double unjudged_mm; /* of the span: traced and without a reference, which
                           the means leave aside; all of it where none of it
                           has one */
} bl_device;

/* Devices from one landing point to the other. */
typedef struct bl_chain {
    const bl_device *devices;  /* in position order */
    size_t device_count;       /* 0: nothing fits, or there is no stock */
    const double *overlaps_mm; /* device_count - 1; below 0 a wish's gap */
    double beyond_mm;          /* covered past the landing points, in all */
} bl_chain;

/* Vein treated in one go. */
typedef struct bl_stretch {
    bl_span treat;                 /* from shoulder to shoulder */
    size_t first_narrowing;        /* of the assessment */
    size_t narrowing_count;        /* 0 where a given stretch holds none */
    double healthy_between_mm;     /* healthy vein within treat, covered too */
    bl_landing landings[2];        /* in position order */
    double cover_mm;               /* from one to the other */
    bl_interval cover_interval_mm; /* by the error of speed; NaN: none */
    double wanted_diameter_mm;     /* reference over all of it, as sized by */
    bl_chain chain;
    const char *missing; /* which size the stock lacks; NULL: it lacks none */
    bool stopped;        /* missing says that the search was */
} bl_stretch;

/* Other devices for the whole plan, that lost. */
typedef struct bl_alternative {
    const bl_chain *chains; /* one a stretch, in position order; the stretches
                               may differ from those of the plan */
    size_t chain_count;
    size_t device_count; /* in all */
    double beyond_mm;
    double misfit_mm;    /* sum of oversizes */
    const char *why_not; /* a phrase: "one device more; fits better" */
    /* What the rules say of it, sentences as among the plan's warnings. */
    const char *const *findings;
    size_t finding_count; /* 0: it keeps the rules */
} bl_alternative;

/* What the plan would be if the pullback were really shorter or longer. */
typedef struct bl_plan_change {
    double factor;       /* of all lengths: an end of the 95 % interval */
    size_t device_count; /* 0: nothing fits */
    const bl_chain *chains;
    size_t chain_count;
    const char *what; /* a sentence */
} bl_plan_change;

/* A device that lies in the vein already: device contours at most 5 mm apart,
 * or 1.5 times the median distance of neighbouring ones, whichever is more. */
typedef struct bl_earlier {
    bl_span span;
    size_t contours;
    double covered_mm; /* of it, by the plan's devices or, without any, by what
                          is to be covered */
    bool landed_in;    /* a landing point lies in it */
} bl_earlier;

typedef struct bl_plan {
    bl_plan_options options;
    bl_size_by sized_by; /* by area where the reference has no perimeter,
                            whatever the options say */
    const bl_stretch *stretches; /* in position order; none where nothing is
                                    to be treated */
    size_t stretch_count;
    size_t untreated_count;             /* narrowings that no stretch treats */
    const bl_alternative *alternatives; /* best first, at most 4 */
    size_t alternative_count;
    /* What of it is not certain, a phrase each: "the diameters, since the
     * runner-up reference is up to 1.4 mm wider". */
    const char *const *doubts;
    size_t doubt_count;
    const bl_earlier *earlier; /* in position order */
    size_t earlier_count;
    bl_interval length_factor; /* of the speed's error, 95 %; NaN: none */
    /* Longest the true lengths may be, as a factor, with these devices still
     * reaching from landing to landing; NaN without devices. */
    double enough_up_to_factor;
    const bl_plan_change *changes; /* within the interval; none: it stays */
    size_t change_count;
    /* The user's chain, what the rules say of it, and what of it they cannot
     * judge since no reference is known. It keeps the rules where there is
     * neither; with the second alone that is not known. */
    bl_chain wish;
    const char *const *wish_findings;
    size_t wish_finding_count;
    const char *const *wish_unjudged; /* "the width of ...: why" */
    size_t wish_unjudged_count;
    size_t wish_stretch_count; /* treated apart from each other by it: what its
                                  devices do not join */
    bool exact;                /* false: the search was stopped at its limit */
    const char *const *warnings;
    size_t warning_count;
} bl_plan;

/* Plans what fits if the operator decides to treat. The study is that of the
 * assessment; both must outlive the plan.
 * BL_ERR_REFERENCE: the assessment has none; BL_ERR_ARGUMENT: an option out of
 * range, or a stretch outside what was traced; BL_ERR_LIMIT: too many wishes;
 * BL_ERR_MEMORY. */
BL_API bl_status bl_plan_new(const bl_study *study,
                             const bl_assessment *assessment,
                             const bl_plan_options *options, bl_plan **out,
                             bl_message *message);
BL_API void bl_plan_free(bl_plan *plan);

/* -------------------------------------------------------------- comparison */

/* How the second table was lined up with the first. */
typedef enum bl_aligned_by {
    BL_ALIGNED_MARKS,   /* marks that both have */
    BL_ALIGNED_SHIFT,   /* by options */
    BL_ALIGNED_PROFILES /* calibre and shape outside the treated stretch */
} bl_aligned_by;

/* "marks", "shift", "profiles". */
BL_API const char *bl_aligned_by_name(bl_aligned_by by);

/* One place in both tables. */
typedef struct bl_knot {
    double after_mm;  /* on the axis of AFTER */
    double before_mm; /* on that of BEFORE */
    const char *mark; /* its name; NULL where it is not of a mark */
} bl_knot;

/* Vein between two neighbouring knots, or all of it, that is longer in one
 * table than in the other. */
typedef struct bl_pace {
    bl_span span; /* on the axis of BEFORE */
    double ratio; /* its length in BEFORE / that in AFTER; 1 alike. Above 1
                     AFTER's catheter really moved faster than its positions
                     say, against BEFORE's */
    bool differs; /* by 5 % and 3 mm or more: one was pulled at another real
                     speed, or a mark stands at another place */
} bl_pace;

/* Positions of AFTER on the axis of BEFORE: straight lines between the knots;
 * beyond the outer ones as far as AFTER says (ratio 1), and with one knot
 * everywhere, but for profiles found to fit with one ratio throughout
 * (`scaled`), where that goes on. */
typedef struct bl_alignment {
    bl_aligned_by by;
    const bl_knot *knots; /* 1 or more, in position order of BEFORE */
    size_t knot_count;
    double shift_mm; /* what is added to AFTER's positions, counted the other
                        way where `turned`, in the middle of the treated
                        stretch */
    bl_interval shift_range_mm; /* the least and the most that is added anywhere
                                   from the first knot to the last */
    bool turned;          /* the catheters travelled in opposite directions */
    bool scaled;          /* paces[0].ratio goes on beyond the knots */
    const bl_pace *paces; /* one between each two knots */
    size_t pace_count;
    bool pace_checked; /* another real speed over the treated stretch would
                          have shown: by marks beside both ends, or profiles
                          that tell the ratio to 5 % (95 %) */
    /* How well the profiles agree outside the treated stretch, as lined up; NaN
     * where fewer than 10 mm can be held against each other. Differences and
     * spread are in percent of the equivalent diameter, each side of the
     * treated stretch about its own mean. */
    double compared_mm;    /* of vein outside it, in both tables */
    double difference_pct; /* root mean square */
    double spread_pct;     /* standard deviation: what there is to be matched */
    /* Those means: equivalent diameter (geometric mean) in AFTER / in BEFORE,
     * of the lower side of the treated stretch on the axis of BEFORE and of the
     * upper; NaN where less than 5 mm is in both. Without a treated stretch
     * the first is of all. */
    double calibre_ratio[2];
    /* Of profiles only, else NaN: where the shift may lie (95 %, the noise
     * taken from the difference) and the next best, 5 mm or more away. */
    bl_interval shift_interval_mm;
    /* Of profiles only, else NaN: where the first and last end of the treated
     * stretch may lie on the axis of BEFORE (95 %), shift and speed open
     * together; NaN too where it is not told within 25 mm. */
    bl_interval end_interval_mm[2];
    double next_shift_mm; /* NaN where there is no other valley */
    double next_difference_pct;
    /* Of a given shift only, else NaN: another within 15 mm, at which the
     * profiles differ by no more than half as much. */
    double better_shift_mm;
    double better_difference_pct;
    const char *how; /* a sentence: by what, and how well */
} bl_alignment;

/* Where AFTER's position is on the axis of BEFORE. */
BL_API double bl_alignment_before_mm(const bl_alignment *of, double after_mm);

/* Nominal sizes of one comparison. */
#define BL_NOMINALS_MOST 16

/* A nominal size, as given. */
typedef struct bl_nominal {
    double diameter_mm; /* 4 .. 40 */
    double length_mm;   /* 10 .. 300; NaN unknown */
} bl_nominal;

typedef struct bl_compare_options {
    double shift_mm; /* added to AFTER's positions; NaN: marks, else profiles */
    bool
        treated_given; /* else the treated stretch is where AFTER has devices */
    bl_span treated;   /* on the axis of BEFORE */
    const bl_nominal *nominals; /* from cranial */
    size_t nominal_count;       /* BL_NOMINALS_MOST at most; 0: unknown */
    double edge_mm;     /* vein beyond each end that is looked at, 1 .. 50 */
    double area_cv_pct; /* of one contour's area, 0 .. 50; NaN: the larger of
                           what the two assessments took */
    uint64_t seed;      /* of the resampling: the same gives the same */
} bl_compare_options;

/* By marks or profiles, where devices are, no sizes, edges of 10 mm, error NaN,
 * seed 1. */
BL_API bl_compare_options bl_compare_defaults(void);

typedef enum bl_treated_from {
    BL_TREATED_NOWHERE, /* no device contours, and none is given */
    BL_TREATED_DEVICE,  /* from the first to the last device contour */
    BL_TREATED_GIVEN    /* by options */
} bl_treated_from;

/* "nowhere", "device", "given". */
BL_API const char *bl_treated_from_name(bl_treated_from from);

/* Where the reference after is from. */
typedef enum bl_after_reference {
    BL_AFTER_REFERENCE_NONE,
    BL_AFTER_REFERENCE_OWN,      /* AFTER's assessment, outside the treated
                                    stretch */
    BL_AFTER_REFERENCE_MEASURED, /* the stretches of BEFORE's reference, as
                                    AFTER measures them */
    BL_AFTER_REFERENCE_EXPECTED  /* areas expected of the veins */
} bl_after_reference;

/* "none", "own", "measured", "expected". */
BL_API const char *bl_after_reference_name(bl_after_reference from);

/* A place in one of the two tables, on the smoothed profile. All NaN, and frame
 * -1, where nothing was traced. */
typedef struct bl_waist {
    int64_t frame;          /* of its own table */
    size_t row;             /* among the rows of its own table */
    double position_mm;     /* on the axis of BEFORE */
    double own_position_mm; /* on that of its own table */
    double area_mm2;
    double equivalent_diameter_mm;
    double min_diameter_mm; /* NaN where unknown */
    double max_diameter_mm;
    /* Areas that it is held against, and what is lacking of each, in percent:
     * (that area - area) / that area. NaN where unknown. */
    double before_reference_mm2;
    double after_reference_mm2;
    double nominal_mm2; /* pi / 4 D^2; where two devices overlap, of the
                           smaller */
    double before_reference_stenosis_pct;
    double after_reference_stenosis_pct;
    double nominal_stenosis_pct;
} bl_waist;

/* Residual area stenosis of the treated stretch by one denominator. */
typedef struct bl_residual {
    double area_stenosis_pct; /* the greatest; NaN unknown */
    double position_mm;       /* where */
    double area_mm2;          /* there */
    double denominator_mm2;   /* there */
} bl_residual;

/* How something changed from the first table to the second. */
typedef struct bl_change {
    double first_mm2; /* NaN unknown */
    double second_mm2;
    double change_mm2;        /* second - first */
    double change_pct;        /* of the first */
    bl_interval interval_mm2; /* 95 %, of the change; NaN: unknown */
    bl_interval interval_pct;
    bool within_error; /* the interval contains no change, or is unknown */
} bl_change;

/* The place of the treated stretch that lost most of its area since the first
 * table: each place of AFTER is held against the least area that BEFORE has
 * within 2 mm of it, or as far as the shift found may be off. All unknown, and
 * frame -1, where no place is in both. */
typedef struct bl_place_loss {
    int64_t frame;          /* of AFTER */
    double position_mm;     /* on the axis of BEFORE */
    double own_position_mm; /* on that of AFTER */
    double first_mm2;
    double second_mm2;
    double loss_pct;          /* of the first; below 0 it is wider everywhere */
    bl_interval interval_pct; /* 95 %, for all places at once, so that the
                                 greatest of many is not taken for more */
    bool within_error;        /* the interval reaches no loss, or is unknown */
    double first_nominal_pct; /* of the nominal area there; NaN unknown */
    double second_nominal_pct;
} bl_place_loss;

/* Where the device stands away from the wall by more than the tolerance, in
 * frames that follow each other without a gap. */
typedef struct bl_unapposed {
    bl_span span; /* from the first such frame to the last, axis of BEFORE */
    size_t frames;
    double max_gap_mm;
    double max_gap_position_mm;
    int64_t max_gap_frame;        /* of AFTER */
    double max_gap_direction_deg; /* from the device's centre, [0, 360) */
    double widest_arc_deg;        /* of one frame, about the device's centre */
    double widest_arc_position_mm;
    double max_area_between_mm2; /* of one frame, over such arcs */
    double volume_between_mm3;   /* trapezoid from the first to the last */
} bl_unapposed;

/* The vein beyond one end of the device, or of the treated stretch. */
typedef struct bl_edge {
    bl_end where;
    bl_span span;     /* on the axis of BEFORE */
    double traced_mm; /* of it in AFTER; 0 where at most one frame lies there */
    bl_waist worst;   /* greatest area stenosis by the reference before, else
                         after, else least area; in AFTER. Its frame -1:
                         nothing is known of the edge */
    double before_area_mm2; /* at that place in BEFORE; NaN unknown */
    /* At the place with the greatest loss of area since BEFORE, as a
     * bl_place_loss has it; NaN unknown. */
    double loss_position_mm;
    double loss_before_mm2;
    double loss_after_mm2;
    double loss_pct; /* of the area before; below 0 it is wider everywhere */
    bl_interval loss_interval_pct; /* 95 %, for all places of the edge at once;
                                      NaN unknown, also where profiles do not
                                      tell where that end lies */
    bool loss_within_error;        /* it reaches no loss, or is unknown */
} bl_edge;

/* A stretch of AFTER outside the treated one that reaches the threshold. */
typedef struct bl_untreated {
    bl_span span; /* on the axis of BEFORE */
    bl_waist worst;
    bool by_before; /* against the reference before; else that after */
    bool was_seen;  /* BEFORE has lumen and reference at the worst place */
    bool was_there; /* and reached the threshold there too */
} bl_untreated;

/* Where two neighbouring devices run one in the other, by nominal lengths laid
 * from both ends of the device contours. */
typedef struct bl_overlap {
    bl_span span; /* on the axis of BEFORE */
    size_t first; /* which nominal, and the one caudal of it */
    bool exact;   /* of two devices; of more, overlaps are taken to be equal */
} bl_overlap;

/* A confluence that the device reaches over: what flows in there may lie behind
 * it. */
typedef struct bl_crossed {
    const char *mark;   /* "iliocaval_confluence", "femoral_confluence" */
    double position_mm; /* on the axis of BEFORE, by its mark, else AFTER's */
    bl_end end;         /* of the device, beyond it */
    double past_mm;     /* how far */
} bl_crossed;

/* Where AFTER lacks one kind of contour: between the two contours of that kind
 * on either side, or the end of the stretch that is looked at. */
typedef struct bl_hole {
    bl_span span;    /* on the axis of BEFORE */
    size_t frames;   /* of AFTER in it, which have another kind of contour */
    bl_span within;  /* from the first of them to the last; NaN without any */
    size_t left_out; /* contours of that kind in it that cannot be measured */
    bool bridged;    /* figures go across it; else they are of the rest */
    bool gap;        /* all of it lacks, not only its frames: a gap of its own
                        table, or, where the stretch ends in it, longer here
                        than one; never bridged */
    bool was_there;  /* BEFORE has that kind there */
} bl_hole;

/* A contour of device or vessel that cannot be measured (BL_FLAGS_LEFT_OUT):
 * nothing is made of it. Lumens are those of the assessments. */
typedef struct bl_left_out {
    bool second; /* of AFTER, else of BEFORE */
    bl_kind kind;
    int64_t frame; /* of its own table, as the next */
    double own_position_mm;
    double position_mm; /* on the axis of BEFORE */
    uint32_t flags;
} bl_left_out;

/* Of the device contours of AFTER; all unknown and none without them. */
typedef struct bl_device_state {
    bool traced;     /* there are any that can be measured */
    size_t left_out; /* contours that cannot be, of device and of vessel */
    size_t vessels_left_out;
    size_t frames; /* with a usable one */
    bl_span span;  /* from the first to the last, on the axis of BEFORE */
    /* The device reaches the end of what AFTER traced there, or contours that
     * cannot be measured: how long it is, and where which nominal size lies, is
     * not known. In position order. */
    bool end_unseen[2];
    const bl_span *parts; /* of it, between gaps of AFTER's axis */
    size_t part_count;
    /* Between its ends, in position order: gaps, and fewer frames without a
     * device contour where BEFORE has them. */
    const bl_hole *holes;
    size_t hole_count;
    bl_crossed crossed[2];
    size_t crossed_count;
    const bl_nominal *nominals; /* as given, from cranial */
    size_t nominal_count;
    const bl_overlap *overlaps; /* in position order */
    size_t overlap_count;
    bl_waist minimum;     /* least smoothed device area */
    double mean_area_mm2; /* by length */
    /* Least device area / reference lumen area there (DICOM 122347). */
    double expansion_index; /* by the reference before */
    double after_expansion_index;
    /* Device area / reference lumen area of each place, which where the
     * reference tapers is least elsewhere than the device is. */
    double least_expansion; /* by the reference before */
    double least_expansion_position_mm;
    double mean_expansion; /* by length */
    double after_least_expansion;
    double after_least_expansion_position_mm;
    double after_mean_expansion;
    /* Device area / nominal area there. */
    double nominal_expansion_pct; /* the least */
    double nominal_expansion_position_mm;
    double mean_nominal_expansion_pct; /* by length */
    double greatest_nominal_expansion_pct;
    double greatest_nominal_expansion_position_mm;
    double first_nominal_expansion_pct; /* of the first table, at that place;
                                           NaN unless it has a device there */
    /* 100 - nominal expansion: how far the device is compressed or was never
     * opened. */
    double compressed_pct; /* the greatest */
    double mean_compressed_pct;
    /* (max - min) / max device diameter; 0 is round (DICOM 122346). */
    double symmetry_index; /* the greatest, of smoothed diameters */
    double symmetry_position_mm;
    double mean_symmetry_index; /* by length */
    /* Tissue: what of the device's area is not lumen; NaN without both. */
    double tissue_inside_pct;   /* of all, by volume */
    double tissue_greatest_pct; /* of one place, smoothed */
    double tissue_greatest_position_mm;
    bool tissue_within_error; /* at that place 95 % of the error of both areas
                                 reach no tissue, or it is unknown */
    double tissue_mm;         /* length that has both contours */
    /* Apposition. */
    double gap_tolerance_mm;  /* NaN: no frame has an outer contour */
    size_t apposition_frames; /* with a device and an outer contour */
    size_t against_lumen; /* of them against a lumen, for want of a vessel */
    double apposition_mm; /* length that they stand for */
    const bl_unapposed *unapposed; /* in position order */
    size_t unapposed_count;
    /* Frames whose device lies outside the vessel by more than the tolerance: a
     * fault of the tracing. They are left out of apposition. */
    const int64_t *outside_frames;
    size_t outside_count;
} bl_device_state;

/* One frame of AFTER, in position order of BEFORE; NaN where unknown. */
typedef struct bl_compared {
    int64_t frame;
    double position_mm;     /* on the axis of BEFORE */
    double own_position_mm; /* on that of AFTER */
    bool in_treated;
    bool lumen_after_gap; /* a gap of AFTER lies between it and the lumen before
                             it, or it is the first; false without a lumen */
    bool device_after_gap;
    double before_area_mm2;        /* smoothed, between frames by diameter */
    double before_device_area_mm2; /* the same of its device */
    double lumen_area_mm2;         /* smoothed, as the next */
    double device_area_mm2;
    double vessel_area_mm2; /* as traced */
    double before_reference_mm2;
    double after_reference_mm2;
    double nominal_mm2;
    double gap_mm;  /* largest between device and outer contour */
    double arc_deg; /* widest with more than the tolerance */
} bl_compared;

typedef struct bl_comparison {
    bl_compare_options options; /* as used: NaN of the error is replaced */
    bool follow_up;             /* AFTER's stage is follow-up */
    bool since_after; /* BEFORE is itself of after treatment: it has devices, or
                         says so */
    bl_alignment alignment;
    bl_treated_from treated_from;
    bl_span treated;         /* on the axis of BEFORE; NaN: nowhere */
    double before_traced_mm; /* of it, with a lumen in BEFORE; NaN: nowhere */
    double after_traced_mm;  /* in AFTER */
    /* Frames stand so far apart: the median. A gap is over 5 mm, or, where that
     * is more, half as much again as frames stand apart. */
    double before_step_mm;
    double after_step_mm;
    /* Of the treated stretch in AFTER, in position order: gaps, and fewer
     * frames that have a device contour and no lumen. */
    const bl_hole *lumen_holes;
    size_t lumen_hole_count;
    /* Of all else in AFTER, where nowhere is treated of all of it: frames that
     * have a vessel contour, measured or not, and no lumen that can be. */
    const bl_hole *outside_holes;
    size_t outside_hole_count;
    const bl_left_out *left_out; /* BEFORE's, then AFTER's, in the order of
                                    their tables */
    size_t left_out_count;
    /* Of the treated stretch; without one, of all that both traced. */
    bl_waist before;             /* least lumen area in BEFORE */
    bl_waist after;              /* in AFTER */
    double before_mean_area_mm2; /* of lumen, by length */
    double after_mean_area_mm2;
    double gain_area_mm2; /* of the least areas; NaN, as the next, where nowhere
                             is treated: they may be of two places */
    double gain_area_pct; /* of the one before */
    double gain_min_diameter_mm; /* of the minimum diameters at these places */
    bl_after_reference after_reference_from;
    bl_residual before_reference_residual;
    bl_residual after_reference_residual;
    bl_residual nominal_residual;
    bl_device_state device;
    bl_edge edges[2]; /* in position order; edge_count 0 where nowhere is
                         treated */
    size_t edge_count;
    const bl_untreated *untreated; /* in position order; none where nowhere
                                      is treated */
    size_t untreated_count;
    /* AFTER's vein outside the treated stretch, between its frames: NaN where
     * no frame of it lies there, or nowhere is treated. */
    double outside_mm;
    double outside_judged_mm; /* of it against a reference; NaN: none */
    /* From the first table to the second, in the treated stretch as far as both
     * have it. Of the error of an area what frames were measured to scatter is
     * independent from contour to contour, and least areas are corrected for
     * the least of many reading low by it; the rest is taken to be shared by
     * all contours of a table. */
    bl_change lumen_least;
    bl_change lumen_mean;
    bl_change device_least; /* unknown unless both have devices */
    bl_change device_mean;
    bl_place_loss lumen_loss;
    bl_place_loss device_loss; /* unknown unless both have devices */
    size_t resamples;
    const bl_compared *series;
    size_t series_count;
    /* Sentences: what has to be read before any figure, as another scale, a
     * treated stretch without a lumen, a wall without one outside it, a hole in
     * the device, a device that moved, an edge that narrowed. */
    const char *const *foremost;
    size_t foremost_count;
    const char *const *cannot; /* sentences: what cannot be said, and why */
    size_t cannot_count;
    const char *const *warnings;
    size_t warning_count;
} bl_comparison;

/* Compares two tables of one vein; BEFORE may itself be of after treatment.
 * Each study is finished, that of its assessment, and made with
 * BL_COLUMNS_ASSESS; AFTER's with `appose`, without which apposition and tissue
 * are unknown. Studies and assessments must outlive the comparison.
 * BL_ERR_INPUT: labels of different sides, too little to line up by (the
 * message names the cure), or devices outside the vessel in more than 20 % of
 * frames that have both; BL_ERR_ARGUMENT: an option out of range, a stretch
 * outside what was traced, or two assessments of unlike threshold or shoulder;
 * BL_ERR_MEMORY. */
BL_API bl_status bl_comparison_new(const bl_study *before,
                                   const bl_assessment *before_assessment,
                                   const bl_study *after,
                                   const bl_assessment *after_assessment,
                                   const bl_compare_options *options,
                                   bl_comparison **out, bl_message *message);
BL_API void bl_comparison_free(bl_comparison *comparison);

/* ------------------------------------------------------------------ inflow */

/* Candidates of one comparison. */
#define BL_INFLOW_MOST 16

/* A candidate inflow vein: a pullback that was assessed with inflow_mm. */
typedef struct bl_inflow_input {
    const bl_study *study;
    const bl_assessment *assessment;
    const struct bl_source *source; /* below, under reports */
    const char *no_reference; /* why it was assessed without one, the words of
                                 that error; NULL */
} bl_inflow_input;

typedef struct bl_inflow_candidate {
    bl_inflow_input input;
    char letter; /* 'A' for the first input, 'B', ... */
    /* By each measure alone, from 1; equals, as printed, share one; 0: unknown,
     * or no other is known. */
    size_t ranks[BL_INFLOW_MEASURES];
    const char *const *notes; /* sentences: what speaks against its figures */
    size_t note_count;
} bl_inflow_candidate;

/* What one measure says. */
typedef struct bl_inflow_verdict {
    bool told_apart;   /* the 95 % interval of its best meets no other's */
    size_t best;       /* among candidates; candidate_count: none is known,
                          or one alone */
    const char *words; /* a phrase: "A; its 95 % interval meets no other" */
} bl_inflow_verdict;

typedef struct bl_inflow {
    double within_mm; /* of the caudal ends, as asked for */
    const bl_inflow_candidate *candidates; /* in order */
    size_t candidate_count;
    bl_inflow_verdict verdicts[BL_INFLOW_MEASURES];
    bool named;       /* the first candidate is the larger inflow; else none */
    const char *why;  /* a sentence: which is named, or why none is */
    const char *rule; /* how they are ordered and named, a sentence */
    const char *const *warnings; /* of all of them, sentences */
    size_t warning_count;
} bl_inflow;

/* Ranks candidate inflow veins by the figures of their caudal ends: ordered by
 * least area, equals as printed by mean area, then narrowed length, then flow
 * index; unknown last. One is named only where the 95 % interval of its least
 * area lies above those of all others, no other measure tells another apart
 * from it as better, all of its stretch was traced, no least area is doubtful,
 * its own vein cranial of its stretch, as far as a mark of shared vein or the
 * last frame, has no narrowing that is worst there, no gap, and no area that is
 * smaller than its least one by more than the width of that one's interval or
 * so much that it meets another's, and no stretch runs on cranial of a mark
 * femoral_confluence or deep_femoral_mouth, or of one further cranial. Nor is
 * one named of tables of two sides, with a scale that is in doubt (a finding
 * that doubts_scale), or where the vein that it shares with another, cranial of
 * those two marks, is not as wide in both tables: by more than 10 % of the
 * equivalent diameter, or wider in its own by so much that its least area, in
 * that measure, would not stand apart. It is no advice to treat.
 * Studies, assessments and sources must outlive it. BL_ERR_ARGUMENT: fewer than
 * two, or one that was not assessed for as much inflow as the first;
 * BL_ERR_LIMIT: more than BL_INFLOW_MOST; BL_ERR_MEMORY.
 */
BL_API bl_status bl_inflow_new(const bl_inflow_input *inputs, size_t count,
                               bl_inflow **out, bl_message *message);
BL_API void bl_inflow_free(bl_inflow *inflow);

/* What the intervals of inflow veins contain, and what they do not. No newline.
 */
BL_API const char *bl_inflow_intervals_note(void);

/* ------------------------------------------------------------------- check */

/* What is wrong with a table, and whether it can be used. */
typedef struct bl_check {
    bool usable; /* bl_assess takes it with these options */
    bool placed; /* positions are known, of all frames that could be read */
    const bl_finding *findings; /* worst first */
    size_t finding_count;
    uint64_t faults; /* in all, listed or not */
    uint64_t warnings;
    size_t contours;
    size_t frames;         /* with a lumen contour */
    size_t left_out;       /* lumen contours that cannot be measured */
    uint32_t points_least; /* of a contour, distinct */
    uint32_t points_most;
    double points_median;      /* NaN without contours */
    double median_diameter_mm; /* equivalent, of usable lumens; NaN unknown */
    bool scale_is_suspicious;  /* that median is outside 3 .. 35 mm */
    size_t gaps;               /* over 5 mm; 0 unless placed */
} bl_check;

/* Checks a study made with go_on and BL_COLUMNS_ASSESS and equivalent
 * diameters: finished, or stopped by an error, whose message is `stopped`
 * (else NULL). options: what an assessment would be made with; repeats:
 * findings of one sort that are listed, 0: 10. The study must outlive the
 * result. BL_ERR_MEMORY. */
BL_API bl_status bl_check_study(const bl_study *study,
                                const bl_message *stopped,
                                const bl_assess_options *options,
                                size_t repeats, bl_check **out);
BL_API void bl_check_free(bl_check *check);

/* ----------------------------------------------------------------- reports */

/* What the outputs say about the file they came from. */
typedef struct bl_source {
    const char *file;    /* as the user named it; "-" is standard input */
    uint32_t crc32;      /* of the bytes as given; unknown when bytes is 0 */
    uint64_t bytes;      /* 0 when reading stopped before the last */
    const char *options; /* the options given, as one line of text */
} bl_source;

/* A row a contour. columns: `count` of them in order of printing.
 * digits: decimals in CSV, 0 .. 17. JSON numbers read back to the same double;
 * here and in all JSON a byte of a text that is no UTF-8, as names of files may
 * have, is U+FFFD.
 * Anything the sink returns; BL_ERR_MEMORY; BL_ERR_ARGUMENT. */
BL_API bl_status bl_report_measures_csv(const bl_study *study,
                                        const bl_column *columns, size_t count,
                                        unsigned digits, bl_sink sink,
                                        void *context);
BL_API bl_status bl_report_measures_json(const bl_study *study,
                                         const bl_source *source,
                                         const bl_column *columns, size_t count,
                                         bl_sink sink, void *context);

/* "position from frame numbers, 30 frames/s and speed 1 mm/s; coordinates in
 * mm": where the numbers of a table of measures come from. No newline. */
BL_API bl_status bl_report_origin_text(const bl_study *study, bl_sink sink,
                                       void *context);

/* The check as a line a finding and a summary, and as JSON. */
BL_API bl_status bl_report_check_text(const bl_study *study,
                                      const bl_check *check,
                                      const bl_source *source, bl_sink sink,
                                      void *context);
BL_API bl_status bl_report_check_json(const bl_study *study,
                                      const bl_check *check,
                                      const bl_source *source, bl_sink sink,
                                      void *context);

/* The assessment as text to read, as JSON, as a table of narrowings. */
BL_API bl_status bl_report_assessment_text(const bl_study *study,
                                           const bl_assessment *assessment,
                                           const bl_source *source,
                                           bl_sink sink, void *context);
BL_API bl_status bl_report_assessment_json(const bl_study *study,
                                           const bl_assessment *assessment,
                                           const bl_source *source,
                                           bl_sink sink, void *context);
BL_API bl_status bl_report_assessment_csv(const bl_study *study,
                                          const bl_assessment *assessment,
                                          bl_sink sink, void *context);

/* The plan as text to read and as JSON. */
BL_API bl_status bl_report_plan_text(const bl_study *study,
                                     const bl_assessment *assessment,
                                     const bl_plan *plan,
                                     const bl_source *source, bl_sink sink,
                                     void *context);
BL_API bl_status bl_report_plan_json(const bl_study *study,
                                     const bl_assessment *assessment,
                                     const bl_plan *plan,
                                     const bl_source *source, bl_sink sink,
                                     void *context);

/* Inflow veins as text to read, as JSON, and as a table of the candidates in
 * order. */
BL_API bl_status bl_report_inflow_text(const bl_inflow *inflow, bl_sink sink,
                                       void *context);
BL_API bl_status bl_report_inflow_json(const bl_inflow *inflow, bl_sink sink,
                                       void *context);
BL_API bl_status bl_report_inflow_csv(const bl_inflow *inflow, bl_sink sink,
                                      void *context);

/* One of the two tables of a comparison, and what was made of it. */
typedef struct bl_compared_table {
    const bl_study *study;
    const bl_assessment *assessment;
    const bl_source *source;
} bl_compared_table;

/* The comparison as text to read and as JSON. */
BL_API bl_status bl_report_comparison_text(const bl_compared_table *before,
                                           const bl_compared_table *after,
                                           const bl_comparison *comparison,
                                           bl_sink sink, void *context);
BL_API bl_status bl_report_comparison_json(const bl_compared_table *before,
                                           const bl_compared_table *after,
                                           const bl_comparison *comparison,
                                           bl_sink sink, void *context);

/* What the record of a procedure is made of. */
typedef struct bl_record {
    bl_compared_table before;
    const bl_plan *plan;             /* of `before`; NULL: none */
    bl_compared_table after;         /* its study NULL: there is none */
    const bl_comparison *comparison; /* of both; needs `after` */
} bl_record;

/* The record as paragraphs to read, as the same in Markdown (CommonMark,
 * without HTML, nothing of a label taken for markup), and as JSON with every
 * number they are made of. Every number is that of the report it comes from. */
BL_API bl_status bl_report_record_text(const bl_record *of, bl_sink sink,
                                       void *context);
BL_API bl_status bl_report_record_markdown(const bl_record *of, bl_sink sink,
                                           void *context);
BL_API bl_status bl_report_record_json(const bl_record *of, bl_sink sink,
                                       void *context);

/* ---------------------------------------------------------------- pictures */

typedef struct bl_figure bl_figure;

typedef struct bl_figure_options {
    double width_mm;  /* 80 .. 1000 */
    double height_mm; /* 60 .. 1000 */
} bl_figure_options;

/* 180 x 135 mm: the width of a text page. */
BL_API bl_figure_options bl_figure_defaults(void);

/* The diameter-versus-position profile with the areas below it and, where the
 * study kept contours, the cross-sections at reference and worst place.
 * Study, assessment and source must outlive the figure.
 * BL_ERR_ARGUMENT, BL_ERR_MEMORY. */
BL_API bl_status bl_figure_profile(const bl_study *study,
                                   const bl_assessment *assessment,
                                   const bl_source *source,
                                   const bl_figure_options *options,
                                   bl_figure **out);
/* The same with landing points and devices; the plan must outlive it too. */
BL_API bl_status bl_figure_plan(const bl_study *study,
                                const bl_assessment *assessment,
                                const bl_plan *plan, const bl_source *source,
                                const bl_figure_options *options,
                                bl_figure **out);
/* Inflow veins one below the other: the area along each stretch, and beside it
 * what each measure says with its 95 % interval, on scales that all share. What
 * inflow is of must outlive the figure. */
BL_API bl_status bl_figure_inflow(const bl_inflow *inflow,
                                  const bl_figure_options *options,
                                  bl_figure **out);
/* Areas before and after on the positions of BEFORE, what was gained, residual
 * stenosis by each denominator, devices, overlaps, where they stand off, edges.
 * All that it is made of must outlive the figure. */
BL_API bl_status bl_figure_comparison(const bl_compared_table *before,
                                      const bl_compared_table *after,
                                      const bl_comparison *comparison,
                                      const bl_figure_options *options,
                                      bl_figure **out);
BL_API void bl_figure_free(bl_figure *figure);

/* SVG 1.1 with real text. Same input, same bytes. */
BL_API bl_status bl_figure_svg(const bl_figure *figure, bl_sink sink,
                               void *context);

/* ------------------------------------------- files (not in a web browser) */

/* How a file is read; all zero is allowed. */
typedef struct bl_read_options {
    bool checksum;           /* fill source->crc32, else it is 0 */
    uint64_t unpacked_limit; /* bytes of a gzip file unpacked; 0: 4 GiB */
    unsigned threads;        /* that measure contours; 0 or 1: the caller's */
    /* Called after every piece with the bytes read so far and in all, 0 when
     * that is not known; may be NULL. */
    void (*progress)(void *context, uint64_t bytes, uint64_t total);
    void *context;
} bl_read_options;

/* Feeds a whole file, or standard input for "-", to the study and finishes
 * it. gzip (RFC 1952) is known by its first bytes and unpacked. source gets
 * file, crc32 and bytes as they are in the file, and empty options. options
 * may be NULL: checksum, one thread. Results are the same for any number of
 * threads. BL_ERR_FILE as well as what bl_study_feed and bl_study_finish
 * return; the words are in message. */
BL_API bl_status bl_study_read(bl_study *study, const char *path,
                               const bl_read_options *options,
                               bl_source *source, bl_message *message);

/* Reads a user's own table of expected areas from a file, whose path is its
 * name; "-" is standard input. BL_ERR_FILE as well as what bl_normals_from_text
 * returns. */
BL_API bl_status bl_normals_read(const char *path, bl_normals **out,
                                 bl_message *message);

/* The same of a stock list. */
BL_API bl_status bl_stock_read(const char *path, bl_stock **out,
                               bl_message *message);

/* A file that appears whole or not at all: written beside its target, synced,
 * renamed by commit; freed without commit it leaves nothing behind. Links are
 * followed, also one to a file that is yet to be, and stay. A file that is
 * replaced gives its mode to the new one; else the process's umask counts. "-"
 * is standard output, which is flushed and checked by commit. */
typedef struct bl_output bl_output;
BL_API bl_status bl_output_open(const char *path, bl_output **out,
                                bl_message *message);
/* A bl_sink over a bl_output. */
BL_API bl_status bl_output_sink(void *output, const char *bytes, size_t size);
BL_API bl_status bl_output_commit(bl_output *output, bl_message *message);
BL_API void bl_output_free(bl_output *output);

/* Whether outputs to these paths are one file, of which the second would
 * replace the first: by other spellings or links, there or yet to be. False
 * where memory is out or a folder is not there. */
BL_API bool bl_output_is_same(const char *a, const char *b);

/* PNG with resolution, sRGB and provenance; dpi 50 .. 1200. PDF with embedded
 * fonts. Same input and same fonts, same bytes. BL_ERR_LIBRARY when cairo,
 * fontconfig or libpng, which are loaded here, cannot be; BL_ERR_FONT when no
 * font is installed. Anything the sink returns; BL_ERR_MEMORY; BL_ERR_ARGUMENT.
 */
BL_API bl_status bl_figure_png(const bl_figure *figure, double dpi,
                               bl_sink sink, void *context);
BL_API bl_status bl_figure_pdf(const bl_figure *figure, bl_sink sink,
                               void *context);

#ifdef __cplusplus
}
#endif

#endif
