/*
 * mirror_properties.c - what must not change a plan: the vein drawn the other
 * way, and drawn further on.
 */
#include "support/check.h"
#include "support/shelved.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static made one;
static made other;

static void check_mirrored(const bl_plan *a, const bl_plan *b, double sum_mm) {
    assert_int_equal(a->stretch_count, b->stretch_count);
    assert_int_equal(a->alternative_count, b->alternative_count);
    assert_int_equal(a->warning_count, b->warning_count);
    for (size_t i = 0; i < a->stretch_count; i++) {
        const bl_chain *x = &a->stretches[i].chain;
        const bl_chain *y = &b->stretches[b->stretch_count - 1 - i].chain;
        assert_int_equal(x->device_count, y->device_count);
        check_close(x->beyond_mm, y->beyond_mm, 1e-9, "mm");
        for (size_t k = 0; k < x->device_count; k++) {
            const bl_device *p = &x->devices[k];
            const bl_device *q = &y->devices[y->device_count - 1 - k];
            assert_string_equal(p->of->label, q->of->label);
            check_close(p->span.from_mm, sum_mm - q->span.to_mm, 1e-9, "mm");
            check_close(p->span.to_mm, sum_mm - q->span.from_mm, 1e-9, "mm");
            check_close(p->oversize_mm, q->oversize_mm, 1e-9, "mm");
            check_close(p->oversize_cranial_mm, q->oversize_cranial_mm, 1e-9,
                        "mm");
        }
    }
}

static void check_moved(const bl_plan *a, const bl_plan *b, double by_mm) {
    assert_int_equal(a->stretch_count, b->stretch_count);
    assert_int_equal(a->alternative_count, b->alternative_count);
    for (size_t i = 0; i < a->stretch_count; i++) {
        const bl_stretch *x = &a->stretches[i];
        const bl_stretch *y = &b->stretches[i];
        check_close(x->landings[0].position_mm + by_mm,
                    y->landings[0].position_mm, 1e-9, "mm");
        assert_int_equal(x->chain.device_count, y->chain.device_count);
        for (size_t k = 0; k < x->chain.device_count; k++) {
            assert_string_equal(x->chain.devices[k].of->label,
                                y->chain.devices[k].of->label);
            check_close(x->chain.devices[k].span.from_mm + by_mm,
                        y->chain.devices[k].span.from_mm, 1e-9, "mm");
        }
    }
}

/* What ends, marks and the user's chain are told of. */
static void check_landings_mirrored(const bl_stretch *x, const bl_stretch *y,
                                    double sum_mm) {
    check_close(x->healthy_between_mm, y->healthy_between_mm, 1e-9, "mm");
    for (size_t i = 0; i < 2; i++) {
        const bl_landing *p = &x->landings[i];
        const bl_landing *q = &y->landings[1 - i];
        assert_int_equal(p->where, q->where);
        check_close(p->position_mm, sum_mm - q->position_mm, 1e-9, "mm");
        assert_int_equal(p->healthy, q->healthy);
        assert_int_equal(p->ends_at, q->ends_at);
        assert_int_equal(p->crosses == NULL, q->crosses == NULL);
        assert_int_equal(p->near == NULL, q->near == NULL);
        assert_int_equal(p->beyond == NULL, q->beyond == NULL);
    }
}

static void check_wish_mirrored(const bl_plan *a, const bl_plan *b,
                                double sum_mm) {
    const bl_chain *x = &a->wish;
    const bl_chain *y = &b->wish;
    assert_int_equal(a->wish_finding_count, b->wish_finding_count);
    assert_int_equal(x->device_count, y->device_count);
    check_close(x->beyond_mm, y->beyond_mm, 1e-9, "mm");
    for (size_t i = 0; i < x->device_count; i++) {
        const bl_device *p = &x->devices[i];
        const bl_device *q = &y->devices[x->device_count - 1 - i];
        check_close(p->span.from_mm, sum_mm - q->span.to_mm, 1e-9, "mm");
        check_close(p->diameter_mm, q->diameter_mm, 1e-9, "mm");
        if (!isnan(p->oversize_mm) || !isnan(q->oversize_mm)) {
            check_close(p->oversize_mm, q->oversize_mm, 1e-9, "mm");
        }
    }
}

