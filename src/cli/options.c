/*
 * options.c - the one table of options, and what each does to a request.
 */
#include "cli/console.h"
#include "cli/option_value.h"
#include "cli/request.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define THREADS_MAX 64
#define REPEATS_MAX 100000
#define MEGABYTES_MAX 1000000

static int apply_output(request *to, const char *value) {
    to->output = value;
    return 0;
}

static int apply_plot(request *to, const char *value) {
    to->plot = value;
    return 0;
}

static int apply_expected(request *to, const char *value) {
    to->expected = value;
    return 0;
}

static int apply_stock(request *to, const char *value) {
    to->stock = value;
    return 0;
}

/* Which frames there are is known when the table has been read. */
static int apply_treat(request *to, const char *value) {
    to->treat = value;
    return 0;
}

static int apply_json(request *to, const char *value) {
    (void)value;
    if (to->as == FORMAT_CSV) {
        return console_usage("--json and --csv exclude each other; give one");
    }
    if (to->format_given && to->as != FORMAT_JSON) {
        return console_usage("--json and --format %s exclude each other; give "
                             "one",
                             to->as == FORMAT_MARKDOWN ? "md" : "text");
    }
    to->as = FORMAT_JSON;
    return 0;
}

/* --json is what other commands call --format json. */
static int apply_format(request *to, const char *value) {
    static const struct {
        const char *name;
        format as;
    } known[] = {
        {"text", FORMAT_PLAIN}, {"md", FORMAT_MARKDOWN}, {"json", FORMAT_JSON}};
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(value, known[i].name) == 0) {
            if (to->as == FORMAT_JSON && known[i].as != FORMAT_JSON) {
                return console_usage("--json and --format %s exclude each "
                                     "other; give one",
                                     value);
            }
            to->as = known[i].as;
            to->format_given = true;
            return 0;
        }
    }
    return console_usage("--format got '%s'; it takes text, md or json", value);
}

static int apply_csv(request *to, const char *value) {
    (void)value;
    if (to->as == FORMAT_JSON) {
        return console_usage("--json and --csv exclude each other; give one");
    }
    to->as = FORMAT_CSV;
    return 0;
}

static int apply_explain(request *to, const char *value) {
    (void)value;
    to->assess.explain = true;
    return 0;
}

static int apply_flow(request *to, const char *value) {
    (void)value;
    to->assess.flow = true;
    return 0;
}

static int apply_help(request *to, const char *value) {
    (void)value;
    to->help = true;
    return 0;
}

static int apply_columns(request *to, const char *value) {
    bl_message message;
    if (bl_columns_from_text(value, to->columns, &to->column_count, &message) !=
        BL_OK) {
        return console_usage("--columns: %s", message.text);
    }
    to->columns_given = true;
    return 0;
}

#define SEED_MOST 4294967295.0

static int apply_digits(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 || number > 17 ||
        number > (double)(unsigned)number) {
        return option_not_a_number("digits", value,
                                   "a whole number from 0 to 17");
    }
    to->digits = (unsigned)number;
    return 0;
}

static int apply_threshold(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || !(number > 0) ||
        !(number < 100)) {
        return option_not_a_number("threshold", value,
                                   "a percentage above 0 and "
                                   "below 100, such as 50");
    }
    to->assess.threshold_pct = number;
    return 0;
}

static int apply_shoulder(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 || !(number < 100)) {
        return option_not_a_number("shoulder", value,
                                   "a percentage from 0 to below "
                                   "the threshold, such as 20");
    }
    to->assess.shoulder_pct = number;
    return 0;
}

static int apply_smooth(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 || number > 50) {
        return option_not_a_number("smooth", value, "millimetres from 0 to 50");
    }
    to->assess.smooth_mm = number;
    return 0;
}

static int read_cv(const char *name, const char *value, double *out) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 || number > 50) {
        return option_not_a_number(name, value, "a percentage from 0 to 50");
    }
    *out = number;
    return 0;
}

