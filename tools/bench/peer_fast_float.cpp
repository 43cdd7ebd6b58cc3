/*
 * peer_fast_float.cpp - frame, area and perimeter of every contour, by C++17.
 *
 *     peer_fast_float TABLE > OUTPUT
 *
 * The quick program that does one thing: the table is mapped, numbers are read
 * by fast_float::from_chars, and sums run along with the points, so that no
 * point is kept. It reads one shape of table (frame,x_mm,y_mm) and checks
 * nothing about a contour: no crossing, no repeated point, no position. It is
 * here to be timed against `boreline measure --columns
 * frame,area_mm2,perimeter_mm`, which does all of that.
 */
#include <fast_float/fast_float.h>

#include <charconv>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fcntl.h>
#include <string>
#include <string_view>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

namespace {

[[noreturn]] void give_up(const std::string &words) {
    std::fprintf(stderr, "peer_fast_float: %s\n", words.c_str());
    std::exit(1);
}

std::string_view map_file(const char *path) {
    int file = open(path, O_RDONLY);
    struct stat about;
    if (file < 0 || fstat(file, &about) != 0) {
        give_up(std::string(path) + ": cannot be read");
    }
    auto bytes = static_cast<std::size_t>(about.st_size);
    void *at = mmap(nullptr, bytes, PROT_READ, MAP_PRIVATE, file, 0);
    close(file);
    if (at == MAP_FAILED) {
        give_up(std::string(path) + ": cannot be mapped");
    }
    return {static_cast<const char *>(at), bytes};
}

/* Sums about the contour's first point, one term an edge. */
class Contour {
  public:
    void begin(long frame, double x, double y) {
        frame_ = frame;
        first_x_ = x;
        first_y_ = y;
        last_x_ = last_y_ = 0.0;
        twice_area_ = perimeter_ = 0.0;
    }

    void add(double x, double y) {
        edge(x - first_x_, y - first_y_);
    }

    void end(std::string &out) {
        edge(0.0, 0.0);
        put(out, frame_);
        out += ',';
        put(out, std::fabs(twice_area_) / 2, std::chars_format::fixed, 4);
        out += ',';
        put(out, perimeter_, std::chars_format::fixed, 4);
        out += '\n';
    }

  private:
    void edge(double x, double y) {
        double dx = x - last_x_;
        double dy = y - last_y_;
        twice_area_ += last_x_ * y - x * last_y_;
        perimeter_ += std::sqrt(dx * dx + dy * dy);
        last_x_ = x;
        last_y_ = y;
    }

    template <typename... Form>
    static void put(std::string &out, Form... form) {
        char digits[64];
        out.append(digits, std::to_chars(digits, digits + 64, form...).ptr);
    }

    long frame_ = -1;
    double first_x_ = 0, first_y_ = 0, last_x_ = 0, last_y_ = 0;
    double twice_area_ = 0, perimeter_ = 0;
};

const char *number(const char *at, const char *end, double &out) {
    auto [next, error] = fast_float::from_chars(at, end, out);
    if (error != std::errc()) {
        give_up("a number is wanted");
    }
    return next;
}

const char *expect(const char *at, const char *end, char wanted) {
    if (at == end || *at != wanted) {
        give_up("a row of three cells is wanted");
    }
    return at + 1;
}

/* Past the notes and the header, which must be the one we know. */
const char *rows_begin(std::string_view table) {
    constexpr std::string_view header = "frame,x_mm,y_mm\n";
    std::size_t at = 0;
    while (at < table.size() && table[at] == '#') {
        at = table.find('\n', at);
        at = at == table.npos ? table.size() : at + 1;
    }
    if (table.substr(at, header.size()) != header) {
        give_up("the header must be frame,x_mm,y_mm");
    }
    return table.data() + at + header.size();
}

std::string measure(std::string_view table) {
    std::string out = "frame,area_mm2,perimeter_mm\n";
    const char *end = table.data() + table.size();
    Contour contour;
    long last = -1;
    for (const char *at = rows_begin(table); at < end;) {
        long frame = 0;
        double x = 0, y = 0;
        auto [next, error] = std::from_chars(at, end, frame);
        if (error != std::errc()) {
            give_up("a frame number is wanted");
        }
        at = number(expect(next, end, ','), end, x);
        at = number(expect(at, end, ','), end, y);
        at = at == end ? end : expect(at, end, '\n');
        if (frame == last) {
            contour.add(x, y);
            continue;
        }
        if (last >= 0) {
            contour.end(out);
        }
        contour.begin(frame, x, y);
        last = frame;
    }
    if (last >= 0) {
        contour.end(out);
    }
    return out;
}

} // namespace

int main(int count, char **words) {
    if (count != 2) {
        give_up("usage: peer_fast_float TABLE > OUTPUT");
    }
    std::string out = measure(map_file(words[1]));
    return std::fwrite(out.data(), 1, out.size(), stdout) == out.size() ? 0 : 1;
}
