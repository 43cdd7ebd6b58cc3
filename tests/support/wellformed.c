/*
 * wellformed.c - whether a text is what it says it is.
 *
 * Recursive descent over a view of what is left; every function takes what it
 * is named for from the front, or says false.
 */
#include "support/wellformed.h"

#include <string.h>

#define DEPTH_MAX 64

typedef struct view {
    const char *at;
    const char *end;
} view;

static bool take(view *of, const char *word) {
    size_t size = strlen(word);
    if ((size_t)(of->end - of->at) < size || memcmp(of->at, word, size) != 0) {
        return false;
    }
    of->at += size;
    return true;
}

static bool is_one_of(const view *of, const char *bytes) {
    return of->at < of->end && *of->at != '\0' && strchr(bytes, *of->at);
}

static void skip(view *of, const char *bytes) {
    while (is_one_of(of, bytes)) {
        of->at++;
    }
}

/* -------------------------------------------------------------------- UTF-8 */

/* Table 3-7 of the Unicode standard: the second byte's range by the first. */
static size_t character_size(const unsigned char *at, size_t left) {
    unsigned char first = at[0];
    size_t size = first < 0x80U                      ? 1
                  : first >= 0xc2U && first <= 0xdfU ? 2
                  : (first & 0xf0U) == 0xe0U         ? 3
                  : first >= 0xf0U && first <= 0xf4U ? 4
                                                     : 0;
    if (size == 0 || size > left) {
        return 0;
    }
    for (size_t i = 1; i < size; i++) {
        unsigned char least = i > 1            ? 0x80U
                              : first == 0xe0U ? 0xa0U
                              : first == 0xf0U ? 0x90U
                                               : 0x80U;
        unsigned char most = i > 1            ? 0xbfU
                             : first == 0xedU ? 0x9fU
                             : first == 0xf4U ? 0x8fU
                                              : 0xbfU;
        if (at[i] < least || at[i] > most) {
            return 0;
        }
    }
    return size;
}

bool wellformed_utf8(const char *bytes, size_t size) {
    const unsigned char *at = (const unsigned char *)bytes;
    while (size > 0) {
        size_t taken = character_size(at, size);
        bool control = (*at < 0x20U && *at != '\n') || *at == 0x7fU;
        if (taken == 0 || control) {
            return false;
        }
        at += taken;
        size -= taken;
    }
    return true;
}

/* --------------------------------------------------------------------- JSON */

static bool take_value(view *of, unsigned depth);

static bool take_string(view *of) {
    if (!take(of, "\"")) {
        return false;
    }
    while (of->at < of->end && *of->at != '"') {
        if ((unsigned char)*of->at < 0x20) {
            return false;
        }
        if (!take(of, "\\")) {
            of->at++;
        } else if (take(of, "u")) {
            for (int i = 0; i < 4; i++) {
                if (!is_one_of(of, "0123456789abcdefABCDEF")) {
                    return false;
                }
                of->at++;
            }
        } else if (is_one_of(of, "\"\\/bfnrt")) {
            of->at++;
        } else {
            return false;
        }
    }
    return take(of, "\"");
}

static bool take_digits(view *of) {
    const char *start = of->at;
    skip(of, "0123456789");
    return of->at > start;
}

static bool take_number(view *of) {
    (void)take(of, "-");
    if (!take(of, "0") && !take_digits(of)) {
        return false;
    }
    if (take(of, ".") && !take_digits(of)) {
        return false;
    }
    if (take(of, "e") || take(of, "E")) {
        bool sign = take(of, "+") || take(of, "-");
        (void)sign;
        return take_digits(of);
    }
    return true;
}

/* Members between brackets, which have names when the bracket is a brace. */
static bool take_members(view *of, const char *close, bool named,
                         unsigned depth) {
    skip(of, " \t\r\n");
    if (take(of, close)) {
        return true;
    }
    do {
        skip(of, " \t\r\n");
        if (named && !take_string(of)) {
            return false;
        }
        skip(of, " \t\r\n");
        if ((named && !take(of, ":")) || !take_value(of, depth)) {
            return false;
        }
        skip(of, " \t\r\n");
    } while (take(of, ","));
    return take(of, close);
}

static bool take_value(view *of, unsigned depth) {
    if (depth == DEPTH_MAX) {
        return false;
    }
    skip(of, " \t\r\n");
    if (take(of, "{")) {
        return take_members(of, "}", true, depth + 1);
    }
    if (take(of, "[")) {
        return take_members(of, "]", false, depth + 1);
    }
    if (take(of, "null") || take(of, "true") || take(of, "false")) {
        return true;
    }
    return is_one_of(of, "\"") ? take_string(of) : take_number(of);
}