static void check_doubts_mirrored(const bl_plan *a, const bl_plan *b) {
    assert_int_equal(a->doubt_count, b->doubt_count);
    assert_int_equal(a->change_count, b->change_count);
    for (size_t i = 0; i < a->change_count; i++) {
        check_close(a->changes[i].factor, b->changes[i].factor, 1e-12, "");
        assert_int_equal(a->changes[i].device_count,
                         b->changes[i].device_count);
    }
    for (size_t i = 0; i < a->alternative_count; i++) {
        assert_string_equal(a->alternatives[i].why_not,
                            b->alternatives[i].why_not);
        assert_int_equal(a->alternatives[i].finding_count,
                         b->alternatives[i].finding_count);
    }
}

static const char *const shelf_lines =
    "a,18,60,0\nb,16,60,4\nc,16,80,0\nd,14,60,0\ne,14,100,0\nf,12,120,0\n";

#define WISHES 2

/* A vein with two narrowings, marks, a gap, and a chain that a user wants. */
typedef struct drawn {
    double end_mm;
    double wide_mm;
    double narrow_mm;
    double narrowed_mm[4];
    double marks_mm[3]; /* iliocaval, inguinal, femoral */
    double gap_mm[2];
    bl_device_wish wishes[WISHES];
} drawn;

static drawn random_drawn(dice *from) {
    drawn out = {0};
    double a = dice_half(from, 12.0, 40.0);
    double b = a + dice_half(from, 20.0, 90.0);
    double c = b + dice_half(from, 30.0, 60.0);
    double d = c + dice_half(from, 20.0, 60.0);
    out = (drawn){
        .end_mm = d + dice_half(from, 12.0, 40.0),
        .wide_mm = dice_between(from, 14.0, 17.0),
        .narrowed_mm = {a, b, c, d},
        .gap_mm = {dice_half(from, b, c - 8.0), 0.0},
    };
    out.narrow_mm = out.wide_mm - dice_between(from, 0.0, 4.0);
    out.marks_mm[0] = dice_half(from, 1.0, a + 10.0);
    out.marks_mm[1] = dice_half(from, out.marks_mm[0], out.end_mm - 4.0);
    out.marks_mm[2] = dice_half(from, out.marks_mm[1], out.end_mm);
    out.gap_mm[1] = out.gap_mm[0] + dice_half(from, 5.5, 8.0);
    for (size_t i = 0; i < WISHES; i++) {
        static const double lengths[] = {60, 80, 90};
        static const double diameters[] = {12, 14, 16};
        out.wishes[i] = (bl_device_wish){
            .diameter_mm = dice_pick(from, diameters, 3),
            .length_mm = dice_pick(from, lengths, 3),
            .from_mm = dice_half(from, -5.0, out.end_mm - 20.0),
        };
    }
    return out;
}

/* Turned about half of end_mm where mirrored, moved by by_mm. */
static double turned(const drawn *of, bool mirrored, double by_mm, double x) {
    return by_mm + (mirrored ? of->end_mm - x : x);
}

