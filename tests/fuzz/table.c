/*
 * table.c - a table read in pieces against the same table in one piece, plain
 * and going on behind faults; as UTF-16 too. What goes on is checked, whether
 * it came to its end or to an error.
 *
 * The first byte chooses how the table begins, so that every shape is reached
 * without its header being guessed, and whether the bytes are widened to
 * UTF-16; the second how it is cut. The rest is the table.
 */
#include "fuzz/fuzz.h"

#include "base/text.h"
#include "study/inside.h"
#include "support/wellformed.h"

typedef enum form { AS_IT_IS, UTF16_LITTLE, UTF16_BIG } form;

static const char *const beginnings[] = {
    "",
    "frame,x_mm,y_mm\n",
    "# mm_per_px = 0.5\nframe;x;y\n",
    "frame,x1,y1,x2,y2,x3,y3,x4,y4\n",
    "# speed_mm_per_s = 1\n# frame_rate_hz = 30\nframe,r0,r1,r2,r3,r4,r5\n",
    "# step_mm = 0.5\nframe 1\n",
    "frame\tkind\ttime_s\tposition_mm\tangle_deg\tradius_mm\n",
    "# at = 0 = 0\n# at = 9 = 40\nframe x y\n",
};

static bool same_message(const bl_message *a, const bl_message *b) {
    return a->status == b->status && a->line == b->line &&
           a->column == b->column && strcmp(a->text, b->text) == 0;
}

static bool same_measures(const bl_measures *a, const bl_measures *b) {
    const double *left = &a->area_mm2;
    const double *right = &b->area_mm2;
    size_t count = offsetof(bl_measures, flags) / sizeof *left;
    return memcmp(left, right, count * sizeof *left) == 0 &&
           a->flags == b->flags;
}

static void must_have_same_rows(const bl_study *a, const bl_study *b) {
    must(bl_study_row_count(a) == bl_study_row_count(b));
    for (size_t i = 0; i < bl_study_row_count(a); i++) {
        const bl_row *left = &bl_study_rows(a)[i];
        const bl_row *right = &bl_study_rows(b)[i];
        must(left->frame == right->frame && left->kind == right->kind);
        must(left->points == right->points);
        must(same_double(left->time_s, right->time_s));
        must(same_double(left->position_mm, right->position_mm));
        must(same_measures(&left->measures, &right->measures));
        must(bl_study_line(a, i) == bl_study_line(b, i));
        bl_contour one = bl_study_contour(a, i);
        bl_contour other = bl_study_contour(b, i);
        must(one.count == other.count);
        for (size_t k = 0; k < one.count; k++) {
            must(same_double(one.x_mm[k], other.x_mm[k]));
            must(same_double(one.y_mm[k], other.y_mm[k]));
        }
    }
}

static void must_have_same_findings(const bl_study *a, const bl_study *b) {
    must(bl_study_fault_count(a) == bl_study_fault_count(b));
    must(bl_study_finding_count(a) == bl_study_finding_count(b));
    for (size_t i = 0; i < bl_study_finding_count(a); i++) {
        const bl_finding *left = &bl_study_findings(a)[i];
        const bl_finding *right = &bl_study_findings(b)[i];
        must(same_message(&left->message, &right->message));
        must(left->frame == right->frame && left->more == right->more);
    }
}

/* A study read to its end or its error, which is *status. */
static bl_study *read_table(const char *bytes, size_t size, bool go_on,
                            uint64_t pieces, bl_status *status) {
    /* Not the inscribed circle: it would take nearly all the time. */
    bl_study_options options = {
        .columns = BL_COLUMNS_ASSESS, .keep_contours = true, .go_on = go_on};
    bl_study *study = NULL;
    must(bl_study_new(&options, &study) == BL_OK);
    *status = BL_OK;
    while (*status == BL_OK && size > 0) {
        size_t piece = next_piece(&pieces, size);
        /* A copy of its own, so that reading past its end is found. */
        char *copy = malloc(piece);
        must(copy != NULL);
        memcpy(copy, bytes, piece);
        *status = bl_study_feed(study, copy, piece);
        free(copy);
        bytes += piece;
        size -= piece;
    }
    if (*status == BL_OK) {
        *status = bl_study_finish(study);
    }
    return study;
}

static bool is_sane(const bl_study *study, bl_status status) {
    const bl_message *message = bl_study_message(study);
    return status == BL_OK ||
           (message->status == status && message->text[0] != '\0' &&
            (status == BL_ERR_INPUT || status == BL_ERR_LIMIT));
}

static bl_status add_words(void *context, const char *bytes, size_t size) {
    text *to = context;
    text_bytes(to, bytes, size);
    must(!to->failed);
    return BL_OK;
}

/* However reading ended: the check counts what is there, and what it says of it
 * is text and JSON. */
static void must_be_checked(const bl_study *study, bl_status status) {
    static const bl_source source = {.file = "a.csv", .options = ""};
    bl_assess_options options = bl_assess_defaults();
    bl_check *check = NULL;
    text words = {0};
    text json = {0};
    must(bl_check_study(study, status == BL_OK ? NULL : bl_study_message(study),
                        &options, 0, &check) == BL_OK);
    must(check->contours == bl_study_row_count(study));
    must(status == BL_OK || (!check->usable && check->faults > 0));
    must(check->contours == 0 || bl_study_pullback(study)->begins > 0);
    must(bl_report_check_text(study, check, &source, add_words, &words) ==
         BL_OK);
    must(bl_report_check_json(study, check, &source, add_words, &json) ==
         BL_OK);
    must(wellformed_utf8(words.bytes, words.size));
    must(wellformed_json(json.bytes, json.size));
    text_free(&words);
    text_free(&json);
    bl_check_free(check);
}

