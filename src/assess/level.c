/*
 * level.c - what the threshold and the shoulder have to do with the reference
 * that a search finds.
 *
 * Healthy vein is what lies at or below the shoulder level, outside narrowings
 * that reach the threshold, so other levels may find another reference, or
 * none. Where the usual ones were changed, they are tried too.
 */
#include "assess/workings.h"

#include "base/message.h"
#include "base/number.h"

void level_words(text *out, const bl_assess_options *of) {
    bl_assess_options usual = bl_assess_defaults();
    const struct {
        const char *name;
        double pct;
        double usual_pct;
    } levels[] = {
        {"--threshold ", of->threshold_pct, usual.threshold_pct},
        {"--shoulder ", of->shoulder_pct, usual.shoulder_pct},
    };
    const char *before = "";
    for (size_t i = 0; i < 2; i++) {
        if (number_differ(levels[i].pct, levels[i].usual_pct)) {
            text_add(out, before);
            text_add(out, levels[i].name);
            text_short(out, levels[i].pct, 2);
            before = " and ";
        }
    }
}

void level_usual_words(text *out) {
    bl_assess_options usual = bl_assess_defaults();
    text_add(out, "the usual threshold of ");
    text_short(out, usual.threshold_pct, 2);
    text_add(out, " % and shoulder of ");
    text_short(out, usual.shoulder_pct, 2);
    text_add(out, " %");
}

/* What the usual levels find, if they find something. */
static bl_status search_usual(const workings *work, arena *scratch,
                              found_reference *out) {
    bl_assess_options usual = bl_assess_defaults();
    bl_message ignored;
    workings own = *work;
    own.owner = scratch;
    own.message = &ignored;
    own.options.threshold_pct = usual.threshold_pct;
    own.options.shoulder_pct = usual.shoulder_pct;
    own.options.explain = false;
    bl_status status = finder_search(&own, out);
    if (status == BL_ERR_REFERENCE) {
        *out = (found_reference){.settled = true};
    }
    return status == BL_ERR_REFERENCE ? BL_OK : status;
}

/* The message of a search that failed, with what would find something. */
static bl_status say_usual(const workings *work) {
    bl_message before = *work->message;
    text words = {0};
    text_add(&words, before.text);
    text_add(&words, "; or leave ");
    level_words(&words, &work->options);
    text_add(&words, " off: under ");
    level_usual_words(&words);
    text_add(&words, " healthy vein is found");
    return text_message(&words, before.status, work->message);
}

bl_status level_compare(const workings *work, bl_status searched,
                        found_reference *found) {
    bl_assess_options usual = bl_assess_defaults();
    bool changed =
        number_differ(work->options.threshold_pct, usual.threshold_pct) ||
        number_differ(work->options.shoulder_pct, usual.shoulder_pct);
    if (!changed || (searched != BL_OK && searched != BL_ERR_REFERENCE)) {
        return searched;
    }
    arena scratch = {0};
    found_reference other;
    bl_status status = search_usual(work, &scratch, &other);
    arena_free(&scratch);
    bool any = status == BL_OK && other.chosen.count > 0;
    if (status == BL_OK && searched != BL_OK) {
        status = any && work->message != NULL ? say_usual(work) : searched;
    } else if (any && !finder_same(&found->chosen, &other.chosen)) {
        found->usual = other.chosen;
    }
    return status;
}
