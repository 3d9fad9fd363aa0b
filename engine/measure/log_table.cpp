#include <fmt/format.h>

#include <algorithm>
#include <pullcast/measure/log_table.hpp>
#include <pullcast/measure/unit_words.hpp>

#include "log_form.hpp"

namespace pullcast::measure {
namespace {

constexpr std::size_t most_cells = 100'000'000, most_columns = 2000;

bool is_utf8(std::string_view s) {
    for (std::size_t i = 0; i < s.size();) {
        const auto c = static_cast<unsigned char>(s[i]);
        const std::size_t more = c < 0x80 ? 0 : c >= 0xF0 ? 3 : c >= 0xE0 ? 2 : c >= 0xC2 ? 1 : 9;
        if (i + more >= s.size() + (more ? 0 : 1) || more == 9) return false;
        for (std::size_t k = 1; k <= more; ++k)
            if ((static_cast<unsigned char>(s[i + k]) & 0xC0) != 0x80) return false;
        i += more + 1;
    }
    return true;
}
std::string from_latin1(std::string_view s) {
    std::string out;
    for (const char c : s) {
        const auto code = static_cast<unsigned char>(c);
        if (code < 0x80) out += c;
        else out += static_cast<char>(0xC0 | code >> 6), out += static_cast<char>(0x80 | (code & 0x3F));
    }
    return out;
}

class TableReader {
public:
    TableReader(const LogText& text, Layout layout, LogTable& out)
        : text_(text), layout_(std::move(layout)), out_(out) {}

    void read() {
        layout_.text.resize(layout_.width);
        out_.source = text_.source, out_.separator = layout_.separator, out_.decimal = layout_.decimal;
        read_header();
        out_.lines_below_header = text_.lines.size() - layout_.first;
        reserve();
        for (auto k = layout_.first; k < text_.lines.size(); ++k) read_line(k);
    }

private:
    static std::uint32_t number(std::size_t line) { return static_cast<std::uint32_t>(line + 1); }

    // ---- header -----------------------------------------------------------------------------------------------------
    std::string utf8(std::string_view cell, std::size_t line, std::size_t column) {
        if (is_utf8(cell)) return std::string(cell);
        const auto text = from_latin1(cell);
        out_.repairs.add("header not in UTF-8: read as ISO 8859-1", number(line), number(column), text);
        return text;
    }
    void read_header() {
        out_.columns.resize(layout_.width);
        if (layout_.header) read_names(*layout_.header);
        if (layout_.unit) read_units(*layout_.unit);
        for (std::size_t i = 0; i < layout_.width; ++i) {
            auto& c = out_.columns[i];
            c.text = layout_.text[i];
            if (c.name.empty()) c.name = fmt::format("column {}", i + 1);
            if (c.unit.empty()) c.unit = heading(c.name).unit;
        }
    }
    void read_names(std::size_t line) {
        out_.header_line = number(line);
        split(without_comment_sign(text_.lines[line]), layout_.separator, cells_);
        for (std::size_t i = 0; i < layout_.width; ++i) {
            auto name = i < cells_.size() ? utf8(cells_[i], line, i) : "";
            if (name.empty()) {
                out_.repairs.add("column without a name: called by its number", number(line), number(i));
            } else if (out_.find(name)) {
                out_.repairs.add("a second column of this name: its number is added", number(line), number(i), name);
                name += fmt::format(" (column {})", i + 1);
            }
            out_.columns[i].name = std::move(name);
        }
    }
    void read_units(std::size_t line) {
        out_.unit_line = number(line);
        split(without_comment_sign(text_.lines[line]), layout_.separator, cells_);
        for (std::size_t i = 0; i < std::min(layout_.width, cells_.size()); ++i)
            out_.columns[i].unit = utf8(cells_[i], line, i);
    }