static int apply_area_cv(request *to, const char *value) {
    return read_cv("area-cv", value, &to->assess.area_cv_pct);
}

static int apply_speed_cv(request *to, const char *value) {
    return read_cv("speed-cv", value, &to->assess.speed_cv_pct);
}

static int apply_seed(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 0 ||
        number > SEED_MOST || number > (double)(uint32_t)number) {
        return option_not_a_number("seed", value,
                                   "a whole number from 0 to 4294967295");
    }
    to->assess.seed = (uint32_t)number;
    return 0;
}

static int apply_rule(request *to, const char *value) {
    for (unsigned i = 0; bl_rule_name(i) != NULL; i++) {
        if (strcmp(value, bl_rule_name(i)) == 0) {
            to->assess.rule = (bl_rule)i;
            return 0;
        }
    }
    return console_usage("--reference-rule got '%s'; it takes taper, mean, "
                         "cranial, caudal or largest",
                         value);
}

/* "find", "expected", "none", or stretches. */
static bl_reference_choice reference_choice(const char *value) {
    return strcmp(value, "find") == 0       ? BL_REFERENCE_FIND
           : strcmp(value, "none") == 0     ? BL_REFERENCE_NONE
           : strcmp(value, "expected") == 0 ? BL_REFERENCE_EXPECTED
                                            : BL_REFERENCE_DEFAULT;
}

static int apply_reference(request *to, const char *value) {
    bl_reference_choice choice = reference_choice(value);
    if (to->reference_given && choice != to->assess.reference) {
        return console_usage("--reference takes stretches, or find, expected "
                             "or none; not a mixture");
    }
    to->reference_given = true;
    to->assess.reference = choice;
    return choice == BL_REFERENCE_DEFAULT ? request_set(to, "reference", value)
                                          : 0;
}

static int apply_accept_gaps(request *to, const char *value) {
    (void)value;
    to->assess.accept_gaps = true;
    return 0;
}

static int apply_size(request *to, const char *value) {
    char width[32];
    double wide;
    double high;
    const char *by = strchr(value, 'x');
    size_t size = by == NULL ? sizeof width : (size_t)(by - value);
    if (size < sizeof width) {
        memcpy(width, value, size);
        width[size] = '\0';
    }
    if (size >= sizeof width || !bl_number_from_text(width, &wide) ||
        !bl_number_from_text(by + 1, &high) || wide < 80 || wide > 1000 ||
        high < 60 || high > 1000) {
        return console_usage("--size got '%s'; it takes millimetres as "
                             "WIDTHxHEIGHT, from 80x60 to 1000x1000, as in "
                             "180x135",
                             value);
    }
    to->size = (bl_figure_options){wide, high};
    return 0;
}

static int apply_dpi(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 50 || number > 1200) {
        return option_not_a_number("dpi", value,
                                   "dots per inch from 50 to 1200");
    }
    to->dpi = number;
    return 0;
}

static int apply_repeats(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 1 ||
        number > REPEATS_MAX || number > (double)(size_t)number) {
        return option_not_a_number("repeats", value,
                                   "a whole number from 1 to 100000");
    }
    to->repeats = (size_t)number;
    return 0;
}

static int apply_threads(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 1 ||
        number > THREADS_MAX || number > (double)(unsigned)number) {
        return option_not_a_number("threads", value,
                                   "a whole number from 1 to 64");
    }
    to->threads = (unsigned)number;
    return 0;
}

/* Megabytes to bytes. */
static int read_megabytes(const char *option, const char *value,
                          uint64_t *bytes) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 1 ||
        number > MEGABYTES_MAX || number > (double)(uint64_t)number) {
        return option_not_a_number(
            option, value, "megabytes, a whole number from 1 to 1000000");
    }
    *bytes = (uint64_t)number * 1000000;
    return 0;
}

static int apply_memory(request *to, const char *value) {
    return read_megabytes("max-memory", value, &to->memory_limit);
}

