/*
 * plan_properties.c - the search against trying everything, and what is said to
 * be missing against a list that has it.
 *
 * The exhaustive search below shares nothing with the one under test. It lays
 * every sequence of devices that the stock allows and judges it by the rules of
 * docs/plan.md, with the reference of a straight taper, whose mean over a
 * stretch is that of its ends.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define FOUND_MOST 16
#define CASES 400
#define PAIR_CASES 150

static made one;

/* ------------------------------------------------------------ trying it all */

typedef struct site {
    double from_mm;
    double to_mm;
    double room_cranial_mm;
    double room_caudal_mm;
} site;

/* What counts, in this order; less is better. */
typedef struct merit {
    long devices;
    long bare;     /* short stretches of vein between devices */
    long wider;    /* tenths */
    long beyond;   /* tenths */
    long oversize; /* hundredths */
} merit;

typedef struct trial {
    const bl_plan_options *options;
    const bl_stock_device *stock;
    size_t stock_count;
    site sites[2];
    size_t site_count;
    int letting; /* 1: limit, 2: order too, 3: step too */
    long left[16];
    bool found;
    merit best;
    size_t best_picks[2][FOUND_MOST];
    double best_from[2][FOUND_MOST];
    size_t best_count[2];
    bool best_elsewhere; /* a last device does not fit where it just lies in
                            the room that there is */
    bool elsewhere[2];
    long moved; /* so far from there */
    size_t picks[2][FOUND_MOST];
    double from[2][FOUND_MOST];
    size_t count[2];
} trial;

static double reference_at(double x) {
    double part = (x - one.first_mm) / (one.last_mm - one.first_mm);
    part = fmin(fmax(part, 0.0), 1.0);
    return one.wide_mm + part * (one.narrow_mm - one.wide_mm);
}

/* Of what is traced. */
static double mean_over(double from, double to) {
    from = fmax(from, one.first_mm);
    to = fmin(to, one.last_mm);
    return 0.5 * (reference_at(from) + reference_at(to));
}

static long covers(const bl_stock_device *of) {
    double length = of->length_mm * (1.0 - of->foreshortening_pct / 100.0);
    return (long)floor(10.0 * length + 1e-6);
}

static bool is_less(const merit *a, const merit *b) {
    const long left[] = {a->devices, a->bare, a->wider, a->beyond, a->oversize};
    const long right[] = {b->devices, b->bare, b->wider, b->beyond,
                          b->oversize};
    for (size_t i = 0; i < 5; i++) {
        if (left[i] != right[i]) {
            return left[i] < right[i];
        }
    }
    return false;
}

/* The first diameter that is wide enough, of what is in stock. */
static double first_diameter(const trial *of, double wanted) {
    double first = (double)INFINITY;
    for (size_t i = 0; i < of->stock_count; i++) {
        const bl_stock_device *one_of = &of->stock[i];
        if (!(one_of->counted && one_of->count == 0) &&
            one_of->diameter_mm > wanted - 0.05 + 1e-6) {
            first = fmin(first, one_of->diameter_mm);
        }
    }
    return first;
}

/* A device that fits adds to the sum. */
static bool fits(const trial *of, double diameter, double from, double to,
                 merit *sum) {
    double wanted = mean_over(from, to);
    double oversize = diameter - wanted;
    double wider = diameter - first_diameter(of, wanted);
    if (oversize < -0.05 + 1e-6 || wider > of->options->step_mm + 1e-6) {
        return false;
    }
    if (of->letting < 1 &&
        100.0 * oversize / wanted > of->options->oversize_limit_pct + 1e-6) {
        return false; /* never with NaN */
    }
    sum->wider += lround(10.0 * wider);
    sum->oversize += lround(100.0 * fmax(oversize, 0.0));
    return true;
}

static bool may_follow(const trial *of, const site *on, double before,
                       double diameter) {
    bool tapers = reference_at(on->from_mm) >= reference_at(on->to_mm) - 0.05;
    if (of->letting < 2 && tapers && diameter > before + 1e-9) {
        return false;
    }
    return of->letting >= 3 ||
           fabs(diameter - before) <= of->options->step_mm + 1e-6;
}

static void lay(trial *of, size_t s, long at, merit sum);

