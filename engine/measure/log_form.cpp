// Separator, decimal mark, width, header: found in a sample of lines.
#include "log_form.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <pullcast/measure/unit_words.hpp>

namespace pullcast::measure {
namespace {

using Cells = std::vector<std::string_view>;

constexpr std::size_t sample_size = 400;
constexpr char separators[] = {'\t', ';', '|', ','}, decimals[] = {'.', ','};

/// Half of the sample from the start, half spread over the rest.
std::vector<std::size_t> sample_of(const std::vector<std::string_view>& lines, std::size_t from) {
    std::vector<std::size_t> sample;
    const auto n = lines.size() - from;
    const std::size_t head = std::min(n, sample_size / 2), rest = n - head;
    for (std::size_t k = 0; k < head; ++k) sample.push_back(from + k);
    const auto more = std::min(rest, sample_size / 2);
    for (std::size_t k = 0; k < more; ++k) sample.push_back(from + head + k * rest / more);
    return sample;
}

struct Counts {
    std::size_t numbers = 0, texts = 0;
};
Counts count(const Cells& cells, char decimal) {
    Counts c;
    for (const auto cell : cells) {
        const auto kind = read_cell(cell, decimal).kind;
        c.numbers += kind == CellKind::number || kind == CellKind::beyond_range;
        c.texts += kind == CellKind::text;
    }
    return c;
}

struct Candidate {
    char separator = 0, decimal = 0;
    std::size_t width = 0;
    long score = 0;
};

/// The width that most rows of numbers have, and the numbers less the texts in rows of that width.
Candidate judged(const LogText& text, const std::vector<std::size_t>& sample, char separator, char decimal) {
    struct Tally {
        std::size_t rows = 0;
        long score = 0;
    };
    std::map<std::size_t, Tally> widths;
    Cells cells;
    for (const auto k : sample) {
        if (is_blank(text.lines[k]) || is_comment(text.lines[k])) continue;
        split(text.lines[k], separator, cells);
        const auto c = count(cells, decimal);
        if (cells.size() < 2 || c.numbers < 1 || c.texts > c.numbers) continue;
        auto& tally = widths[cells.size()];
        ++tally.rows, tally.score += static_cast<long>(c.numbers) - static_cast<long>(c.texts);
    }
    Candidate best{separator, decimal, 0, 0};
    std::size_t rows = 0;
    for (const auto& [width, tally] : widths)
        if (tally.rows >= rows) rows = tally.rows, best.width = width, best.score = tally.score;
    return best;
}

Candidate best_candidate(const LogText& text, const std::vector<std::size_t>& sample, const LogForm& stated) {
    Candidate best;
    for (const char separator : separators) {
        if (stated.separator && separator != stated.separator) continue;
        for (const char decimal : decimals) {
            if (stated.decimal && decimal != stated.decimal) continue;
            const auto c = judged(text, sample, separator, decimal);
            if (c.width && (!best.width || c.score > best.score)) best = c;
        }
    }
    return best;
}

class Finder {
public:
    Finder(const LogText& text, const LogForm& stated, Diagnostics& diagnostics)
        : text_(text), stated_(stated), diagnostics_(diagnostics) {}

    std::optional<Layout> find() {
        if (stated_.header_line.value_or(0) > text_.lines.size())
            return fail(0, fmt::format("no line {}: the log has {}", *stated_.header_line, text_.lines.size()),
                        "'header_line' in [log] is beyond the end");
        const auto sample = sample_of(text_.lines, stated_.header_line.value_or(0));
        const auto best = best_candidate(text_, sample, stated_);
        if (!best.width) return fail(0, "no rows of numbers found", no_rows_hint());
        out_.separator = best.separator, out_.decimal = best.decimal, out_.width = best.width;
        find_text_columns(sample);
        if (!find_first()) return fail(0, "no rows of numbers found", no_rows_hint());
        if (!find_header()) return {};
        return out_;
    }

private:
    std::optional<Layout> fail(std::size_t line, std::string message, std::string hint) {
        Place at{text_.source};
        if (line) at = {text_.source, static_cast<std::uint32_t>(line), 1, 1};
        diagnostics_.error(at, std::move(message), std::move(hint));
        return {};
    }
    std::string no_rows_hint() const {
        if (!stated_.separator && !stated_.decimal)
            return "a row has two or more cells, separated by ',' ';' a tab or '|'";
        return "does the mapping state another separator or decimal mark than the log has?";
    }
    std::size_t split_line(std::size_t k) { return split(text_.lines[k], out_.separator, cells_), cells_.size(); }

