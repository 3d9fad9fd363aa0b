#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <pullcast/network/names.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/table_file.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

constexpr std::size_t most_told = 20;  // faults of one file; a wrong separator would otherwise fill pages

struct Cell {
    std::string_view text;     // trimmed, quotes off
    std::uint32_t column = 1;  // of its first character, in characters
};
struct Row {
    std::uint32_t line = 0;
    std::vector<Cell> cells;
};

std::uint32_t characters(std::string_view s) {
    return static_cast<std::uint32_t>(
        std::count_if(s.begin(), s.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

/// Narrows `text` to what stands between blanks and, if it is quoted, between the quotes.
Cell cell(std::string_view line, std::size_t from, std::size_t to) {
    const auto off = [](char c) { return c == ' ' || c == '\t' || c == '\r'; };
    while (from < to && off(line[from])) ++from;
    while (to > from && off(line[to - 1])) --to;
    if (to - from >= 2 && line[from] == '"' && line[to - 1] == '"') ++from, --to;
    return {line.substr(from, to - from), characters(line.substr(0, from)) + 1};
}

Row split(std::string_view line, std::uint32_t number) {
    Row row{number, {}};
    for (std::size_t from = 0;;) {
        const auto comma = std::min(line.find(',', from), line.size());
        row.cells.push_back(cell(line, from, comma));
        if (comma == line.size()) return row;
        from = comma + 1;
    }
}

/// Header and data rows, without comments and empty lines.
std::vector<Row> rows_of(std::string_view text) {
    std::vector<Row> rows;
    std::uint32_t number = 0;
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        const auto line = text.substr(0, end);
        ++number;
        const auto first = line.find_first_not_of(" \t\r");
        if (first != std::string_view::npos && line[first] != '#') rows.push_back(split(line, number));
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return rows;
}

class GridReader {
    const Source& file_;
    Diagnostics& diagnostics_;
    std::vector<TableColumn> wanted_;
    std::size_t axis_count_, told_ = 0;
    std::vector<Row> rows_;
    struct Used {
        std::size_t at = 0;      // which cell of a row
        std::string_view unit;   // as the file has it
        Conversion convert;
    };
    std::vector<Used> used_;
    std::vector<std::vector<double>> numbers_;  // by wanted column, then by data row

    void tell(const Place& at, std::string message, std::string hint = "") {
        if (++told_ <= most_told) diagnostics_.error(at, std::move(message), std::move(hint));
    }
    Place place_of(const Row& row, const Cell& c) const {
        return {file_, row.line, c.column, std::max(characters(c.text), 1u)};
    }
    void tell(const Row& row, const Cell& c, std::string message, std::string hint = "") {
        tell(place_of(row, c), std::move(message), std::move(hint));
    }
    /// "speed [rpm]" in two, the unit "" where there are no brackets.
    static std::pair<std::string_view, std::string_view> name_and_unit(std::string_view head) {
        const auto open = head.find('[');
        if (open == std::string_view::npos || !head.ends_with(']')) return {head, ""};
        auto name = head.substr(0, open);
        while (name.ends_with(' ')) name.remove_suffix(1);
        return {name, head.substr(open + 1, head.size() - open - 2)};
    }

    static std::string sample(const TableColumn& wanted) {
        const auto unit = wanted.unit == "dK" ? "K" : display_unit(wanted.unit, UnitSystem::metric, wanted.name).unit;
        return fmt::format("\"{} [{}]\"", wanted.name, unit);
    }

    void missing_column(const TableColumn& wanted) {
        const auto& head = rows_[0];
        const auto message = fmt::format("no column '{}'", wanted.name);
        std::vector<std::string> names;
        for (const auto& c : head.cells) names.emplace_back(name_and_unit(c.text).first);
        const auto near = nearest_name(wanted.name, names);
        if (near.empty()) return tell(head, head.cells[0], message, "wanted: " + sample(wanted));
        const auto at = static_cast<std::size_t>(std::find(names.begin(), names.end(), near) - names.begin());
        tell(head, head.cells[at], message, fmt::format("is '{}' meant?", near));
    }

    void use(const TableColumn& wanted) {
        const auto& head = rows_[0];
        const auto has_name = [&](const Cell& c) { return name_and_unit(c.text).first == wanted.name; };
        const auto c = std::find_if(head.cells.begin(), head.cells.end(), has_name);
        if (c == head.cells.end()) return missing_column(wanted);
        const auto again = std::find_if(c + 1, head.cells.end(), has_name);
        if (again != head.cells.end()) return tell(head, *again, fmt::format("a second column '{}'", wanted.name));
        const auto unit = name_and_unit(c->text).second;
        if (unit.empty() && wanted.unit != "1")
            return tell(head, *c, fmt::format("column '{}' has no unit", wanted.name),
                        "write its unit in brackets, for example " + sample(wanted));
        const auto convert = conversion(unit.empty() ? "1" : unit, wanted.unit, {wanted.name, {}}, unit, "");
        if (const auto* e = std::get_if<UnitError>(&convert)) {
            const bool names_unit = e->hint.starts_with("did you mean") || e->hint.starts_with("write");
            return tell(head, *c, e->message, names_unit ? e->hint : "for example " + sample(wanted));
        }
        used_.push_back({static_cast<std::size_t>(c - head.cells.begin()), unit, std::get<Conversion>(convert)});
    }

    void read_number(const Row& row, std::size_t k) {
        const auto& c = row.cells[used_[k].at];
        const auto bad = [&](const std::string& message, std::string hint) {
            tell(row, c, fmt::format("{}: {}", wanted_[k].name, message), std::move(hint));
            numbers_[k].push_back(std::nan(""));
        };
        if (c.text.empty()) return bad("no value", "every grid point needs one");
        const auto read = parse_number(c.text);
        if (const auto* e = std::get_if<UnitError>(&read)) return bad(e->message, e->hint);
        const auto& n = std::get<Number>(read);
        if (n.size != c.text.size())
            return bad(fmt::format("'{}' is not a number", c.text), "units stand in the header only");
        const double si = used_[k].convert(n.value);
        if (!std::isfinite(si)) return bad(fmt::format("'{}' is beyond the range of numbers", c.text), "");
        numbers_[k].push_back(si);
        check_bounds(row, k, si);
    }
    void check_bounds(const Row& row, std::size_t k, double si) {
        const auto& w = wanted_[k];
        const auto& c = row.cells[used_[k].at];
        if (!w.bounds || in_bounds(*w.bounds, si) || ++told_ > most_told) return;
        tell_bounds(*w.bounds, fmt::format("{}: {}", w.name, c.text), place_of(row, c), diagnostics_,
                    w.unit == "dK" ? "" : std::string(used_[k].unit));
    }

    void read_rows() {
        numbers_.resize(wanted_.size());
        for (std::size_t r = 1; r < rows_.size(); ++r) {
            const auto &row = rows_[r], &head = rows_[0];
            if (row.cells.size() == head.cells.size()) {
                for (std::size_t k = 0; k < wanted_.size(); ++k) read_number(row, k);
                continue;
            }
            tell(row, row.cells.back(), fmt::format("{} cells, the header has {}", row.cells.size(), head.cells.size()),
                 row.cells.size() > head.cells.size() ? "a decimal point is '.', a comma starts a new cell" : "");
        }
        if (rows_.size() == 1) tell({file_, rows_[0].line, 1, 1}, "no rows of numbers below the header");
    }

    std::vector<double> axis(std::size_t k) const {
        auto a = numbers_[k];
        std::sort(a.begin(), a.end());
        a.erase(std::unique(a.begin(), a.end()), a.end());
        return a;
    }
    /// The axis value of `row` as the file writes it: "speed = 4000 rpm".
    std::string written(std::size_t k, std::size_t row) const {
        const auto unit = used_[k].unit == "1" ? "" : used_[k].unit;
        return fmt::format("{} = {}{}{}", wanted_[k].name, rows_[row + 1].cells[used_[k].at].text,
                           unit.empty() || unit == "%" ? "" : " ", unit);
    }
    std::string point(const std::vector<std::size_t>& rows) const {
        auto text = written(0, rows[0]);
        return rows.size() > 1 ? text + ", " + written(1, rows[1]) : text;
    }
    /// A row that holds the axis value.
    std::size_t row_with(std::size_t k, double at) const {
        return static_cast<std::size_t>(std::find(numbers_[k].begin(), numbers_[k].end(), at) - numbers_[k].begin());
    }

    /// Which row holds each grid point; duplicates and gaps are told.
    std::map<std::size_t, std::size_t> place(const std::vector<std::vector<double>>& axes) {
        std::map<std::size_t, std::size_t> row_at;
        const std::size_t ny = axes.size() > 1 ? axes[1].size() : 1;
        for (std::size_t r = 0; r < numbers_[0].size(); ++r) {
            std::size_t at = 0;
            for (std::size_t k = 0; k < axes.size(); ++k) {
                const auto found = std::lower_bound(axes[k].begin(), axes[k].end(), numbers_[k][r]) - axes[k].begin();
                at = at * (k ? ny : 1) + static_cast<std::size_t>(found);
            }
            const auto [it, fresh] = row_at.emplace(at, r);
            if (fresh) continue;
            const std::vector<std::size_t> here(axes.size(), r);
            tell(rows_[r + 1], rows_[r + 1].cells[0], fmt::format("a second row for {}", point(here)),
                 fmt::format("the first is line {}", rows_[it->second + 1].line));
        }
        tell_gaps(axes, row_at, axes[0].size() * ny, ny);
        return row_at;
    }
    void tell_gaps(const std::vector<std::vector<double>>& axes, const std::map<std::size_t, std::size_t>& row_at,
                   std::size_t points, std::size_t ny) {
        for (std::size_t at = 0, gaps = 0; at < points && gaps < most_told && row_at.size() + gaps < points; ++at) {
            if (row_at.count(at)) continue;
            ++gaps;
            const std::vector<std::size_t> rows{row_with(0, axes[0][at / ny]), row_with(1, axes[1][at % ny])};
            tell({file_, rows_[0].line, 1, 1}, fmt::format("no row for {}", point(rows)),
                 fmt::format("the grid of {} x {} points wants {} rows", axes[0].size(), axes[1].size(), points));
        }
    }

public:
    GridReader(const Source& file, const std::vector<TableColumn>& axes, const std::vector<TableColumn>& values,
               Diagnostics& diagnostics)
        : file_(file), diagnostics_(diagnostics), wanted_(axes), axis_count_(axes.size()), rows_(rows_of(file->text)) {
        wanted_.insert(wanted_.end(), values.begin(), values.end());
    }

    bool failed() const { return told_ > 0; }
    std::size_t untold() const { return told_ > most_told ? told_ - most_told : 0; }

    GridTable read() {
        if (rows_.empty()) tell({file_, 0, 0, 0}, "no header row", "the first row names the columns");
        else if (rows_[0].cells.size() == 1 && rows_[0].cells[0].text.find_first_of(";\t") != std::string_view::npos)
            tell(rows_[0], rows_[0].cells[0], "only one column", "separate the columns by commas");
        if (failed()) return {};
        for (const auto& w : wanted_) use(w);
        if (failed()) return {};
        read_rows();
        if (failed()) return {};
        GridTable t;
        for (std::size_t k = 0; k < axis_count_; ++k) {
            t.axes.push_back(axis(k));
            if (t.axes[k].size() < 2)
                tell(rows_[1], rows_[1].cells[used_[k].at], fmt::format("only one value of {}", wanted_[k].name),
                     "a table needs at least 2 along each axis");
        }
        if (failed()) return {};
        const auto row_at = place(t.axes);
        if (failed()) return {};
        for (std::size_t k = axis_count_; k < wanted_.size(); ++k) {
            auto& column = t.values.emplace_back();
            for (const auto& [at, row] : row_at) column.push_back(numbers_[k][row]);
        }
        return t;
    }
};

}  // namespace

std::optional<GridTable> read_grid(const Source& file, const std::vector<TableColumn>& axes,
                                   const std::vector<TableColumn>& values, Diagnostics& diagnostics) {
    GridReader reader(file, axes, values, diagnostics);
    auto table = reader.read();
    if (reader.untold())
        diagnostics.error({file, 0, 0, 0}, fmt::format("{} more errors in this file", reader.untold()));
    if (reader.failed()) return {};
    return table;
}

}  // namespace pullcast