/* All is covered. */
static void weigh(trial *of, merit sum) {
    if (!of->found || is_less(&sum, &of->best)) {
        of->found = true;
        of->best = sum;
        memcpy(of->best_picks, of->picks, sizeof of->picks);
        memcpy(of->best_from, of->from, sizeof of->from);
        memcpy(of->best_count, of->count, sizeof of->count);
        of->best_elsewhere = of->elsewhere[0] || of->elsewhere[1];
    }
}

/* Whether the device before the last covers nothing that neither the last,
 * which begins there, nor the one before it does. */
static bool leaves_nothing(const trial *of, size_t s, double from) {
    size_t k = of->count[s];
    double begins = k > 0 ? of->from[s][k - 1] : -(double)INFINITY;
    if (k > 1) {
        const bl_stock_device *second = &of->stock[of->picks[s][k - 2]];
        double end = of->from[s][k - 2] + (double)covers(second) / 10.0;
        begins = fmax(begins, end);
    }
    return from < begins + 0.05;
}

/* Every place of the last device, of which this is how far it is moved back,
 * tenths: of those where it fits and leaves something to the device before it,
 * the one with the least past the room that there is, then the least moved.
 * -1: none. */
static long best_back(trial *of, size_t s, long at, size_t pick) {
    const site *on = &of->sites[s];
    const bl_stock_device *device = &of->stock[pick];
    size_t k = of->count[s];
    long beyond = at + covers(device) -
                  (long)ceil(10.0 * (on->to_mm - on->from_mm) - 1e-6);
    long room = (long)floor(10.0 * on->room_caudal_mm + 1e-6);
    long most = k > 0 ? at : (long)floor(10.0 * on->room_cranial_mm + 1e-6);
    long best = -1;
    long least = 0;
    for (long back = 0; back <= beyond && back <= most; back++) {
        double from = on->from_mm + (double)(at - back) / 10.0;
        long past = beyond - back > room ? beyond - back - room : 0;
        merit unused = {0};
        bool within = back > 0 && leaves_nothing(of, s, from);
        if ((best < 0 || past < least) && !within &&
            fits(of, device->diameter_mm, from,
                 from + (double)covers(device) / 10.0, &unused)) {
            best = back;
            least = past;
        }
    }
    long wanted = beyond - room;
    wanted = wanted < 0 ? 0 : wanted > most ? most : wanted;
    of->elsewhere[s] = best != wanted;
    of->moved = labs(best - wanted);
    return best;
}

static void put(trial *of, size_t s, long at, size_t pick, merit sum) {
    const site *on = &of->sites[s];
    const bl_stock_device *device = &of->stock[pick];
    size_t k = of->count[s];
    long cover = (long)ceil(10.0 * (on->to_mm - on->from_mm) - 1e-6);
    long overlap = (long)ceil(10.0 * of->options->overlap_mm - 1e-6);
    long end = at + covers(device);
    long back = 0;
    if (k > 0 && !may_follow(of, on, of->stock[of->picks[s][k - 1]].diameter_mm,
                             device->diameter_mm)) {
        return;
    }
    if (end >= cover) {
        back = best_back(of, s, at, pick);
        if (back < 0) {
            return;
        }
        sum.beyond += end - cover;
        sum.wider += of->moved;
    } else if (covers(device) <= overlap) {
        return;
    }
    double from = on->from_mm + (double)(at - back) / 10.0;
    if (!fits(of, device->diameter_mm, from,
              from + (double)covers(device) / 10.0, &sum)) {
        return;
    }
    sum.devices++;
    of->picks[s][k] = pick;
    of->from[s][k] = from;
    of->count[s]++;
    of->left[pick]--;
    if (end < cover) {
        lay(of, s, end - overlap, sum);
    } else if (s + 1 < of->site_count) {
        lay(of, s + 1, 0, sum);
    } else {
        weigh(of, sum);
    }
    of->left[pick]++;
    of->count[s]--;
}

static void lay(trial *of, size_t s, long at, merit sum) {
    if (of->found && sum.devices >= of->best.devices) {
        return;
    }
    assert_true(of->count[s] < FOUND_MOST);
    for (size_t i = 0; i < of->stock_count; i++) {
        if (of->left[i] > 0) {
            put(of, s, at, i, sum);
        }
    }
}