    /// Columns with more texts than numbers.
    void find_text_columns(const std::vector<std::size_t>& sample) {
        std::vector<int> balance(out_.width);
        for (const auto k : sample) {
            if (is_comment(text_.lines[k]) || split_line(k) != out_.width) continue;
            const auto c = count(cells_, out_.decimal);
            if (c.numbers < 1 || c.texts > c.numbers) continue;
            for (std::size_t i = 0; i < out_.width; ++i) {
                const auto kind = read_cell(cells_[i], out_.decimal).kind;
                balance[i] += kind == CellKind::number ? 1 : kind == CellKind::text ? -1 : 0;
            }
        }
        for (const int b : balance) out_.text.push_back(b < 0);
    }
    /// A row of the width whose columns of numbers hold numbers.
    bool is_row(std::size_t k) {
        if (is_comment(text_.lines[k]) || split_line(k) != out_.width) return false;
        std::size_t numbers = 0, texts = 0;
        for (std::size_t i = 0; i < out_.width; ++i) {
            if (out_.text[i]) continue;
            const auto kind = read_cell(cells_[i], out_.decimal).kind;
            numbers += kind == CellKind::number, texts += kind == CellKind::text;
        }
        return numbers > 0 && 4 * texts <= numbers + texts;
    }
    bool find_first() {
        const auto from = stated_.header_line.value_or(0);
        for (out_.first = from; out_.first < text_.lines.size(); ++out_.first)
            if (is_row(out_.first)) return true;
        return false;
    }

    /// The nearest line that is not blank, nor a comment of one cell.
    std::optional<std::size_t> line_above(std::size_t k) {
        while (k > 0) {
            --k;
            if (is_blank(text_.lines[k]) || (is_comment(text_.lines[k]) && split_header(k) < 2)) continue;
            return k;
        }
        return {};
    }
    std::size_t split_header(std::size_t k) {
        split(without_comment_sign(text_.lines[k]), out_.separator, cells_);
        return cells_.size();
    }
    /// Most cells that are not empty are units, and none is a number.
    bool holds_units(std::size_t k) {
        std::size_t units = 0, others = 0;
        split_header(k);
        for (const auto cell : cells_) {
            if (cell.empty()) continue;
            if (read_cell(cell, out_.decimal).kind == CellKind::number) return false;
            (unit_word(cell) ? units : others) += 1;
        }
        return units > others;
    }
    bool holds_names(std::size_t k) {
        const auto cells = split_header(k);
        const auto c = count(cells_, out_.decimal);
        return cells > 1 && c.texts > c.numbers && 2 * c.texts >= cells;
    }

    bool find_header() {
        if (stated_.header_line) return find_stated_header();
        auto above = line_above(out_.first);
        if (!above) return no_header();
        if (holds_units(*above)) {
            const auto names = line_above(*above);
            const auto width = split_header(*above);
            if (names && holds_names(*names) && split_header(*names) == width) out_.unit = above, above = names;
        }
        if (!holds_names(*above)) return no_header();
        out_.header = above, out_.first = out_.unit.value_or(*above) + 1;
        return fits();
    }
    bool find_stated_header() {
        if (*stated_.header_line == 0) return out_.first = 0, true;
        out_.header = *stated_.header_line - 1;
        const auto below = *out_.header + 1;
        if (below < out_.first && holds_units(below)) out_.unit = below;
        out_.first = out_.unit.value_or(*out_.header) + 1;
        return fits();
    }
    bool no_header() {
        fail(out_.first + 1, "no header above the first row of numbers",
             "a header names every column; if there is none, write header_line = 0 in the mapping's [log]");
        return false;
    }

    /// Cells of the header without empty ones at its end.
    std::size_t header_width() {
        split_header(*out_.header);
        while (!cells_.empty() && cells_.back().empty()) cells_.pop_back();
        return cells_.size();
    }
    /// Rows may end with a separator that the header lacks.
    bool fits() {
        const auto names = header_width(), cells = out_.width;
        if (names == cells || (names < cells && last_cells_are_empty(names))) return out_.width = names, true;
        if (names < cells && split_header(*out_.header) == cells) return true;  // the last columns have no names
        const auto first = next_row(out_.first);
        const bool halves = out_.separator == ',' && (cells == 2 * names || (names > 3 && cells + 1 == 2 * names));
        fail(first + 1, fmt::format("rows of {} cells below a header of {}", cells, names),
             halves ? "a decimal comma cannot be told from a comma between cells: export with ';' or tabs"
                    : "every column needs one name; the header is line " + std::to_string(*out_.header + 1));
        return false;
    }
    std::size_t next_row(std::size_t k) {
        while (k < text_.lines.size() && !is_row(k)) ++k;
        return k;
    }
    bool last_cells_are_empty(std::size_t names) {
        for (const auto k : sample_of(text_.lines, out_.first)) {
            if (!is_row(k)) continue;
            for (std::size_t i = names; i < cells_.size(); ++i)
                if (!cells_[i].empty()) return false;
        }
        return true;
    }

    const LogText& text_;
    const LogForm& stated_;
    Diagnostics& diagnostics_;
    Layout out_;
    Cells cells_;
};

}  // namespace

std::optional<Layout> layout_of(const LogText& text, const LogForm& stated, Diagnostics& diagnostics) {
    return Finder(text, stated, diagnostics).find();
}

}  // namespace pullcast::measure
