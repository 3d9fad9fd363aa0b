#include "log_cells.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <limits>

namespace pullcast::measure {
namespace {

constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// What loggers and spreadsheets write where there is no value, in small letters.
constexpr std::string_view no_value_words[] = {
    "-",       "--",      "---",    "----",    "n/a",   "#n/a",    "na",       "null",   "none",
    "?",       "nan",     "-nan",   "inf",     "+inf",  "-inf",    "infinity", "1.#inf", "-1.#inf",
    "1.#qnan", "-1.#ind", "1.#ind", "#value!", "#ref!", "#div/0!", "#num!"};

bool is_no_value(std::string_view cell) {
    if (cell.size() > 9) return false;
    std::array<char, 9> small{};
    std::transform(cell.begin(), cell.end(), small.begin(),
                   [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
    const std::string_view word(small.data(), cell.size());
    return std::find(std::begin(no_value_words), std::end(no_value_words), word) != std::end(no_value_words);
}

bool may_start_number(char c) { return (c >= '0' && c <= '9') || c == '-' || c == '+' || c == '.' || c == ','; }

/// The whole of `cell`, with a decimal point.
Cell read_plain(std::string_view cell) {
    auto digits = cell;
    if (digits.starts_with('+') && !digits.starts_with("+-")) digits.remove_prefix(1);
    Cell c{CellKind::number, 0};
    const auto end = digits.data() + digits.size();
    const auto [to, error] = std::from_chars(digits.data(), end, c.value);
    if (error == std::errc::result_out_of_range && to == end) return {CellKind::beyond_range, nan};
    if (error != std::errc() || to != end || !std::isfinite(c.value))
        return {is_no_value(cell) ? CellKind::no_value : CellKind::text, nan};
    return c;
}

/// Splits where some cell may be quoted.
bool split_quoted(std::string_view line, char separator, std::vector<std::string_view>& cells) {
    bool closed = true;
    for (std::size_t from = 0;;) {
        const auto open = std::min(line.find_first_not_of(" \t", from), line.size());
        std::size_t end;
        if (open < line.size() && line[open] == '"' && line[open] != separator) {
            auto close = line.find('"', open + 1);
            while (close != line.npos && close + 1 < line.size() && line[close + 1] == '"')
                close = line.find('"', close + 2);
            closed = closed && close != line.npos;
            const auto inner = std::min(close, line.size());
            cells.push_back(trimmed(line.substr(open + 1, inner - open - 1)));
            end = std::min(line.find(separator, inner), line.size());
        } else {
            end = std::min(line.find(separator, from), line.size());
            cells.push_back(trimmed(line.substr(from, end - from)));
        }
        if (end == line.size()) return closed;
        from = end + 1;
    }
}

}  // namespace

std::vector<std::string_view> lines_of(std::string_view text) {
    std::vector<std::string_view> lines;
    while (!text.empty()) {
        const auto end = std::min(text.find('\n'), text.size());
        auto line = text.substr(0, end);
        if (line.ends_with('\r')) line.remove_suffix(1);
        lines.push_back(line);
        text.remove_prefix(std::min(end + 1, text.size()));
    }
    return lines;
}

bool split(std::string_view line, char separator, std::vector<std::string_view>& cells) {
    cells.clear();
    if (line.find('"') != line.npos) return split_quoted(line, separator, cells);
    for (;;) {
        const auto* at = static_cast<const char*>(std::memchr(line.data(), separator, line.size()));
        const auto end = at ? static_cast<std::size_t>(at - line.data()) : line.size();
        cells.push_back(trimmed(line.substr(0, end)));
        if (!at) return true;
        line.remove_prefix(end + 1);
    }
}

Cell read_cell(std::string_view cell, char decimal) {
    if (cell.empty()) return {CellKind::empty, nan};
    if (!may_start_number(cell[0])) return {is_no_value(cell) ? CellKind::no_value : CellKind::text, nan};
    if (decimal == '.') return read_plain(cell);
    std::array<char, 64> plain{};
    if (cell.size() > plain.size() || cell.find('.') != cell.npos)
        return {is_no_value(cell) ? CellKind::no_value : CellKind::text, nan};
    std::copy(cell.begin(), cell.end(), plain.begin());
    if (const auto comma = cell.find(','); comma != cell.npos) plain[comma] = '.';
    return read_plain({plain.data(), cell.size()});
}

}  // namespace pullcast::measure