static bl_plan *plan_drawn(made *into, const drawn *of, bool mirrored,
                           double by_mm, const bl_stock *stock, bool marks) {
    char notes[256] = "";
    const double *at = of->marks_mm;
    (void)snprintf(notes, sizeof notes, "# travel = %s\n",
                   mirrored ? "cranial" : "caudal");
    if (marks) {
        size_t used = strlen(notes);
        (void)snprintf(notes + used, sizeof notes - used,
                       "# mark = iliocaval_confluence @ %g\n"
                       "# mark = inguinal_ligament @ %g\n"
                       "# mark = femoral_confluence @ %g\n",
                       turned(of, mirrored, by_mm, at[0]),
                       turned(of, mirrored, by_mm, at[1]),
                       turned(of, mirrored, by_mm, at[2]));
    }
    made_vein(into, by_mm, of->end_mm + by_mm,
              mirrored ? of->narrow_mm : of->wide_mm,
              mirrored ? of->wide_mm : of->narrow_mm, notes);
    for (size_t i = 0; i < 2; i++) {
        size_t k = mirrored ? 1 - i : i;
        double first = turned(of, mirrored, by_mm, of->narrowed_mm[2 * k]);
        double last = turned(of, mirrored, by_mm, of->narrowed_mm[2 * k + 1]);
        made_narrow(into, fmin(first, last), fmax(first, last));
    }
    bl_plan_options options = bl_plan_defaults();
    bl_device_wish wishes[WISHES];
    options.stock = stock;
    if (marks) {
        double first = turned(of, mirrored, by_mm, of->gap_mm[0]);
        double last = turned(of, mirrored, by_mm, of->gap_mm[1]);
        made_gap(into, fmin(first, last), fmax(first, last));
        for (size_t i = 0; i < WISHES; i++) {
            wishes[i] = of->wishes[i];
            double from = turned(of, mirrored, by_mm, wishes[i].from_mm);
            /* What shortens, 16 x 60 mm by 4 %, begins at its other end. */
            bool shortens = fabs(wishes[i].diameter_mm - 16.0) < 1e-9 &&
                            fabs(wishes[i].length_mm - 60.0) < 1e-9;
            double covers = wishes[i].length_mm * (shortens ? 0.96 : 1.0);
            wishes[i].from_mm = mirrored ? from - covers : from;
        }
        options.wishes = wishes;
        options.wish_count = WISHES;
        into->of.options.speed_cv_pct = 10.0;
    }
    return made_plan(into, &options);
}

/* Half of them plain, half with marks, a gap, wishes and an error of speed. */
static void test_mirror_and_shift(void **state) {
    (void)state;
    bl_stock *stock = shelved(shelf_lines);
    dice from = {4711};
    size_t crossing = 0;
    size_t found = 0;
    for (int i = 0; i < 120; i++) {
        bool marks = i % 2 == 1;
        drawn of = random_drawn(&from);
        bl_plan *plan = plan_drawn(&one, &of, false, 0.0, stock, marks);
        bl_plan *mirrored = plan_drawn(&other, &of, true, 0.0, stock, marks);
        check_mirrored(plan, mirrored, of.end_mm);
        check_doubts_mirrored(plan, mirrored);
        for (size_t k = 0; k < plan->stretch_count; k++) {
            check_landings_mirrored(
                &plan->stretches[k],
                &mirrored->stretches[plan->stretch_count - 1 - k], of.end_mm);
            crossing +=
                plan->stretches[k].landings[0].ends_at == BL_BORDER_CONFLUENCE;
        }
        check_wish_mirrored(plan, mirrored, of.end_mm);
        found += plan->wish_finding_count;
        bl_plan_free(mirrored);
        made_free(&other);
        bl_plan *moved = plan_drawn(&other, &of, false, 512.0, stock, marks);
        check_moved(plan, moved, 512.0);
        check_doubts_mirrored(plan, moved);
        assert_int_equal(plan->wish_finding_count, moved->wish_finding_count);
        bl_plan_free(moved);
        made_free(&other);
        bl_plan_free(plan);
        made_free(&one);
    }
    /* The cases are worth something. */
    assert_in_range(crossing, 10, 200);
    assert_in_range(found, 60, 1200);
    bl_stock_free(stock);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_mirror_and_shift),
    };
    return cmocka_run_group_tests_name("plan mirrored", tests, NULL, NULL);
}
