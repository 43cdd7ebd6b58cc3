/*
 * caption_lines.c - the words of a caption in lines at the foot of the page,
 * and the title above.
 *
 * What has no room is cut where a clause ends. Words are measured one by one,
 * so that a line costs what is in it.
 */
#include "draw/page.h"

#include "base/digit.h"

#include <math.h>
#include <string.h>

#define NBSP "\xC2\xA0"
#define REPORT "see the report"
#define LINES_MOST 9
/* Of them so many say what was found, where numbered marks need some too. */
#define FACTS_LINES ((size_t)2)
#define SOURCE_LINES_MOST 3
#define CAUTION_LINES_MOST 2
#define LINES_LEAST (LAST_LINES_MOST + 2)
#define MARKS_LINES_MOST ((size_t)3)
#define LAST_LINES_MOST (SOURCE_LINES_MOST + CAUTION_LINES_MOST)
/* The caption takes no more of the page than this; on a low page that has much
 * else less. */
#define SHARE_MOST 0.30
#define CROWDED_SHARE_MOST 0.24

/* The width of one word; its bytes stand alone, so that no word before it is
 * measured again. */
static double word_advance(page *on, const char *word, size_t size) {
    text alone = {0};
    text_bytes(&alone, word, size);
    double advance = page_advance(on, text_c(&alone));
    on->failed = on->failed || alone.failed;
    text_free(&alone);
    return advance;
}

/* The bytes of `at` that fill one line: whole words, at least one. */
static size_t line_bytes(page *on, const char *at, double room) {
    double blank = page_advance(on, " ");
    double taken = 0.0;
    const char *next = at;
    while (*next != '\0') {
        size_t word = strcspn(next, " ");
        taken += word_advance(on, next, word);
        if (taken > room && next != at) {
            break;
        }
        taken += blank;
        next += word;
        next += *next == ' ';
    }
    return (size_t)(next - at);
}

/* The bytes of `at` that fill so many lines, or all where they are fewer; how
 * many lines that is. */
static size_t filled_bytes(page *on, const char *at, size_t most,
                           size_t *lines) {
    double room = on->width - 2.0 * on->margin;
    const char *next = at;
    for (*lines = 0; *next != '\0' && *lines < most && !on->failed; ++*lines) {
        next += line_bytes(on, next, room);
    }
    return (size_t)(next - at);
}

/* Whether a clause ends here. A list of figures stands together: commas before
 * them are ends only `in_list`. */
static bool is_clause_end(const char *at, bool in_list) {
    if (*at == '\0' || at[1] != ' ') {
        return false;
    }
    bool within = in_list ? strchr(",:", *at) != NULL
                          : *at == ',' && at[2] != '-' && !digit_is(at[2]);
    return within || strchr(".;", *at) != NULL;
}

/* The words up to the last clause with which they have room, and where the rest
 * stands; NULL where none is short enough. */
static const char *cut_at_clause(page *on, const char *words, size_t most,
                                 bool in_list) {
    size_t lines = 0;
    size_t from = filled_bytes(on, words, most, &lines);
    while (from-- > 0 && !on->failed) {
        if (!is_clause_end(words + from, in_list)) {
            continue;
        }
        text cut = {0};
        text_bytes(&cut, words, from + (words[from] == '.'));
        bool said = strstr(text_c(&cut), REPORT) != NULL;
        text_add(&cut, NBSP "\xE2\x80\xA6");
        text_add(&cut, said ? "" : " " REPORT);
        const char *kept = page_keep(on, &cut);
        if (kept[filled_bytes(on, kept, most, &lines)] == '\0') {
            return kept;
        }
    }
    return NULL;
}

/* Words that have no room end with a clause, so that nothing is read in half;
 * a list is cut, and then a word, only where no clause is short enough. */
static const char *cut_words(page *on, const char *words, size_t most) {
    size_t lines = 0;
    if (words[filled_bytes(on, words, most, &lines)] == '\0') {
        return words;
    }
    const char *cut = cut_at_clause(on, words, most, false);
    if (cut == NULL) {
        cut = cut_at_clause(on, words, most, true);
    }
    return cut != NULL ? cut : words;
}

size_t caption_wrap(page *on, const char *words, const char **lines,
                    size_t most) {
    double room = on->width - 2.0 * on->margin;
    const char *at = cut_words(on, words, most);
    size_t count = 0;
    while (*at != '\0' && count < most && !on->failed) {
        size_t taken =
            count + 1 == most ? strlen(at) : line_bytes(on, at, room);
        size_t size = taken;
        while (size > 0 && at[size - 1] == ' ') {
            size--;
        }
        text line = {0};
        text_bytes(&line, at, size);
        lines[count++] = page_fit(on, page_keep(on, &line), room, false);
        at += taken;
    }
    return count;
}

/* The key of numbered marks in at most `most` lines: names are cut short before
 * marks are left out. */
static size_t wrap_marks(page *on, const char **lines, size_t most) {
    static const double longest_em[] = {HUGE_VAL, 16.0, 12.0, 9.0, 7.0, 5.0};
    const size_t tries = sizeof longest_em / sizeof longest_em[0];
    const char *words = "";
    size_t needed = most + 1;
    for (size_t i = 0; needed > most && i < tries && !on->failed; i++) {
        words = caption_marks(on, longest_em[i] * on->em);
        (void)filled_bytes(on, words, most + 1, &needed);
    }
    return caption_wrap(on, words, lines, most);
}

/* What numbered marks are, where the numbers come from and the caution have
 * lines of their own, which nothing before them can push out. */
void caption_lay(page *on, const char *facts, const char *source,
                 bool crowded) {
    double share = crowded ? CROWDED_SHARE_MOST : SHARE_MOST;
    double fit = floor(share * on->height / (LINE_EM * on->em));
    const char *last[LAST_LINES_MOST];
    const char *marks[MARKS_LINES_MOST];
    on->caption = page_alloc(on, LINES_MOST, sizeof *on->caption);
    size_t count = caption_wrap(on, source, last, SOURCE_LINES_MOST);
    count += caption_wrap(on, bl_caution(), last + count, CAUTION_LINES_MOST);
    /* A crowded page has room for a line of facts, and one of marks. */
    double least = crowded ? (double)count + 2.0 : LINES_LEAST;
    size_t most = (size_t)fmin(LINES_MOST, fmax(least, fit));
    size_t room = most > count + FACTS_LINES ? most - count - FACTS_LINES : 1;
    size_t named = wrap_marks(
        on, marks, room < MARKS_LINES_MOST ? room : MARKS_LINES_MOST);
    if (on->failed) {
        return;
    }
    on->caption_count =
        caption_wrap(on, facts, on->caption, most - count - named);
    for (size_t i = 0; i < named; i++) {
        on->caption[on->caption_count++] = marks[i];
    }
    for (size_t i = 0; i < count; i++) {
        on->caption[on->caption_count++] = last[i];
    }
}

void caption_put(page *on, const char *title) {
    canvas_style bold = page_style(on, INK, CANVAS_START);
    bold.bold = true;
    canvas_text(on->canvas, on->margin, on->margin + 0.9 * on->em, bold,
                page_fit(on, title, on->width - 2.0 * on->margin, true));
    double foot = on->height - on->margin - 0.3 * on->em;
    for (size_t i = 0; i < on->caption_count; i++) {
        double lines = (double)(on->caption_count - 1 - i);
        canvas_text(on->canvas, on->margin, foot - LINE_EM * on->em * lines,
                    page_style(on, INK, CANVAS_START), on->caption[i]);
    }
}
