/*
 * inflows.c - candidate inflow veins whose every figure is made by hand.
 */
#include "support/inflows.h"

#include "support/vein.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bl_assessment inflows_made[INFLOWS_MANY];
bl_source inflows_sources[INFLOWS_MANY];
bl_inflow_input inflows_inputs[INFLOWS_MANY];
static bl_study *plain; /* without labels */

int inflows_set_up(void **state) {
    (void)state;
    plain = vein_study_of_text("frame,position_mm,x_mm,y_mm\n"
                               "0,0,0,0\n0,0,9,0\n0,0,0,9\n");
    return 0;
}

int inflows_tear_down(void **state) {
    (void)state;
    bl_study_free(plain);
    return 0;
}

bl_inflow_figure inflows_figure(double value, double half) {
    bool known = !isnan(value);
    return (bl_inflow_figure){
        value,
        {value - half, value + half},
        known ? NULL : "it is not known here",
    };
}

const double inflows_halves[BL_INFLOW_MEASURES] = {2.0, 1.0, 3.0, 0.1};

void inflows_set(size_t i, double least, double mean, double narrowed,
                 double flow) {
    const double values[] = {least, mean, narrowed, flow};
    inflows_made[i] = (bl_assessment){.reference_from = BL_FROM_GIVEN};
    inflows_made[i].options.inflow_mm = 50.0;
    inflows_made[i].inflow =
        (bl_inflow_stretch){.span = {40.0, 90.0}, .frames = 51};
    for (size_t m = 0; m < BL_INFLOW_MEASURES; m++) {
        inflows_made[i].inflow.figures[m] =
            inflows_figure(values[m], inflows_halves[m]);
    }
    inflows_sources[i] = (bl_source){.file = "vein.csv",
                                     .crc32 = (uint32_t)i + 1,
                                     .bytes = 1,
                                     .options = ""};
    inflows_inputs[i] =
        (bl_inflow_input){plain, &inflows_made[i], &inflows_sources[i], NULL};
}

bl_inflow *inflows_compare(size_t count) {
    bl_inflow *out = NULL;
    bl_message message = {.text = ""};
    if (bl_inflow_new(inflows_inputs, count, &out, &message) != BL_OK) {
        fail_msg("%s", message.text);
    }
    assert_int_equal(out->candidate_count, count);
    return out;
}

void inflows_check(size_t count, const char *letters, bool named,
                   const char *why) {
    bl_inflow *of = inflows_compare(count);
    for (size_t i = 0; i < count; i++) {
        assert_int_equal(of->candidates[i].letter, letters[i]);
    }
    assert_int_equal(of->named, named);
    if (strstr(of->why, why) == NULL) {
        fail_msg("'%s' is not in '%s'", why, of->why);
    }
    bl_inflow_free(of);
}

bl_study *inflows_study(const char *notes) {
    char table[256];
    (void)snprintf(table, sizeof table,
                   "%sframe,position_mm,x_mm,y_mm\n0,0,0,0\n0,0,9,0\n0,0,0,9\n",
                   notes);
    return vein_study_of_text(table);
}

bool inflows_notes(const bl_inflow *of, size_t i, const char *words) {
    bool any = false;
    for (size_t k = 0; k < of->candidates[i].note_count; k++) {
        any = any || strstr(of->candidates[i].notes[k], words) != NULL;
    }
    return any;
}

bool inflows_warns(const bl_inflow *of, const char *words) {
    bool any = false;
    for (size_t k = 0; k < of->warning_count; k++) {
        any = any || strstr(of->warnings[k], words) != NULL;
    }
    return any;
}
