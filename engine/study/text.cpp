#include <algorithm>
#include <cctype>
#include <cstdint>
#include <pullcast/study/text.hpp>
#include <sstream>

namespace pullcast {
namespace {

constexpr std::size_t gap = 2;  // between columns

std::string padded(const std::string& text, std::size_t width, bool right) {
    const std::string space(width - std::min(width, shown_width(text)), ' ');
    return right ? space + text : text + space;
}

/// Widths of the label, the unit and the columns.
struct Layout {
    std::size_t label = 0, unit = 0;
    std::vector<std::size_t> columns;

    Layout(const std::vector<std::string>& heads, const std::vector<TableRow>& rows) {
        for (const auto& h : heads) columns.push_back(shown_width(h));
        for (const auto& r : rows) {
            if (r.cells.empty()) continue;
            label = std::max(label, shown_width(r.label));
            unit = std::max(unit, shown_width(r.unit));
            for (std::size_t c = 0; c < r.cells.size(); ++c) columns[c] = std::max(columns[c], shown_width(r.cells[c]));
        }
    }
    std::size_t front() const { return label + gap + unit; }
};

std::string block(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, const Layout& layout,
                  const std::vector<std::size_t>& columns) {
    const auto cells = [&](const std::vector<std::string>& texts) {
        std::string line;
        for (const auto c : columns) line += std::string(gap, ' ') + padded(texts[c], layout.columns[c], true);
        return line + "\n";
    };
    std::string out = std::string(layout.front(), ' ') + cells(heads);
    for (const auto& r : rows) {
        out += padded(r.label, r.cells.empty() ? 0 : layout.label + gap, false);
        out += r.cells.empty() ? "\n" : padded(r.unit, layout.unit, false) + cells(r.cells);
    }
    return out;
}

/// Words; a number stays with what follows it, mostly its unit.
std::vector<std::string> pieces(const std::string& text) {
    std::istringstream words(text);
    std::vector<std::string> all;
    bool number = false;
    for (std::string word; words >> word;) {
        if (number) all.back() += " " + word;
        else all.push_back(word);
        number = !number && word.find_first_not_of("(+-.0123456789") == word.npos && std::isdigit(uint8_t(word.back()));
    }
    return all;
}

}  // namespace

std::size_t shown_width(const std::string& text) {
    const auto n = std::count_if(text.begin(), text.end(), [](char c) { return (c & 0xc0) != 0x80; });
    return static_cast<std::size_t>(n);
}

std::string wrapped(const std::string& text, std::size_t width, const std::string& first, const std::string& rest) {
    std::string out, line = first;
    bool fresh = true;
    for (const auto& piece : pieces(text)) {
        if (!fresh && shown_width(line) + 1 + shown_width(piece) > width) out += line + "\n", line = rest, fresh = true;
        line += (fresh ? "" : " ") + piece;
        fresh = false;
    }
    return out + line + "\n";
}

std::string table(const std::vector<std::string>& heads, const std::vector<TableRow>& rows, std::size_t width) {
    const Layout layout(heads, rows);
    std::string out;
    for (std::size_t next = 0; next < heads.size();) {
        std::vector<std::size_t> columns;
        std::size_t used = layout.front();
        const auto take = [&](std::size_t c) { columns.push_back(c), used += gap + layout.columns[c]; };
        if (next > 0) take(0);
        const auto before = next;
        while (next < heads.size() && (next == before || used + gap + layout.columns[next] <= width)) take(next++);
        out += (out.empty() ? "" : "\n") + block(heads, rows, layout, columns);
    }
    return out;
}

}  // namespace pullcast