/* Rules are let go one after another. */
static void try_all(trial *of, const bl_plan_options *options) {
    of->options = options;
    of->stock = bl_stock_devices(options->stock);
    of->stock_count = bl_stock_device_count(options->stock);
    of->found = false;
    for (of->letting = 0; of->letting < 4; of->letting++) {
        for (size_t i = 0; i < of->stock_count; i++) {
            of->left[i] =
                of->stock[i].counted ? (long)of->stock[i].count : 1000;
        }
        memset(of->count, 0, sizeof of->count);
        lay(of, 0, 0, (merit){0});
        if (of->found) {
            return;
        }
    }
}

/* ------------------------------------------------------------------ chance */

static void add_line(char *lines, size_t room, size_t i, dice *from,
                     bool counted) {
    static const double diameters[] = {12, 13, 14, 15, 16, 17, 18, 20};
    static const double lengths[] = {45, 50, 60, 80, 100, 120, 140, 160};
    static const double shorts[] = {0, 0, 0, 3, 7.3, 10};
    size_t used = strlen(lines);
    int size =
        snprintf(lines + used, room - used, "d%zu,%g,%g,%g", i,
                 dice_pick(from, diameters, 8), dice_pick(from, lengths, 8),
                 dice_pick(from, shorts, 6));
    used += (size_t)size;
    if (counted) {
        (void)snprintf(lines + used, room - used, ",%u\n",
                       (unsigned)(dice_next(from) % 4));
    } else {
        (void)snprintf(lines + used, room - used, "\n");
    }
}

static void random_lines(dice *from, bool counted, char *lines, size_t room) {
    size_t count = 1 + dice_next(from) % 5;
    lines[0] = '\0';
    for (size_t i = 0; i < count; i++) {
        add_line(lines, room, i, from, counted);
    }
}

static bl_stock *random_stock(dice *from, bool counted) {
    char lines[1024];
    random_lines(from, counted, lines, sizeof lines);
    return shelved(lines);
}

static bl_plan_options random_options(dice *from) {
    static const double overlaps[] = {0, 5, 12.34, 15, 20};
    static const double steps[] = {0, 1, 2, 2, 4};
    static const double limits[] = {(double)NAN, (double)NAN, 4, 10, 20};
    bl_plan_options out = bl_plan_defaults();
    out.overlap_mm = dice_pick(from, overlaps, 5);
    out.step_mm = dice_pick(from, steps, 5);
    out.oversize_limit_pct = dice_pick(from, limits, 5);
    return out;
}

/* --------------------------------------------------------------- properties */

static void check_chain(const trial *of, size_t s, const bl_chain *chain,
                        uint64_t number) {
    if (chain->device_count != of->best_count[s]) {
        fail_msg("case %llu: %zu devices, %zu are best",
                 (unsigned long long)number, chain->device_count,
                 of->best_count[s]);
    }
    for (size_t i = 0; i < chain->device_count; i++) {
        const bl_device *device = &chain->devices[i];
        const bl_stock_device *best = &of->stock[of->best_picks[s][i]];
        if (fabs(device->diameter_mm - best->diameter_mm) > 1e-9 ||
            covers(device->of) != covers(best)) {
            fail_msg("case %llu: device %zu is %s, best is %s",
                     (unsigned long long)number, i, device->of->label,
                     best->label);
        }
        check_close(device->span.from_mm, of->best_from[s][i], 1e-9, "mm");
    }
}

