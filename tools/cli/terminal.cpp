#include "terminal.hpp"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <sstream>

namespace pullcast {

std::size_t terminal_width() {
    if (const char* columns = std::getenv("COLUMNS"))
        if (const int n = std::atoi(columns); n > 0) return static_cast<std::size_t>(n);
    winsize size{};
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
    return 100;
}

std::size_t shown_width(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xc0) != 0x80; }));
}

std::string wrapped(const std::string& text, std::size_t width, const std::string& first, const std::string& rest) {
    std::istringstream words(text);
    std::string out, line = first;
    bool fresh = true;
    for (std::string word; words >> word;) {
        if (!fresh && shown_width(line) + 1 + shown_width(word) > width) out += line + "\n", line = rest, fresh = true;
        line += (fresh ? "" : " ") + word;
        fresh = false;
    }
    return out + line + "\n";
}

namespace {

std::string padded(const std::string& text, std::size_t width, bool right) {
    const std::size_t gap = width - std::min(width, shown_width(text));
    return right ? std::string(gap, ' ') + text : text + std::string(gap, ' ');
}

std::string block(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, const std::vector<std::size_t>& columns,
                  const std::vector<std::size_t>& widths, std::size_t label, std::size_t unit) {
    std::string out = std::string(label + 2 + unit, ' ');
    for (const auto c : columns) out += "  " + padded(heads[c], widths[c], true);
    out += "\n";
    for (const auto& r : rows) {
        if (r.cells.empty()) {
            out += r.label + "\n";
            continue;
        }
        out += padded(r.label, label, false) + "  " + padded(r.unit, unit, false);
        for (const auto c : columns) out += "  " + padded(r.cells[c], widths[c], true);
        out += "\n";
    }
    return out;
}

}  // namespace

std::string table(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, std::size_t width) {
    std::size_t label = 0, unit = 0;
    std::vector<std::size_t> widths;
    for (const auto& h : heads) widths.push_back(shown_width(h));
    for (const auto& r : rows) {
        label = std::max(label, r.cells.empty() ? 0 : shown_width(r.label));
        unit = std::max(unit, shown_width(r.unit));
        for (std::size_t c = 0; c < r.cells.size(); ++c) widths[c] = std::max(widths[c], shown_width(r.cells[c]));
    }
    std::string out;
    for (std::size_t next = 0; next < heads.size();) {
        std::vector<std::size_t> columns;
        std::size_t used = label + 2 + unit;
        const auto take = [&](std::size_t c) { columns.push_back(c), used += 2 + widths[c]; };
        if (next > 0) take(0);
        const auto before = next;
        while (next < heads.size() && (next == before || used + 2 + widths[next] <= width)) take(next++);
        out += (out.empty() ? "" : "\n") + block(heads, rows, columns, widths, label, unit);
    }
    return out;
}

}  // namespace pullcast
