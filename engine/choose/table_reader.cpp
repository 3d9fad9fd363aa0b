#include "table_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/units.hpp>

namespace pullcast::choose {
namespace {

std::vector<std::string> figure_keys(bool or_price) {
    std::vector<std::string> all;
    if (or_price) all.emplace_back("price");
    for (const auto& f : figures())
        if (f.decimals >= 0) all.emplace_back(f.key);
    return all;
}

const Figure* find_figure(std::string_view key) {
    const auto all = figures();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Figure& f) { return key == f.key; });
    return at == all.end() || at->decimals < 0 ? nullptr : &*at;
}

}  // namespace

const Figure* TableReader::figure_named(const Value& key, bool or_price) {
    const auto* f = find_figure(*key.text());
    if (!f)
        d_.error(key.place, fmt::format("no figure {}", to_text(key)), suggestion(*key.text(), figure_keys(or_price)));
    return f;
}

std::size_t TableReader::column_of(const Figure* f, std::size_t pull) {
    for (std::size_t k = 0; k < read_.columns.size(); ++k)
        if (read_.columns[k].figure == f && read_.columns[k].pull == pull) return k;
    read_.columns.push_back({f, pull});
    return read_.columns.size() - 1;
}

std::optional<double> TableReader::number(const Value& v) {
    if (const auto* n = v.as<std::int64_t>()) return static_cast<double>(*n);
    if (const auto* x = v.as<double>()) return *x;
    return {};
}

std::optional<double> TableReader::quantity(const Value& v, std::string_view unit, const std::string& key,
                                            const std::string& where) {
    if (const auto n = number(v); n && unit == "1") return n;
    if (!v.text()) {
        d_.error(v.place, fmt::format("{} in {} must be a text with a unit, not {}", key, where, kind_of(v)));
        return {};
    }
    const auto parsed = parse_quantity(*v.text(), unit);
    if (const auto* x = std::get_if<double>(&parsed)) return *x;
    const auto& error = std::get<UnitError>(parsed);
    d_.error(v.place, fmt::format("{} = {} in {}: {}", key, to_text(v), where, error.message), error.hint);
    return {};
}

std::optional<std::size_t> TableReader::whole(const Entry& e, const std::string& where, std::int64_t lowest,
                                              std::int64_t highest) {
    const auto* n = e.value.as<std::int64_t>();
    if (n && *n >= lowest && *n <= highest) return static_cast<std::size_t>(*n);
    d_.error(e.value.place, fmt::format("{} = {} in {} must be a whole number from {} to {}", e.key, to_text(e.value),
                                        where, lowest, highest));
    return {};
}

}  // namespace pullcast::choose