static void test_one_stretch(void **state) {
    (void)state;
    dice from = {20260};
    size_t found = 0;
    size_t let_go = 0;
    size_t elsewhere = 0;
    for (uint64_t i = 0; i < CASES; i++) {
        double shoulder = dice_half(&from, 8.0, 40.0);
        double length = dice_half(&from, 30.0, 200.0);
        double end = shoulder + length + dice_half(&from, 8.0, 60.0);
        double wide = dice_between(&from, 12.0, 17.5);
        double narrow = wide - dice_between(&from, -0.5, 4.0);
        made_vein(&one, 0.0, end, wide, narrow, "");
        made_narrow(&one, shoulder, shoulder + length);
        bl_stock *stock = random_stock(&from, i % 2 == 1);
        bl_plan_options options = random_options(&from);
        options.stock = stock;
        trial all = {
            .sites = {{shoulder - 5.0, shoulder + length + 5.0, shoulder - 5.0,
                       end - shoulder - length - 5.0}},
            .site_count = 1,
        };
        try_all(&all, &options);
        bl_plan *plan = made_plan(&one, &options);
        assert_true(plan->exact);
        const bl_stretch *stretch = &plan->stretches[0];
        assert_int_equal(stretch->missing == NULL, all.found);
        if (all.found) {
            check_chain(&all, 0, &stretch->chain, i);
        }
        found += all.found;
        let_go += all.found && all.letting > 0;
        elsewhere += all.found && all.best_elsewhere;
        bl_plan_free(plan);
        bl_stock_free(stock);
        made_free(&one);
    }
    /* The cases are worth something. */
    assert_in_range(found, CASES / 3, CASES - CASES / 20);
    assert_in_range(let_go, CASES / 50, CASES);
    assert_in_range(elsewhere, CASES / 50, CASES);
}

/* Appends to a counted list what a plan says it lacks: one device, or several
 * of one length. */
static void add_missing(const char *words, char *lines, size_t room) {
    static const char *const starts[] = {"cranial first of ", "a device of "};
    const char *covers_at = strstr(words, "that cover");
    const char *at = NULL;
    double covers_mm = 0.0;
    for (size_t i = 0; i < 2 && at == NULL; i++) {
        at = strstr(words, starts[i]);
    }
    assert_non_null(at);
    covers_at += strcspn(covers_at, "0123456789");
    assert_int_equal(sscanf(covers_at, "%lf", &covers_mm), 1);
    for (size_t i = 0; at != NULL; i++) {
        double diameter_mm = 0.0;
        size_t used = strlen(lines);
        at += strcspn(at, "0123456789");
        assert_int_equal(sscanf(at, "%lf", &diameter_mm), 1);
        (void)snprintf(lines + used, room - used, "more%zu,%.1f,%.1f,0,1\n", i,
                       diameter_mm, covers_mm);
        at = strstr(at, ", then ");
    }
}

/* What is said to be missing is what is missing: with it on the list there is a
 * plan. Its diameter could be the first that is wide enough where others were
 * before, so that those no longer fit; in none of these cases. */
static void test_missing_would_do(void **state) {
    (void)state;
    dice from = {5150};
    size_t asked = 0;
    size_t several = 0;
    size_t helped = 0;
    for (uint64_t i = 0; i < CASES; i++) {
        double shoulder = dice_half(&from, 16.0, 40.0);
        double length = dice_half(&from, 30.0, 400.0);
        double end = shoulder + length + dice_half(&from, 16.0, 60.0);
        double wide = dice_between(&from, 12.0, 19.0);
        made_vein(&one, 0.0, end, wide, wide - dice_between(&from, 0.0, 4.0),
                  "");
        made_narrow(&one, shoulder, shoulder + length);
        char lines[2048];
        random_lines(&from, true, lines, sizeof lines);
        bl_stock *stock = shelved(lines);
        bl_plan_options options = bl_plan_defaults();
        options.stock = stock;
        bl_plan *plan = made_plan(&one, &options);
        const char *missing = plan->stretches[0].missing;
        if (missing != NULL) {
            asked++;
            several += strstr(missing, "no one device") != NULL;
            add_missing(missing, lines, sizeof lines);
            bl_stock *fuller = shelved(lines);
            options.stock = fuller;
            bl_plan *next = made_plan(&one, &options);
            helped += next->stretches[0].missing == NULL;
            bl_plan_free(next);
            bl_stock_free(fuller);
        }
        bl_plan_free(plan);
        bl_stock_free(stock);
        made_free(&one);
    }
    assert_in_range(asked, CASES / 3, CASES);
    assert_in_range(several, CASES / 3, CASES);
    assert_int_equal(helped, asked);
}

/* Two narrowings: apart or together, from one stock. Less than 30 mm between
 * devices are covered where as many devices can. */