static int apply_unpacked(request *to, const char *value) {
    return read_megabytes("max-unpacked", value, &to->unpacked_limit);
}

static int apply_after_reference(request *to, const char *value) {
    bl_reference_choice choice = reference_choice(value);
    if (to->after_reference_given && choice != to->after_reference) {
        return console_usage("--after-reference takes stretches, or find, "
                             "expected or none; not a mixture");
    }
    to->after_reference_given = true;
    to->after_reference = choice;
    return choice == BL_REFERENCE_DEFAULT
               ? request_set_second(to, "reference", value)
               : 0;
}

static int apply_steady(request *to, const char *value) {
    (void)value;
    to->assess.steady = true;
    return 0;
}

static int apply_within(request *to, const char *value) {
    double number;
    if (!bl_number_from_text(value, &number) || number < 5 || number > 500) {
        return option_not_a_number("within", value,
                                   "millimetres from 5 to 500");
    }
    to->within_mm = number;
    return 0;
}

#define FOR_FIGURE (FOR_ASSESS | FOR_PLOT | FOR_INFLOW)
/* All that assess a table. */
#define FOR_ASSESSING                                                          \
    (FOR_FIGURE | FOR_CHECK | FOR_PLAN | FOR_COMPARE | FOR_RECORD)
/* All that make a plan. */
#define FOR_PLANNING (FOR_PLAN | FOR_RECORD)
/* All that compare two tables. */
#define FOR_COMPARING (FOR_COMPARE | FOR_RECORD)

