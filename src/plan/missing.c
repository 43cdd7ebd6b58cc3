/*
 * missing.c - which sizes a stock lacks.
 *
 * What is asked for must exist, and is asked for only where the search came to
 * its end. No device is taken to be longer than the
 * longest on the list, whether it is in stock or not, or than 200 mm where the
 * list has none or only such as would need more than six (200 mm: common
 * practice, no source; six: our own measure). What is longer is asked for in
 * pieces, as few as can be and all of one length, each sized by its own
 * stretch.
 */
#include "plan/missing.h"

#include "base/constants.h"
#include "plan/wording.h"

#include <assert.h>
#include <math.h>

#define LONGEST_MM 200.0
#define PIECES_MOST 6

/* From a place on, in tenths from the cranial landing point. */
typedef struct wanted_pieces {
    int32_t from;
    int32_t covers; /* each */
    int32_t count;
} wanted_pieces;

static int32_t longest_listed(const shelf *of) {
    int32_t longest = 0;
    for (size_t i = 0; i < of->device_count; i++) {
        int32_t covers = shelf_covers(of->devices[i].length_mm,
                                      of->devices[i].foreshortening_pct);
        longest = covers > longest ? covers : longest;
    }
    return longest;
}

/* How many of a length cover it; 0 where no number does. */
static int32_t pieces_of(int32_t cover, int32_t longest, int32_t overlap) {
    if (cover <= longest) {
        return 1;
    }
    int32_t each = longest - overlap;
    return each > 0 ? (cover - overlap + each - 1) / each : 0;
}

/* Whether all that is in stock, laid end to end, comes so far: where devices
 * can begin was found with counts left aside. */
static bool stock_reaches(const planner *in, int32_t tenths) {
    const shelf *stock = &in->stock;
    int64_t reach = 0;
    for (size_t i = 0; i < stock->count && reach < tenths; i++) {
        int64_t each = stock->kinds[i].covers - in->rules.overlap;
        reach += each > 0 ? each * (int64_t)stock->kinds[i].count : 0;
    }
    return reach >= tenths;
}

static wanted_pieces pieces_for(const planner *in, const treatment *of) {
    int32_t overlap = in->rules.overlap;
    bool whole = of->fewest > 0 || !stock_reaches(in, of->reached);
    int32_t from = whole ? 0 : of->reached;
    int32_t cover = of->site.cover - from;
    int32_t count = pieces_of(cover, longest_listed(&in->stock), overlap);
    if (count == 0 || count > PIECES_MOST) {
        count = pieces_of(cover, shelf_tenths_down(LONGEST_MM), overlap);
    }
    assert(count > 0); /* no overlap is longer than 100 mm */
    int32_t length = cover + (count - 1) * overlap;
    return (wanted_pieces){from, (length + count - 1) / count, count};
}

/* Why nothing on the list does. */
static void add_reason(text *out, const planner *in, const treatment *of,
                       double wanted_mm) {
    const shelf *stock = &in->stock;
    if (stock->count == 0) {
        text_add(out, "nothing on the list is in stock");
        return;
    }
    if (of->stopped) {
        text_add(out, "the search was stopped before anything was found");
        return;
    }
    if (of->fewest > 0) {
        text_add(out, "there are too few on the list");
        return;
    }
    double widest = stock->diameters[stock->diameter_count - 1];
    if (!shelf_is_wide(widest, wanted_mm)) {
        text_add(out, "the widest on the list has ");
        text_short(out, widest, 1);
        text_add(out, " mm");
        return;
    }
    text_add(out, "none on the list is both wide and long enough");
}

static double wanted_diameter_mm(const planner *in, const treatment *of,
                                 const wanted_pieces *pieces, int32_t i,
                                 double *from_mm) {
    int32_t from = pieces->from + i * (pieces->covers - in->rules.overlap);
    int32_t to = from + pieces->covers;
    to = to < of->site.cover ? to : of->site.cover;
    *from_mm = fitting_at_mm(&of->site, from);
    return ground_mean_over(&in->ground, *from_mm, fitting_at_mm(&of->site, to))
        .reference_mm[in->rules.by];
}

/* "from 19.7 mm on a device of 17.2 mm or more in diameter that covers 120.8 mm
 * or more would do". */
static void add_one(text *out, const planner *in, double from_mm,
                    double diameter_mm, const wanted_pieces *of) {
    text_add(out, "from ");
    wording_position(out, in, from_mm);
    text_add(out, " on a device of ");
    wording_length(out, diameter_mm);
    text_add(out, " or more in diameter that covers ");
    wording_length(out, (double)of->covers / SHELF_TENTHS);
    text_add(out, " or more would do");
}

/* "2 devices that cover 121.8 mm or more each and overlap by 15.0 mm would do,
 * cranial first of 15.4 mm or more in diameter, then 13.2 mm or more". */
static void add_several(text *out, const planner *in, const treatment *of,
                        const wanted_pieces *pieces) {
    for (int32_t i = 0; i < pieces->count; i++) {
        double from;
        double diameter = wanted_diameter_mm(in, of, pieces, i, &from);
        if (i == 0) {
            text_add(out, "no one device is so long; from ");
            wording_position(out, in, from);
            text_format(out, " on %d devices that cover ", (int)pieces->count);
            wording_length(out, (double)pieces->covers / SHELF_TENTHS);
            text_add(out, " or more each and overlap by ");
            wording_length(out, (double)in->rules.overlap / SHELF_TENTHS);
            text_add(out, " would do, cranial first of ");
        }
        text_add(out, i > 0 ? ", then " : "");
        wording_length(out, diameter);
        text_add(out, i > 0 ? " or more" : " or more in diameter");
    }
}

/* What would do. After a search that was stopped that is not known: the list
 * may hold it. */
static void add_cure(text *out, const planner *in, const treatment *of,
                     double wanted_mm, const wanted_pieces *pieces) {
    if (of->stopped) {
        return;
    }
    text_add(out, ": ");
    if (pieces->count == 1) {
        add_one(out, in, fitting_at_mm(&of->site, pieces->from), wanted_mm,
                pieces);
    } else {
        add_several(out, in, of, pieces);
    }
}

/* Where one piece has no reference. */
static bool is_unknown(const planner *in, const treatment *of,
                       const wanted_pieces *pieces) {
    bool unknown = false;
    double from;
    for (int32_t i = 0; i < pieces->count; i++) {
        unknown =
            unknown || isnan(wanted_diameter_mm(in, of, pieces, i, &from));
    }
    return unknown;
}

bl_status missing_words(const planner *in, const treatment *of,
                        bl_stretch *out) {
    text words = {0};
    wanted_pieces pieces = pieces_for(in, of);
    double from = fitting_at_mm(&of->site, pieces.from);
    double wanted = ground_mean_over(&in->ground, from,
                                     fitting_at_mm(&of->site, of->site.cover))
                        .reference_mm[in->rules.by];
    if (is_unknown(in, of, &pieces)) {
        text_add(&words, "no reference is known of the vein to be covered, and "
                         "nothing can be sized");
    } else {
        add_reason(&words, in, of, wanted);
        add_cure(&words, in, of, wanted, &pieces);
        out->stopped = of->stopped;
    }
    out->missing = wording_keep(in, &words);
    return out->missing == NULL ? BL_ERR_MEMORY : BL_OK;
}
