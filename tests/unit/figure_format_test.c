/*
 * figure_format_test.c - what the file formats promise of a figure: the same
 * bytes twice, an error of the sink passed on, SVG that is well formed whatever
 * names hold. All cases are invented.
 */
#include "support/check.h"
#include "support/drawn.h"
#include "support/picture.h"

#include <math.h>
#include <string.h>

typedef struct sink_bytes {
    text all;
    size_t refuse_after; /* bytes; 0: never */
} sink_bytes;

static bl_status sink_limited(void *context, const char *bytes, size_t size) {
    sink_bytes *to = context;
    bool full = to->refuse_after != 0 && to->all.size + size > to->refuse_after;
    return full ? BL_ERR_FILE : picture_keep(&to->all, bytes, size);
}

static bl_status write_svg(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_svg(of, sink, to);
}

static bl_status write_png(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_png(of, 100.0, sink, to);
}

static bl_status write_pdf(const bl_figure *of, bl_sink sink, void *to) {
    return bl_figure_pdf(of, sink, to);
}

static bl_status (*const writers[])(const bl_figure *, bl_sink,
                                    void *) = {write_svg, write_png, write_pdf};
#define WRITERS (sizeof writers / sizeof writers[0])

/* Names that no format takes as they are: markup, control characters, half a
 * character. */
static bl_figure *hostile_figure(void) {
    static const char *const names[] = {
        "<a href=\"x\">&amp;]]>", "\x01\x1b\x7f", "\xC3", "\xED\xA0\x80\xFF"};
    drawn_fill(200.0, true, 2);
    drawn_add_marks(names, 4, 4, 0.1, 0.25);
    drawn_one.pullback.case_name = "<\xFF&\x02>";
    drawn_one.source.file = "no\xFFtext.csv";
    drawn_one.source.options = "--case \xC3(";
    bl_figure *figure = NULL;
    assert_int_equal(drawn_figure(180, 135, &figure), BL_OK);
    return figure;
}

static void test_same_bytes_twice(void **state) {
    (void)state;
    for (size_t i = 0; i < WRITERS; i++) {
        sink_bytes got[2] = {{{0}, 0}, {{0}, 0}};
        for (size_t k = 0; k < 2; k++) {
            bl_figure *figure = hostile_figure();
            assert_int_equal(writers[i](figure, sink_limited, &got[k]), BL_OK);
            bl_figure_free(figure);
        }
        assert_int_equal(got[0].all.size, got[1].all.size);
        assert_memory_equal(got[0].all.bytes, got[1].all.bytes,
                            got[0].all.size);
        text_free(&got[0].all);
        text_free(&got[1].all);
    }
}

/* Refused at once, and after some of it went well. */
static void test_sink_error_passes_through(void **state) {
    (void)state;
    static const size_t after[] = {1, 3000};
    bl_figure *figure = hostile_figure();
    for (size_t i = 0; i < WRITERS; i++) {
        for (size_t k = 0; k < 2; k++) {
            sink_bytes to = {{0}, after[k]};
            assert_int_equal(writers[i](figure, sink_limited, &to),
                             BL_ERR_FILE);
            text_free(&to.all);
        }
    }
    bl_figure_free(figure);
}

/* Elements close in the order they open, and no markup or control character is
 * left in the words: enough for the SVG that is written, which has neither
 * comments nor sections. */
static void test_svg_is_well_formed(void **state) {
    (void)state;
    sink_bytes to = {{0}, 0};
    bl_figure *figure = hostile_figure();
    assert_int_equal(bl_figure_svg(figure, sink_limited, &to), BL_OK);
    bl_figure_free(figure);
    const char *all = text_c(&to.all);
    assert_int_equal(strlen(all), to.all.size);
    char open[16][16];
    size_t depth = 0;
    for (const char *at = strchr(all, '\n'); *at != '\0'; at++) {
        assert_true((unsigned char)*at >= 0x20 || *at == '\n');
        if (*at == '&') {
            assert_true(
                strncmp(at, "&amp;", 5) == 0 || strncmp(at, "&lt;", 4) == 0 ||
                strncmp(at, "&gt;", 4) == 0 || strncmp(at, "&quot;", 6) == 0);
        }
        if (*at != '<') {
            continue;
        }
        const char *end = strchr(at, '>');
        assert_non_null(end);
        bool closes = at[1] == '/';
        const char *name = at + 1 + closes;
        size_t size = strspn(name, "abcdefghijklmnopqrstuvwxyz");
        assert_in_range(size, 1, 15);
        if (closes) {
            assert_true(depth > 0);
            depth--;
            assert_int_equal(strlen(open[depth]), size);
            assert_memory_equal(open[depth], name, size);
        } else if (end[-1] != '/') {
            assert_true(depth < 16);
            memcpy(open[depth], name, size);
            open[depth++][size] = '\0';
        }
        at = end;
    }
    assert_int_equal(depth, 0);
    text_free(&to.all);
}

static void test_arguments(void **state) {
    (void)state;
    bl_figure *figure = NULL;
    drawn_fill(200.0, false, 2);
    assert_int_equal(drawn_figure(79.9, 135, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(drawn_figure(180, 1000.1, &figure), BL_ERR_ARGUMENT);
    assert_int_equal(drawn_figure((double)NAN, 135, &figure), BL_ERR_ARGUMENT);
    bl_figure_options size = bl_figure_defaults();
    assert_int_equal(bl_figure_profile(NULL, &drawn_one.assessment,
                                       &drawn_one.source, &size, &figure),
                     BL_ERR_ARGUMENT);
    assert_null(figure);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_same_bytes_twice),
        cmocka_unit_test(test_sink_error_passes_through),
        cmocka_unit_test(test_svg_is_well_formed),
        cmocka_unit_test(test_arguments),
    };
    return cmocka_run_group_tests(tests, NULL, picture_release);
}
