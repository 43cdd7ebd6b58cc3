/*
 * description.c - reads a vessel's description.
 *
 * A line is a statement: its first word says what, then come a name and a
 * number for every quantity ("half-length 16 mm"), in any order after the
 * first; units, commas and colons are there for the reader. STATEMENTS holds
 * the whole grammar: parsing, defaults and error messages come from it.
 */
#include "vessel.h"

#include <stdlib.h>
#include <string.h>

#define LINE_BYTES 512
#define FIELDS 9
#define NEEDED ((double)INFINITY)
#define ABSENT ((double)NAN)

typedef enum subject {
    SUBJECT_CASE,
    SUBJECT_SIDE,
    SUBJECT_STAGE,
    SUBJECT_READER,
    SUBJECT_TRAVEL,
    SUBJECT_LENGTH,
    SUBJECT_SPEED,
    SUBJECT_FRAME,
    SUBJECT_POINTS,
    SUBJECT_SEED,
    SUBJECT_MARK,
    SUBJECT_CALIBRE,
    SUBJECT_FLATTENED,
    SUBJECT_SCARRED,
    SUBJECT_BREATHING,
    SUBJECT_NOISE,
    SUBJECT_CATHETER,
    SUBJECT_REFERENCE,
    SUBJECT_MISSING,
    SUBJECT_CROSSING,
    SUBJECT_FEW,
    SUBJECT_STRAY,
    SUBJECT_BEGINS,
    SUBJECT_DEVICE,
    SUBJECT_NOMINAL,
    SUBJECT_APPOSED,
    SUBJECT_TISSUE,
    SUBJECT_UNAPPOSED
} subject;

typedef struct field {
    const char *name;
    double fallback; /* NEEDED: must be given */
} field;

typedef struct statement {
    const char *word;
    subject about;
    const char *last; /* a word that may end it, or NULL */
    field fields[FIELDS];
} statement;

static const statement STATEMENTS[] = {
    {"case", SUBJECT_CASE, NULL, {{0}}},
    {"side", SUBJECT_SIDE, NULL, {{0}}},
    {"stage", SUBJECT_STAGE, NULL, {{0}}},
    {"reader", SUBJECT_READER, NULL, {{0}}},
    {"travel", SUBJECT_TRAVEL, NULL, {{0}}},
    {"length", SUBJECT_LENGTH, NULL, {{"", NEEDED}}},
    {"speed", SUBJECT_SPEED, NULL, {{"", NEEDED}}},
    {"frame", SUBJECT_FRAME, NULL, {{"rate", NEEDED}}},
    {"points", SUBJECT_POINTS, NULL, {{"", NEEDED}}},
    {"seed", SUBJECT_SEED, NULL, {{"", NEEDED}}},
    {"mark", SUBJECT_MARK, NULL, {{"at", NEEDED}}},
    {"calibre",
     SUBJECT_CALIBRE,
     NULL,
     {{"at", NEEDED}, {"diameter", NEEDED}, {"aspect", 1.0}, {"axis", 0.0}}},
    {"flattened",
     SUBJECT_FLATTENED,
     NULL,
     {{"at", NEEDED},
      {"half-length", NEEDED},
      {"area", ABSENT},
      {"aspect", ABSENT},
      {"perimeter kept", 100.0},
      {"axis", ABSENT},
      {"area left", ABSENT}}},
    {"scarred",
     SUBJECT_SCARRED,
     NULL,
     {{"from", NEEDED},
      {"to", NEEDED},
      {"edge", NEEDED},
      {"area left", NEEDED},
      {"irregular", 0.0},
      {"uneven", 0.0},
      {"every", 20.0},
      {"aspect", ABSENT}}},
    {"breathing", SUBJECT_BREATHING, NULL, {{"", NEEDED}, {"every", NEEDED}}},
    {"noise", SUBJECT_NOISE, NULL, {{"", NEEDED}, {"area", 0.0}}},
    {"catheter",
     SUBJECT_CATHETER,
     NULL,
     {{"", NEEDED}, {"off centre turning every", NEEDED}}},
    {"reference", SUBJECT_REFERENCE, "noted", {{"", NEEDED}, {"to", NEEDED}}},
    {"missing", SUBJECT_MISSING, NULL, {{"frames", NEEDED}, {"to", NEEDED}}},
    {"crossing", SUBJECT_CROSSING, NULL, {{"frame", NEEDED}}},
    {"few", SUBJECT_FEW, NULL, {{"points frame", NEEDED}}},
    {"stray", SUBJECT_STRAY, NULL, {{"frame", NEEDED}, {"area", 200.0}}},
    {"begins", SUBJECT_BEGINS, NULL, {{"at", NEEDED}}},
    {"device",
     SUBJECT_DEVICE,
     NULL,
     {{"at", NEEDED}, {"diameter", NEEDED}, {"aspect", 1.0}, {"axis", 0.0}}},
    {"nominal",
     SUBJECT_NOMINAL,
     NULL,
     {{"diameter", NEEDED}, {"length", NEEDED}, {"from", NEEDED}}},
    {"apposed", SUBJECT_APPOSED, NULL, {{"", NEEDED}}},
    {"tissue",
     SUBJECT_TISSUE,
     NULL,
     {{"from", NEEDED}, {"to", NEEDED}, {"edge", NEEDED}, {"share", NEEDED}}},
    {"unapposed",
     SUBJECT_UNAPPOSED,
     NULL,
     {{"from", NEEDED},
      {"to", NEEDED},
      {"edge", NEEDED},
      {"largest", NEEDED},
      {"middle", NEEDED},
      {"arc", NEEDED}}},
};