static const option_row rows[] = {
    {"output", 'o', "FILE", FOR_ALL, NULL, apply_output,
     "where the result goes; - is standard output"},
    {"columns", 0, "A,B,...", FOR_MEASURE, NULL, apply_columns,
     "print only these columns, in this order"},
    {"digits", 0, "N", FOR_MEASURE, NULL, apply_digits,
     "decimals in CSV, 0 to 17 (4)"},
    {"repeats", 0, "N", FOR_CHECK, NULL, apply_repeats,
     "of the same finding, list so many, 1 to 100000 (10)"},
    {"stock", 0, "FILE", FOR_PLANNING, NULL, apply_stock,
     "the devices on the shelf: label,diameter_mm,length_mm and, if you want, "
     "foreshortening_pct and count; without it diameter and length are given"},
    {"treat", 0, "SPEC", FOR_PLANNING, NULL, apply_treat,
     "treat this stretch and not the narrowings: A..B in mm or 'frame A..frame "
     "B'"},
    {"join", 0, "MM", FOR_PLANNING, NULL, apply_join,
     "narrowings with less vein than that between their shoulders are treated "
     "together, 0 to 300 (30)"},
    {"landing", 0, "MM", FOR_PLANNING, NULL, apply_landing,
     "least length of healthy vein to land in, 0 to 100 (10)"},
    {"margin", 0, "MM", FOR_PLANNING, NULL, apply_margin,
     "how far an end lies in healthy vein, 0 to 50 (5)"},
    {"overlap", 0, "MM", FOR_PLANNING, NULL, apply_overlap,
     "least overlap of neighbours, 0 to 100 (15)"},
    {"diameter-step", 0, "MM", FOR_PLANNING, NULL, apply_diameter_step,
     "most difference between the diameters of neighbours, where the stock "
     "allows, 0 to 20 (2)"},
    {"size-by", 0, "area|perimeter", FOR_PLANNING, NULL, apply_size_by,
     "what diameters are held against: that of a circle of healthy vein's area "
     "(default), or of its perimeter"},
    {"oversize-limit", 0, "PCT", FOR_PLANNING, NULL, apply_oversize_limit,
     "how much wider than healthy vein a device may be, where the stock "
     "allows, 0 to 100 % of the diameter (no limit)"},
    {"device", 0, "DxL@MM", FOR_PLANNING, NULL, apply_device,
     "what if: a device of diameter D and length L whose end at the lower "
     "position lies at MM, as 16x120@42; repeat it for a chain, which is "
     "checked by the same rules"},
    {"shift", 0, "MM", FOR_COMPARING, NULL, apply_shift,
     "line up by adding this to positions of AFTER, -1000 to 1000, where no "
     "mark is in both tables (by their profiles)"},
    {"treated", 0, "SPEC", FOR_COMPARING, NULL, apply_treated,
     "the treated stretch on the positions of BEFORE: A..B in mm or 'frame "
     "A..frame B' (where AFTER has device contours)"},
    {"nominal", 0, "D|DxL,...", FOR_COMPARING, NULL, apply_nominal,
     "nominal sizes of the devices in mm, from cranial, as 16x120,14x160, or "
     "one diameter, as 16"},
    {"gap-tolerance", 0, "MM", FOR_COMPARING, NULL, apply_gap_tolerance,
     "how far a device may lie off the wall, 0.01 to 5 (0.3)"},
    {"edge", 0, "MM", FOR_COMPARING, NULL, apply_edge,
     "vein beyond each end that is looked at, 1 to 50 (10)"},
    {"after-reference", 0, "SPEC", FOR_COMPARING, NULL, apply_after_reference,
     "healthy vein of AFTER on its own positions, as --reference (its notes, "
     "else the same stretches as in BEFORE)"},
    {"format", 0, "text|md|json", FOR_RECORD, NULL, apply_format,
     "text (default), Markdown, or JSON with every number"},
    {"within", 0, "MM", FOR_INFLOW, NULL, apply_within,
     "how much of each caudal end is compared, 5 to 500 (50)"},
    {"json", 0, NULL,
     FOR_MEASURE | FOR_ASSESS | FOR_CHECK | FOR_PLAN | FOR_COMPARE |
         FOR_INFLOW | FOR_RECORD,
     NULL, apply_json, "JSON; every number reads back to the same double"},
    {"csv", 0, NULL, FOR_ASSESS, NULL, apply_csv,
     "the narrowings as a table, a row each"},
    {"csv", 0, NULL, FOR_INFLOW, NULL, apply_csv,
     "the veins as a table, a row each, in order"},
    {"plot", 0, "FILE", FOR_ASSESS | FOR_PLAN | FOR_COMPARE | FOR_INFLOW, NULL,
     apply_plot, "also draw a picture of it: .png, .svg or .pdf"},
    {"reference", 0, "SPEC", FOR_ASSESSING, NULL, apply_reference,
     "healthy vein: A..B in mm or 'frame A..frame B', once or twice; or find; "
     "or expected, the normal area of each vein that marks tell; or none"},
    {"expected", 0, "FILE", FOR_ASSESSING, NULL, apply_expected,
     "your own table of normal areas, vein,side,area_mm2,source, instead of "
     "the published"},
    {"reference-rule", 0, "RULE", FOR_ASSESSING, NULL, apply_rule,
     "how two stretches are joined: taper (default), mean, cranial, caudal, "
     "largest"},
    {"threshold", 0, "PCT", FOR_ASSESSING, NULL, apply_threshold,
     "area stenosis that makes a narrowing, above 0 and below 100 (50)"},
    {"shoulder", 0, "PCT", FOR_ASSESSING, NULL, apply_shoulder,
     "area stenosis at which a narrowing's shoulders end, from 0 to below the "
     "threshold (20)"},
    {"smooth", 0, "MM", FOR_ASSESSING, NULL, apply_smooth,
     "running median along the vessel, 0 to 50; 0 is off (1)"},
    {"area-cv", 0, "PCT", FOR_ASSESSING, NULL, apply_area_cv,
     "error of one contour's area for the intervals, 0 to 50 (5, or the "
     "scatter "
     "from frame to frame where that is more)"},
    {"speed-cv", 0, "PCT", FOR_ASSESSING, NULL, apply_speed_cv,
     "error of the pullback's speed for the intervals, 0 to 50 (10; by hand "
     "30; 0 where positions are known)"},
    {"seed", 0, "N", FOR_ASSESSING, NULL, apply_seed,
     "of the resampling behind the intervals, 0 to 4294967295: the same gives "
     "the same (1)"},
    {"steady", 0, NULL, FOR_ASSESSING, NULL, apply_steady,
     "take breathing ripple off the profile, where one is found"},
    {"explain", 0, NULL, FOR_ASSESS, NULL, apply_explain,
     "list the stretches that a search for healthy vein looked at, their "
     "figures and score, and why each was taken or not"},
    {"flow", 0, NULL, FOR_ASSESS, NULL, apply_flow,
     "report the flow index too: laminar resistance against that of healthy "
     "vein, a teaching aid and never a pressure gradient"},
    {"accept-gaps", 0, NULL, FOR_ASSESSING, NULL, apply_accept_gaps,
     "go on with more than 20 % of the frames left out"},
    {"size", 0, "WxH", FOR_FIGURE | FOR_PLAN | FOR_COMPARE, NULL, apply_size,
     "size of the picture in mm, 80x60 to 1000x1000 (180x135)"},
    {"dpi", 0, "N", FOR_FIGURE | FOR_PLAN | FOR_COMPARE, NULL, apply_dpi,
     "resolution of a PNG, 50 to 1200 (300)"},
    {"threads", 0, "N", FOR_ALL, NULL, apply_threads,
     "threads that measure contours, 1 to 64 (the processors); results are the "
     "same with any number"},
    {"max-memory", 0, "MB", FOR_ALL, NULL, apply_memory,
     "memory for contours as kept before a table is refused, 1 to 1000000 "
     "(2147)"},
    {"max-unpacked", 0, "MB", FOR_ALL, NULL, apply_unpacked,
     "size to which a gzip table may unpack before it is refused, 1 to "
     "1000000 (4294)"},
    {"speed", 0, "MM_PER_S", FOR_ALL, "speed_mm_per_s", NULL,
     "pullback speed, or a schedule '0: 1.0, 600: 0.5'"},
    {"frame-rate", 0, "HZ", FOR_ALL, "frame_rate_hz", NULL,
     "frames per second"},
    {"step", 0, "MM", FOR_ALL, "step_mm", NULL,
     "gated pullback: millimetres from one frame to the next"},
    {"at", 0, "'FRAME = MM'", FOR_ALL, "at", NULL,
     "a known position of a frame; give two or more"},
    {"motion", 0, "FRAMES", FOR_ALL, "motion", NULL,
     "'frame A..frame B': while the catheter moved"},
    {"mm-per-px", 0, "MM", FOR_ALL, "mm_per_px", NULL,
     "scale of pixel coordinates"},
    {"mm-per-px-x", 0, "MM", FOR_ALL, "mm_per_px_x", NULL,
     "scale across, where it differs"},
    {"mm-per-px-y", 0, "MM", FOR_ALL, "mm_per_px_y", NULL,
     "scale down, where it differs"},
    {"y-axis", 0, "up|down", FOR_ALL, "y_axis", NULL,
     "where y grows (up); only directions depend on it"},
    {"travel", 0, "caudal|cranial", FOR_ALL, "travel", NULL,
     "where the catheter goes (caudal)"},
    {"mark", 0, "'NAME @ MM'", FOR_ALL, "mark", NULL,
     "a named position, repeatable; 'NAME @ frame N' too"},
    {"case", 0, "LABEL", FOR_ALL, "case", NULL, "label for the outputs"},
    {"side", 0, "left|right", FOR_ALL, "side", NULL, "side of the body"},
    {"reader", 0, "LABEL", FOR_ALL, "reader", NULL, "who traced"},
    {"stage", 0, "STAGE", FOR_ALL, "stage", NULL, "before, after or follow-up"},
    {"help", 'h', NULL, FOR_ALL, NULL, apply_help, "this text"},
    {NULL, 0, NULL, 0, NULL, NULL, NULL},
};

const option_row *request_options(void) {
    return rows;
}