bool wellformed_json(const char *bytes, size_t size) {
    view of = {bytes, bytes + size};
    if (!wellformed_utf8(bytes, size) || !take_value(&of, 0)) {
        return false;
    }
    skip(&of, " \t\r\n");
    return of.at == of.end;
}

/* ---------------------------------------------------------------------- XML */

static bool take_name(view *of, view *name) {
    name->at = of->at;
    while (of->at < of->end && !is_one_of(of, " \t\r\n/>=<\"'&")) {
        of->at++;
    }
    name->end = of->at;
    return name->end > name->at;
}

static bool take_entity(view *of) {
    return take(of, "&amp;") || take(of, "&lt;") || take(of, "&gt;") ||
           take(of, "&quot;") || take(of, "&apos;") || take(of, "&#39;");
}

/* Text up to one of the bytes. */
static bool take_text(view *of, const char *stop) {
    while (of->at < of->end && !is_one_of(of, stop)) {
        if (is_one_of(of, "&") ? !take_entity(of) : is_one_of(of, "<")) {
            return false;
        }
        of->at +=
            of->at < of->end && !is_one_of(of, stop) && !is_one_of(of, "&");
    }
    return true;
}

static bool holds_no_number(view value) {
    for (; value.at < value.end; value.at++) {
        view rest = value;
        if (take(&rest, "nan") || take(&rest, "inf")) {
            return true;
        }
    }
    return false;
}

static bool take_attributes(view *of) {
    for (skip(of, " \n"); !is_one_of(of, "/>?"); skip(of, " \n")) {
        view name;
        if (!take_name(of, &name) || !take(of, "=\"")) {
            return false;
        }
        view value = *of;
        if (!take_text(of, "\"")) {
            return false;
        }
        value.end = of->at;
        if (holds_no_number(value) || !take(of, "\"")) {
            return false;
        }
    }
    return true;
}

static bool take_element(view *of, unsigned depth) {
    view name;
    view closing;
    if (depth == DEPTH_MAX || !take(of, "<") || !take_name(of, &name) ||
        !take_attributes(of)) {
        return false;
    }
    if (take(of, "/>")) {
        return true;
    }
    if (!take(of, ">")) {
        return false;
    }
    while (take_text(of, "<") && !take(of, "</")) {
        if (!take_element(of, depth + 1)) {
            return false;
        }
    }
    return take_name(of, &closing) &&
           closing.end - closing.at == name.end - name.at &&
           memcmp(closing.at, name.at, (size_t)(name.end - name.at)) == 0 &&
           take(of, ">");
}

bool wellformed_xml(const char *bytes, size_t size) {
    view of = {bytes, bytes + size};
    if (!wellformed_utf8(bytes, size) ||
        (take(&of, "<?xml") && (!take_attributes(&of) || !take(&of, "?>")))) {
        return false;
    }
    skip(&of, " \n");
    if (!take_element(&of, 0)) {
        return false;
    }
    skip(&of, " \n");
    return of.at == of.end;
}

/* ----------------------------------------------------------------- Markdown */

static bool is_letter(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* One line's words: nothing in them is markup. */
static bool take_plain(view *of) {
    while (of->at < of->end && *of->at != '\n') {
        if (*of->at == '\\') {
            of->at++;
            if (!is_one_of(of, "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~")) {
                return false;
            }
        } else if (is_one_of(of, "*_`[]<>#!|~&$@")) {
            return false;
        } else if (of->at + 1 < of->end &&
                   ((*of->at == ':' && of->at[1] == '/') ||
                    (*of->at == '.' && is_letter(of->at[1])))) {
            return false;
        }
        of->at++;
    }
    return take(of, "\n");
}

/* "**Least area.** " */
static bool take_lead(view *of) {
    if (!take(of, "**") || of->at == of->end || !is_letter(*of->at)) {
        return false;
    }
    while (of->at < of->end && (is_letter(*of->at) || *of->at == ' ')) {
        of->at++;
    }
    return take(of, ".** ");
}

bool wellformed_markdown(const char *bytes, size_t size) {
    view of = {bytes, bytes + size};
    bool fine = take(&of, "# ") && take_plain(&of);
    while (fine && of.at < of.end) {
        fine = take(&of, "\n") && (take(&of, "## ") || take_lead(&of)) &&
               take_plain(&of);
    }
    return fine && wellformed_utf8(bytes, size);
}