#define STATEMENT_COUNT (sizeof STATEMENTS / sizeof STATEMENTS[0])

static const char *const UNITS[] = {"mm", "mm2", "mm/s", "/s", "s", "%", "deg"};

/* Where a line came from, for what is said about it. */
typedef struct place {
    const char *path;
    long line;
} place;

static bool place_refuse(const place *at, const char *what, const char *word) {
    fprintf(stderr, "vessel: %s:%ld: %s%s%s\n", at->path, at->line, what,
            word[0] != '\0' ? ": " : "", word);
    return false;
}

static bool word_is_unit(const char *word) {
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++) {
        if (strcmp(word, UNITS[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Cuts the next word out of *rest; NULL at the end. */
static char *word_next(char **rest) {
    char *start = *rest + strspn(*rest, " \t,:\r\n");
    if (*start == '\0') {
        return NULL;
    }
    char *end = start + strcspn(start, " \t,:\r\n");
    *rest = end;
    if (*end != '\0') {
        *end = '\0';
        *rest = end + 1;
    }
    return start;
}

/* No locale is ever set in this program, so strtod reads a decimal point. */
static bool word_is_number(const char *word, double *value) {
    char *end = NULL;
    *value = strtod(word, &end);
    return end != word && *end == '\0' && isfinite(*value);
}

static bool field_set(const statement *of, const char *name, double value,
                      double values[FIELDS], const place *at) {
    for (size_t i = 0; i < FIELDS && of->fields[i].name != NULL; i++) {
        if (strcmp(of->fields[i].name, name) == 0) {
            values[i] = value;
            return true;
        }
    }
    return place_refuse(at, "a number that means nothing here", name);
}

/* Reads "NAME NUMBER UNIT, ..." into values; *ended tells the last word. */
static bool fields_read(const statement *of, char *rest, double values[FIELDS],
                        bool *ended, const place *at) {
    char name[LINE_BYTES] = "";
    bool after_number = false;
    *ended = false;
    for (size_t i = 0; i < FIELDS; i++) {
        values[i] = of->fields[i].name != NULL ? of->fields[i].fallback : 0.0;
    }
    for (char *word; (word = word_next(&rest)) != NULL;) {
        double value = 0.0;
        if (word_is_number(word, &value)) {
            if (!field_set(of, name, value, values, at)) {
                return false;
            }
            name[0] = '\0';
            after_number = true;
        } else if (after_number && word_is_unit(word)) {
            after_number = false;
        } else {
            /* Both pieces come from one line of LINE_BYTES, so they fit. */
            size_t used = strlen(name);
            snprintf(name + used, sizeof name - used, "%s%s",
                     used > 0 ? " " : "", word);
            after_number = false;
        }
    }
    if (name[0] != '\0') {
        *ended = of->last != NULL && strcmp(name, of->last) == 0;
        if (!*ended) {
            return place_refuse(at, "words without a number", name);
        }
    }
    for (size_t i = 0; i < FIELDS && of->fields[i].name != NULL; i++) {
        if (isinf(values[i])) {
            return place_refuse(
                at, "a number is missing after",
                of->fields[i].name[0] != '\0' ? of->fields[i].name : of->word);
        }
    }
    return true;
}

static bool text_read(char out[VESSEL_TEXT], const char *rest,
                      const place *at) {
    size_t size = strcspn(rest, "\r\n");
    if (size == 0 || size >= VESSEL_TEXT) {
        return place_refuse(at, "1 to 127 letters are wanted", "");
    }
    memcpy(out, rest, size);
    out[size] = '\0';
    return true;
}

#define TAKE(array, count, limit)                                              \
    ((count) < (limit) ? &(array)[(count)++] : NULL)

static bool lesion_take(vessel *into, subject about, const double *v) {
    if (about == SUBJECT_CALIBRE) {
        calibre *c = TAKE(into->calibres, into->calibre_count, VESSEL_CALIBRES);
        if (c != NULL) {
            *c = (calibre){v[0], v[1], v[2], v[3]};
        }
        return c != NULL;
    }
    if (about == SUBJECT_FLATTENED) {
        flattening *f =
            TAKE(into->flattenings, into->flattening_count, VESSEL_LESIONS);
        if (f != NULL) {
            *f = (flattening){v[0], v[1], v[2], v[3], v[4], v[5], v[6], 0.0};
        }
        return f != NULL;
    }
    scar *s = TAKE(into->scars, into->scar_count, VESSEL_LESIONS);
    if (s != NULL) {
        *s = (scar){v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7]};
    }
    return s != NULL;
}

static bool implant_take(vessel *into, subject about, const double *v) {
    if (about == SUBJECT_DEVICE) {
        calibre *c = TAKE(into->devices, into->device_count, VESSEL_CALIBRES);
        if (c != NULL) {
            *c = (calibre){v[0], v[1], v[2], v[3]};
        }
        return c != NULL;
    }
    if (about == SUBJECT_NOMINAL) {
        nominal *n = TAKE(into->nominals, into->nominal_count, VESSEL_NOMINALS);
        if (n != NULL) {
            *n = (nominal){v[0], v[1], v[2]};
        }
        return n != NULL;
    }
    if (about == SUBJECT_TISSUE) {
        tissue *t = TAKE(into->tissues, into->tissue_count, VESSEL_LESIONS);
        if (t != NULL) {
            *t = (tissue){v[0], v[1], v[2], v[3]};
        }
        return t != NULL;
    }
    standoff *s = TAKE(into->standoffs, into->standoff_count, VESSEL_LESIONS);
    if (s != NULL) {
        *s = (standoff){v[0], v[1], v[2], v[3], v[4], v[5]};
    }
    return s != NULL;
}

static bool list_take(vessel *into, subject about, const double *v, bool ended,
                      const char *name) {
    if (about == SUBJECT_MARK) {
        mark *m = TAKE(into->marks, into->mark_count, VESSEL_MARKS);
        if (m != NULL) {
            snprintf(m->name, sizeof m->name, "%.100s", name);
            m->at_mm = v[0];
        }
        return m != NULL;
    }
    if (about == SUBJECT_REFERENCE) {
        stretch *r =
            TAKE(into->references, into->reference_count, VESSEL_REFERENCES);
        if (r != NULL) {
            *r = (stretch){v[0], v[1], ended};
        }
        return r != NULL;
    }
    if (about == SUBJECT_MISSING) {
        frames *f = TAKE(into->missing, into->missing_count, VESSEL_FRAMES);
        if (f != NULL) {
            *f = (frames){llround(v[0]), llround(v[1])};
        }
        return f != NULL;
    }
    bad_frame *b = TAKE(into->bad, into->bad_count, VESSEL_FRAMES);
    if (b != NULL) {
        *b = (bad_frame){llround(v[0]),
                         about == SUBJECT_CROSSING ? BAD_CROSSING
                         : about == SUBJECT_FEW    ? BAD_FEW
                                                   : BAD_STRAY,
                         v[1]};
    }
    return b != NULL;
}

static bool values_take(vessel *into, subject about, const double *v,
                        bool ended, const char *name) {
    switch (about) {
    case SUBJECT_LENGTH:
        into->length_mm = v[0];
        return true;
    case SUBJECT_SPEED:
        into->speed_mm_per_s = v[0];
        return true;
    case SUBJECT_FRAME:
        into->frame_rate_hz = v[0];
        return true;
    case SUBJECT_POINTS:
        into->points = llround(v[0]);
        return true;
    case SUBJECT_SEED:
        into->seed = (uint64_t)llround(fabs(v[0]));
        return true;
    case SUBJECT_BREATHING:
        into->breathing_pct = v[0];
        into->breath_s = v[1];
        return true;
    case SUBJECT_NOISE:
        into->noise_mm = v[0];
        into->area_pct = v[1];
        return true;
    case SUBJECT_CATHETER:
        into->offset = v[0];
        into->turn_mm = v[1];
        return true;
    case SUBJECT_CALIBRE:
    case SUBJECT_FLATTENED:
    case SUBJECT_SCARRED:
        return lesion_take(into, about, v);
    case SUBJECT_BEGINS:
        into->begins_mm = v[0];
        return true;
    case SUBJECT_APPOSED:
        into->apposed_mm = v[0];
        return true;
    case SUBJECT_DEVICE:
    case SUBJECT_NOMINAL:
    case SUBJECT_TISSUE:
    case SUBJECT_UNAPPOSED:
        return implant_take(into, about, v);
    case SUBJECT_CASE:
    case SUBJECT_SIDE:
    case SUBJECT_STAGE:
    case SUBJECT_READER:
    case SUBJECT_TRAVEL:
    case SUBJECT_MARK:
    case SUBJECT_REFERENCE:
    case SUBJECT_MISSING:
    case SUBJECT_CROSSING:
    case SUBJECT_FEW:
    case SUBJECT_STRAY:
    default:
        return list_take(into, about, v, ended, name);
    }
}

/* The label that a statement of plain text fills; NULL for the others. */
static char *label_of(vessel *into, subject about) {
    char *label = about == SUBJECT_CASE     ? into->case_name
                  : about == SUBJECT_SIDE   ? into->side
                  : about == SUBJECT_STAGE  ? into->stage
                  : about == SUBJECT_READER ? into->reader
                  : about == SUBJECT_TRAVEL ? into->travel
                                            : NULL;
    return label;
}

static bool line_read(vessel *into, char *line, const place *at) {
    char *rest = line;
    char *word = word_next(&rest);
    if (word == NULL || word[0] == '#') {
        return true;
    }
    const statement *found = NULL;
    for (size_t i = 0; i < STATEMENT_COUNT; i++) {
        if (strcmp(STATEMENTS[i].word, word) == 0) {
            found = &STATEMENTS[i];
        }
    }
    if (found == NULL) {
        return place_refuse(at, "no such statement", word);
    }
    char *label = label_of(into, found->about);
    if (label != NULL) {
        return text_read(label, rest + strspn(rest, " \t"), at);
    }
    const char *name = "";
    if (found->about == SUBJECT_MARK) {
        name = word_next(&rest);
        if (name == NULL) {
            return place_refuse(at, "a mark has a name", "");
        }
    }
    double values[FIELDS];
    bool ended = false;
    if (!fields_read(found, rest, values, &ended, at)) {
        return false;
    }
    if (!values_take(into, found->about, values, ended, name)) {
        return place_refuse(at, "too many of this statement", found->word);
    }
    return true;
}

static bool implant_check(const vessel *of, const place *at) {
    for (size_t i = 0; i < of->device_count; i++) {
        const calibre *d = &of->devices[i];
        if (of->device_count < 2 || !(d->diameter_mm > 0.0) ||
            !(d->aspect >= 1.0) ||
            (i > 0 && !(d->at_mm > of->devices[i - 1].at_mm))) {
            return place_refuse(at,
                                "a device wants two or more growing "
                                "positions and an aspect of 1 or more",
                                "");
        }
    }
    return true;
}

static bool vessel_check(const vessel *of, const place *at) {
    if (!(of->length_mm > 0.0 && of->speed_mm_per_s > 0.0 &&
          of->frame_rate_hz > 0.0)) {
        return place_refuse(at, "length, speed and frame rate are wanted", "");
    }
    if (of->calibre_count == 0 || of->points < 8) {
        return place_refuse(at, "a calibre and 8 points or more are wanted",
                            "");
    }
    for (size_t i = 0; i < of->calibre_count; i++) {
        const calibre *c = &of->calibres[i];
        if (!(c->diameter_mm > 0.0 && c->aspect >= 1.0) ||
            (i > 0 && !(c->at_mm > of->calibres[i - 1].at_mm))) {
            return place_refuse(
                at,
                "calibres want growing positions and an aspect of 1 or more",
                "");
        }
    }
    for (size_t i = 0; i < of->flattening_count; i++) {
        const flattening *f = &of->flattenings[i];
        int given =
            !isnan(f->area_mm2) + !isnan(f->aspect) + !isnan(f->left_pct);
        if (given != 1 || !(f->half_mm > 0.0)) {
            return place_refuse(at,
                                "flattened wants a half-length and one of "
                                "area, aspect, area left",
                                "");
        }
    }
    for (size_t i = 0; i < of->scar_count; i++) {
        const scar *s = &of->scars[i];
        if (!(s->edge_mm > 0.0 && s->every_mm > 0.0 && s->left_pct > 0.0 &&
              s->to_mm - s->from_mm >= 2.0 * s->edge_mm)) {
            return place_refuse(
                at, "scarred wants two edges between its ends, an area left",
                "");
        }
    }
    return implant_check(of, at);
}

/* From places along the vein to places along this pullback of it. */
static void vessel_begin(vessel *of) {
    double by = of->begins_mm;
    for (size_t i = 0; i < of->calibre_count; i++) {
        of->calibres[i].at_mm -= by;
    }
    for (size_t i = 0; i < of->flattening_count; i++) {
        of->flattenings[i].at_mm -= by;
    }
    for (size_t i = 0; i < of->scar_count; i++) {
        of->scars[i].from_mm -= by;
        of->scars[i].to_mm -= by;
    }
    for (size_t i = 0; i < of->mark_count; i++) {
        of->marks[i].at_mm -= by;
    }
    for (size_t i = 0; i < of->reference_count; i++) {
        of->references[i].from_mm -= by;
        of->references[i].to_mm -= by;
    }
    for (size_t i = 0; i < of->device_count; i++) {
        of->devices[i].at_mm -= by;
    }
    for (size_t i = 0; i < of->nominal_count; i++) {
        of->nominals[i].from_mm -= by;
    }
    for (size_t i = 0; i < of->tissue_count; i++) {
        of->tissues[i].from_mm -= by;
        of->tissues[i].to_mm -= by;
    }
    for (size_t i = 0; i < of->standoff_count; i++) {
        of->standoffs[i].from_mm -= by;
        of->standoffs[i].to_mm -= by;
    }
}

bool description_read(const char *path, vessel *out) {
    *out = (vessel){.seed = 1, .points = 64, .breath_s = 4.0, .turn_mm = 80.0};
    FILE *file = fopen(path, "r");
    if (file == NULL) {
        perror(path);
        return false;
    }
    char line[LINE_BYTES];
    place at = {path, 0};
    bool good = true;
    while (good && fgets(line, sizeof line, file) != NULL) {
        at.line++;
        good = strchr(line, '\n') != NULL || feof(file)
                   ? line_read(out, line, &at)
                   : place_refuse(&at, "a line of 511 letters at most", "");
    }
    if (ferror(file)) {
        perror(path);
        good = false;
    }
    fclose(file);
    if (!good || !vessel_check(out, &at)) {
        return false;
    }
    vessel_begin(out);
    return vessel_ready(out);
}

bool vessel_ready(vessel *of) {
    of->frame_count =
        (int64_t)floor(of->length_mm * of->frame_rate_hz / of->speed_mm_per_s +
                       1e-6) +
        1;
    return wall_prepare(of);
}

void vessel_rescale(vessel *of, int64_t count) {
    double factor = (double)(count - 1) / (double)(of->frame_count - 1);
    for (size_t i = 0; i < of->missing_count; i++) {
        of->missing[i].from = llround((double)of->missing[i].from * factor);
        of->missing[i].to = llround((double)of->missing[i].to * factor);
    }
    for (size_t i = 0; i < of->bad_count; i++) {
        of->bad[i].frame = llround((double)of->bad[i].frame * factor);
    }
    of->frame_rate_hz *= factor;
    of->frame_count = count;
}