static merit total_of(const trial *of) {
    merit out = of->best;
    if (of->found && of->site_count == 2) {
        size_t last = of->best_count[0] - 1;
        double end = of->best_from[0][last] +
                     (double)covers(&of->stock[of->best_picks[0][last]]) / 10.0;
        double gap = of->best_from[1][0] - end;
        out.bare = gap > 0.05 - 1e-9 && gap < 30.0 - 1e-6;
    }
    for (size_t i = 0; i < of->site_count; i++) {
        out.beyond += (long)ceil(
            10.0 * (of->sites[i].to_mm - of->sites[i].from_mm) - 1e-6);
    }
    return out;
}

/* Two narrowings, a to b and c to d, in vein that ends at `end`. */
typedef struct pair {
    double a;
    double b;
    double c;
    double d;
    double end;
} pair;

static pair random_pair(dice *from) {
    pair out;
    out.a = dice_half(from, 10.0, 20.0);
    out.b = out.a + dice_half(from, 10.0, 40.0);
    out.c = out.b + dice_half(from, 30.0, 60.0);
    out.d = out.c + dice_half(from, 10.0, 40.0);
    out.end = out.d + dice_half(from, 10.0, 20.0);
    double wide = dice_between(from, 12.0, 17.5);
    made_vein(&one, 0.0, out.end, wide, wide - dice_between(from, 0.0, 2.0),
              "");
    made_narrow(&one, out.a, out.b);
    made_narrow(&one, out.c, out.d);
    return out;
}

/* Everything tried, apart and together. */
static void try_pair(const pair *of, const bl_plan_options *options,
                     trial *apart, trial *together) {
    double half_way = 0.5 * (of->c - of->b - 10.0);
    double inner = fmin(of->c - of->b - 5.0, half_way);
    *apart = (trial){
        .sites = {{of->a - 5.0, of->b + 5.0, of->a - 5.0, inner},
                  {of->c - 5.0, of->d + 5.0, inner, of->end - of->d - 5.0}},
        .site_count = 2,
    };
    *together = (trial){
        .sites = {{of->a - 5.0, of->d + 5.0, of->a - 5.0,
                   of->end - of->d - 5.0}},
        .site_count = 1,
    };
    try_all(apart, options);
    try_all(together, options);
}

static bool is_better_together(const trial *apart, const trial *together) {
    merit first = total_of(apart);
    merit second = total_of(together);
    return together->found &&
           (!apart->found ||
            (together->letting == apart->letting && is_less(&second, &first)));
}

static void check_lacks(const bl_plan *plan) {
    bool lacks = false;
    for (size_t s = 0; s < plan->stretch_count; s++) {
        lacks = lacks || plan->stretches[s].missing != NULL;
    }
    assert_true(lacks);
}

static void test_two_stretches(void **state) {
    (void)state;
    dice from = {98765};
    size_t found = 0;
    size_t together_best = 0;
    for (uint64_t i = 0; i < PAIR_CASES; i++) {
        pair of = random_pair(&from);
        bl_stock *stock = random_stock(&from, i % 3 > 0);
        bl_plan_options options = bl_plan_defaults();
        options.stock = stock;
        trial apart;
        trial together;
        try_pair(&of, &options, &apart, &together);
        bool joined = is_better_together(&apart, &together);
        /* What is let go twice is more than what is let go once; the sum of
         * two lettings is not what this search knows. */
        bool alike = !apart.found || !together.found ||
                     (apart.letting == 0 && together.letting == 0);
        bl_plan *plan = made_plan(&one, &options);
        assert_true(plan->exact);
        if (alike && (apart.found || together.found)) {
            found++;
            together_best += joined;
            assert_int_equal(plan->stretch_count, joined ? 1 : 2);
            const trial *best = joined ? &together : &apart;
            for (size_t s = 0; s < plan->stretch_count; s++) {
                check_chain(best, s, &plan->stretches[s].chain, i);
            }
        } else if (!apart.found && !together.found) {
            check_lacks(plan);
        }
        bl_plan_free(plan);
        bl_stock_free(stock);
        made_free(&one);
    }
    assert_in_range(found, PAIR_CASES / 3, PAIR_CASES);
    assert_in_range(together_best, PAIR_CASES / 20, 2 * PAIR_CASES / 3);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_one_stretch),
        cmocka_unit_test(test_two_stretches),
        cmocka_unit_test(test_missing_would_do),
    };
    return cmocka_run_group_tests_name("plan properties", tests, NULL, NULL);
}