/* A row needs two bytes of the table, a point four, a finding two; each is
 * held with half as much to spare, or as much again. */
static void must_hold_little(const bl_study *study, size_t size) {
    const store *in = &study->store;
    size_t row = sizeof *in->rows + sizeof *in->lines + sizeof *in->kept;
    size_t rows = in->capacity * row;
    size_t points = 2 * sizeof(double) *
                    (in->point_capacity + study->reader.gather.capacity);
    size_t kinds = study->said.fault_count;
    must(rows <= 256 * row + (size / 2 + 1) * row * 3 / 2);
    must(points <= 65536 + 16 * size);
    must(study->said.count <= kinds * LIMIT_REPEATS + 2);
    /* A header of one byte lacks all that a header needs. */
    must(study->said.count <= 2 * size + 4);
    must(study->said.capacity <= 4 + 2 * study->said.count);
    must(study->reader.lines.part.capacity <= 4096 + 2 * size);
    must(study->reader.encoding.converted.capacity <= 4096 + 4 * size);
}

/* Going on behind faults changes nothing where there are none, and the first
 * it meets is what plain reading stops at. */
static void must_agree(const bl_study *plain, bl_status plain_status,
                       const bl_study *on, bl_status on_status) {
    if (plain_status == BL_OK) {
        must(on_status == BL_OK && bl_study_fault_count(on) == 0);
        must_have_same_rows(plain, on);
        must_have_same_findings(plain, on);
        return;
    }
    const bl_message *first = bl_study_message(on);
    if (bl_study_fault_count(on) == 0) {
        must(on_status == plain_status);
    } else {
        size_t i = 0;
        while (bl_study_findings(on)[i].message.status == BL_OK) {
            i++;
        }
        first = &bl_study_findings(on)[i].message;
    }
    must(same_message(bl_study_message(plain), first));
}

/* Both ways of going on, each whole and in pieces; the plain study. */
static bl_study *try_all(const char *bytes, size_t size, uint64_t pieces,
                         bl_status *plain_status) {
    bl_study *whole[2];
    bl_status status[2];
    for (int go_on = 0; go_on < 2; go_on++) {
        bl_status cut;
        whole[go_on] = read_table(bytes, size, go_on, 0, &status[go_on]);
        bl_study *parts = read_table(bytes, size, go_on, pieces, &cut);
        must(is_sane(whole[go_on], status[go_on]));
        must(cut == status[go_on]);
        if (cut != BL_OK) {
            must(same_message(bl_study_message(whole[go_on]),
                              bl_study_message(parts)));
        }
        must_have_same_findings(whole[go_on], parts);
        must_have_same_rows(whole[go_on], parts);
        must_hold_little(whole[go_on], size);
        must_hold_little(parts, size);
        bl_study_free(parts);
    }
    must_agree(whole[0], status[0], whole[1], status[1]);
    must_be_checked(whole[1], status[1]);
    bl_study_free(whole[1]);
    *plain_status = status[0];
    return whole[0];
}

static char *widen(const char *bytes, size_t size, form as, size_t *out_size) {
    char *out = malloc(2 * size + 2);
    must(out != NULL);
    size_t low = as == UTF16_BIG;
    memset(out, 0, 2 * size + 2);
    out[low] = (char)0xff;
    out[1 - low] = (char)0xfe;
    for (size_t i = 0; i < size; i++) {
        out[2 * i + 2 + low] = bytes[i];
    }
    *out_size = 2 * size + 2;
    return out;
}

static bool is_ascii(const char *bytes, size_t size) {
    for (size_t i = 0; i < size; i++) {
        if ((unsigned char)bytes[i] >= 0x80) {
            return false;
        }
    }
    return true;
}

/* ASCII says the same in UTF-16. */
static void try_wide(const char *bytes, size_t size, uint64_t pieces, form as,
                     const bl_study *narrow, bl_status narrow_status) {
    size_t wide_size;
    bl_status status;
    char *widened = widen(bytes, size, as, &wide_size);
    bl_study *study = try_all(widened, wide_size, pieces, &status);
    if (is_ascii(bytes, size)) {
        must(status == narrow_status);
        must(status == BL_OK ||
             same_message(bl_study_message(study), bl_study_message(narrow)));
        must_have_same_findings(study, narrow);
        must_have_same_rows(study, narrow);
    }
    bl_study_free(study);
    free(widened);
}

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t size) {
    bites in = {bytes, size};
    uint8_t choice = bite(&in);
    uint64_t pieces = bite(&in);
    const char *beginning =
        beginnings[choice % (sizeof beginnings / sizeof beginnings[0])];
    size_t begun = strlen(beginning);
    char *table = malloc(begun + in.left + 1);
    must(table != NULL);
    memcpy(table, beginning, begun);
    if (in.left > 0) {
        memcpy(table + begun, in.at, in.left);
    }
    size_t whole = begun + in.left;
    bl_status status;
    bl_study *plain = try_all(table, whole, pieces, &status);
    form as = choice < 64 ? AS_IT_IS : choice < 128 ? UTF16_LITTLE : UTF16_BIG;
    if (as != AS_IT_IS) {
        try_wide(table, whole, pieces, as, plain, status);
    }
    bl_study_free(plain);
    free(table);
    return 0;
}
