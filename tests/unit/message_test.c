/*
 * message_test.c - words that are too long for a message: what is left is text,
 * and says what to do.
 */
#include "support/check.h"

#include "base/message.h"
#include "base/unicode.h"

#include <stdio.h>
#include <string.h>

#define LONG 2000
#define CURE "; correct the note"

/* `size` bytes of a two-byte character, after `odd` bytes of 'a'. */
static const char *letters(size_t odd, size_t size) {
    static char out[LONG + 3];
    size_t at = 0;
    for (; at < odd; at++) {
        out[at] = 'a';
    }
    for (; at < size; at += 2) {
        memcpy(out + at, "\u00e9", 2);
    }
    out[at] = '\0';
    return out;
}

static void check_text(const bl_message *is) {
    size_t size = strlen(is->text);
    /* Nearly full: a character of two bytes may not fit. */
    assert_in_range(size, BL_MESSAGE_BYTES - 2, BL_MESSAGE_BYTES - 1);
    if (!unicode_is_printable(is->text, size)) {
        fail_msg("no text: %s", is->text);
    }
    assert_non_null(strstr(is->text, "..."));
}

static void check_end(const bl_message *is, const char *end) {
    size_t size = strlen(is->text);
    assert_true(size >= strlen(end));
    assert_string_equal(is->text + size - strlen(end), end);
}

/* All lengths near the limit: whole up to it, cut past it. */
static void test_at_the_limit(void **state) {
    (void)state;
    for (size_t size = 400; size < 600; size++) {
        bl_message is;
        const char *name = letters(size % 2, size);
        (void)message_set(&is, BL_ERR_INPUT, 1, 2, "%s", name);
        if (size < BL_MESSAGE_BYTES) {
            assert_string_equal(is.text, name);
        } else {
            check_text(&is);
            check_end(&is, "...");
        }
    }
}

static void test_a_quoted_name_is_shortened(void **state) {
    (void)state;
    for (size_t odd = 0; odd < 2; odd++) {
        bl_message is;
        assert_int_equal(message_set(&is, BL_ERR_LIMIT, 3, 4,
                                     "the mark '%s' of '%s' is no place" CURE,
                                     letters(odd, LONG), "frame 7"),
                         BL_ERR_LIMIT);
        assert_int_equal(is.status, BL_ERR_LIMIT);
        assert_int_equal(is.line, 3);
        assert_int_equal(is.column, 4);
        check_text(&is);
        check_end(&is, "...' of 'frame 7' is no place" CURE);
        assert_memory_equal(is.text, "the mark '", 10);
    }
}

static void test_the_cure_is_kept(void **state) {
    (void)state;
    for (size_t odd = 0; odd < 2; odd++) {
        bl_message is;
        (void)message_set(&is, BL_ERR_INPUT, 0, 0, "first; %s is no place" CURE,
                          letters(odd, LONG));
        check_text(&is);
        check_end(&is, "..." CURE);
        /* A cure that is too long itself goes with the rest. */
        (void)message_set(&is, BL_ERR_INPUT, 0, 0, "first; do %s",
                          letters(odd, LONG));
        check_text(&is);
        check_end(&is, "...");
    }
}

/* Two long names, of which one is not enough. */
static void test_long_all_over(void **state) {
    (void)state;
    bl_message is;
    const char *name = letters(1, 701);
    (void)message_set(&is, BL_ERR_INPUT, 0, 0, "'%s' and '%s'" CURE, name,
                      name);
    check_text(&is);
    check_end(&is, "..." CURE);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_at_the_limit),
        cmocka_unit_test(test_a_quoted_name_is_shortened),
        cmocka_unit_test(test_the_cure_is_kept),
        cmocka_unit_test(test_long_all_over),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