    // ---- rows -------------------------------------------------------------------------------------------------------
    void reserve() {
        out_.line.reserve(out_.lines_below_header);
        for (auto& c : out_.columns)
            if (c.text) c.words.reserve(out_.lines_below_header);
            else c.numbers.reserve(out_.lines_below_header);
    }
    bool same_as(std::optional<std::size_t> other, std::string_view line) const {
        return other && trimmed(text_.lines[*other]) == line;
    }
    void read_line(std::size_t k) {
        const auto line = trimmed(text_.lines[k]);
        const auto leave_out = [&](const char* what) { out_.repairs.leave_out(what, number(k), line); };
        if (line.empty()) return out_.repairs.leave_out("blank line", number(k));
        if (same_as(layout_.header, line)) return leave_out("header repeated");
        if (same_as(layout_.unit, line)) return leave_out("unit row repeated");
        if (line.starts_with('#')) return leave_out("comment");
        const bool cut = k + 1 == text_.lines.size() && !text_.ends_with_break;
        const bool closed = split(text_.lines[k], layout_.separator, cells_);
        if (const char* what = fault_of_row(closed, cut)) return leave_out(what);
        if (cells_.size() > layout_.width)
            out_.repairs.add("more separators than in the header, nothing behind them: passed over", number(k));
        take(k, cut);
    }
    /// Why the cells are no row; null where they are one.
    const char* fault_of_row(bool closed, bool cut) const {
        const auto n = cells_.size();
        if (cut && (n < layout_.width || !closed)) return "last line, cut off before its end";
        if (!closed) return "row with a quote that is not closed";
        const bool any_number = std::any_of(cells_.begin(), cells_.end(), [&](auto cell) {
            return read_cell(cell, layout_.decimal).kind == CellKind::number;
        });
        if (!any_number) return "line without numbers";
        if (n < layout_.width) return "row with fewer cells than the header";
        const auto extra = [](std::string_view cell) { return !cell.empty(); };
        if (std::any_of(cells_.begin() + static_cast<std::ptrdiff_t>(layout_.width), cells_.end(), extra))
            return "row with more cells than the header";
        return nullptr;
    }
    void take(std::size_t k, bool cut) {
        const auto line = number(k);
        if (cut) cut_last_cell(line);
        for (std::size_t i = 0; i < layout_.width; ++i) {
            auto& column = out_.columns[i];
            if (column.text) column.words.push_back(cells_[i]);
            else column.numbers.push_back(number_in(line, i));
        }
        out_.line.push_back(line);
    }
    void cut_last_cell(std::uint32_t line) {
        auto& last = cells_[layout_.width - 1];
        if (cells_.size() > layout_.width || last.empty()) return;
        out_.repairs.add("the last line has no line break, its last cell may be cut off: taken as no value", line,
                         number(layout_.width - 1), last);
        last = {};
        cut_ = true;
    }
    double number_in(std::uint32_t line, std::size_t i) {
        if (cut_ && i + 1 == layout_.width) return std::numeric_limits<double>::quiet_NaN();
        const auto cell = read_cell(cells_[i], layout_.decimal);
        if (cell.kind == CellKind::number) return cell.value;
        if (const char* what = fault_of_cell(cell.kind)) out_.repairs.add(what, line, number(i), cells_[i]);
        return cell.value;
    }
    static const char* fault_of_cell(CellKind kind) {
        switch (kind) {
            case CellKind::empty:
                return "empty cell: no value";
            case CellKind::no_value:
                return "a word for no value";
            case CellKind::beyond_range:
                return "beyond the range of numbers: taken as no value";
            case CellKind::text:
                return "text in a column of numbers: taken as no value";
            case CellKind::number:
                break;
        }
        return nullptr;
    }

    const LogText& text_;
    Layout layout_;
    LogTable& out_;
    std::vector<std::string_view> cells_;
    bool cut_ = false;  // the last line's last cell
};

/// Lines that are no rows though they should be; blank lines, comments and repeated headers are no fault of the rows.
std::size_t lost_rows(const LogTable& t) {
    std::size_t n = 0;
    for (const auto& r : t.repairs.all())
        if (r.row_left_out && (r.what.starts_with("row") || r.what.starts_with("line"))) n += r.count;
    return n;
}

const Repair* worst(const LogTable& t) {
    const Repair* most = nullptr;
    for (const auto& r : t.repairs.all())
        if (r.row_left_out && r.what.starts_with("row") && (!most || r.count > most->count)) most = &r;
    return most;
}

bool trustworthy(const LogTable& t, Diagnostics& diagnostics) {
    if (t.rows() < 2) {
        diagnostics.error({t.source}, fmt::format("{} rows of numbers; a log has at least 2", t.rows()));
        return false;
    }
    const auto* most = worst(t);
    if (!most || 2 * lost_rows(t) <= t.rows() + lost_rows(t)) return true;
    diagnostics.error(
        {t.source, most->first_line(), 1, 1},
        fmt::format("more than half of the rows cannot be read: {} of {}", lost_rows(t), t.rows() + lost_rows(t)),
        fmt::format("the first {} is this", most->what));
    return false;
}

}  // namespace

const LogColumn* LogTable::find(std::string_view name) const {
    const auto at = std::find_if(columns.begin(), columns.end(), [&](const auto& c) { return c.name == name; });
    return at == columns.end() || name.empty() ? nullptr : &*at;
}

std::optional<LogTable> read_log_table(const Source& source, const LogForm& stated, Diagnostics& diagnostics) {
    LogTable table;
    const auto text = text_of(source, table.repairs, diagnostics);
    if (!text) return {};
    auto layout = layout_of(*text, stated, diagnostics);
    if (!layout) return {};
    if (layout->width > most_columns || layout->width * text->lines.size() > most_cells) {
        diagnostics.error({source}, fmt::format("{} columns in {} lines; at most {} columns and {} million cells",
                                                layout->width, text->lines.size(), most_columns, most_cells / 1000000));
        return {};
    }
    TableReader(*text, std::move(*layout), table).read();
    if (!trustworthy(table, diagnostics)) return {};
    return table;
}

}  // namespace pullcast::measure
