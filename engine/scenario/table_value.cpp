#include <algorithm>
#include <fmt/format.h>
#include <pullcast/network/tables_build.hpp>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/table_file.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {
namespace {

using Array = std::vector<Value>;

std::vector<TableColumn> axes_of(const Field& f) {
    std::vector<TableColumn> axes{{f.x_name, f.x_unit}};
    if (f.kind == Kind::map) axes.push_back({f.y_name, f.y_unit});
    return axes;
}

ParameterValue build(const Field& f, GridTable grid) {
    if (f.kind == Kind::curve)
        return std::make_shared<const CurveData>(
            make_curve(std::move(grid.axes[0]), std::move(grid.values[0]), f.shape_preserving));
    return std::make_shared<const MapData>(
        make_map(std::move(grid.axes[0]), std::move(grid.axes[1]), std::move(grid.values[0]), f.shape_preserving));
}

/// Numbers written in the rig itself: one array for each axis, and one of the values.
class InlineTable {
public:
    InlineTable(const Field& f, std::string what, const Setting& s, Diagnostics& d)
        : f_(f), what_(std::move(what)), s_(s), d_(d) {}

    std::optional<GridTable> read() {
        GridTable grid;
        for (const auto& axis : axes_of(f_)) columns_.push_back(axis.name);
        columns_.emplace_back(f_.name);
        report_unknown();
        if (failed_) return {};
        for (const auto& axis : axes_of(f_))
            if (auto numbers = read_axis(axis)) grid.axes.push_back(std::move(*numbers));
        auto values = failed_ ? std::nullopt : read_values(grid);
        if (!values) return {};
        grid.values.push_back(std::move(*values));
        return grid;
    }

private:
    struct Column {
        const Array* array;
        Conversion convert;
        std::string unit;  // as written; "" for a temperature difference
    };

    void fail(const Place& at, const std::string& message, std::string hint = {}) {
        failed_ = true;
        d_.error(at, fmt::format("{}: {}", what_, message), std::move(hint));
    }

    static std::string name_of(const std::string& key) {
        return key.substr(0, key.find_last_not_of(' ', key.find('[') - 1) + 1);
    }
    static std::string sample(const TableColumn& c) {
        return c.unit == "1" ? fmt::format("{} = [...]", c.name)
                             : fmt::format("\"{} [{}]\" = [...]", c.name, unit_shown(c));
    }
    static std::string unit_shown(const TableColumn& c) {
        return c.unit == "dK" ? "K" : display_unit(c.unit, UnitSystem::metric, c.name).unit;
    }

    std::optional<Column> column(const TableColumn& wanted) {
        for (const auto& e : *s_.value.table())
            if (name_of(e.key) == wanted.name) return column(wanted, e);
        fail(s_.value.place, fmt::format("no array '{}'", wanted.name), "write " + sample(wanted));
        return {};
    }
    std::optional<Column> column(const TableColumn& wanted, const Entry& e) {
        const auto open = e.key.find('[');
        const bool closed = open != e.key.npos && e.key.back() == ']';
        const auto unit = closed ? e.key.substr(open + 1, e.key.size() - open - 2) : "";
        const auto* array = e.value.as<Array>();
        if (!array)
            return fail(e.value.place, fmt::format("'{}' must be an array, not {}", e.key, kind_of(e.value))),
                   std::nullopt;
        if (unit.empty() && wanted.unit != "1")
            return fail(e.place, fmt::format("'{}' has no unit", e.key), "write " + sample(wanted)), std::nullopt;
        const auto convert = conversion(unit.empty() ? "1" : unit, wanted.unit, {wanted.name, {}}, unit, "");
        if (const auto* error = std::get_if<UnitError>(&convert))
            return fail(e.place, error->message, "for example " + sample(wanted)), std::nullopt;
        return Column{array, std::get<Conversion>(convert), wanted.unit == "dK" ? "" : unit};
    }

    std::optional<double> number(const Value& v, const Conversion& convert) {
        if (const auto* real = v.as<double>()) return convert(*real);
        if (const auto* integer = v.as<std::int64_t>()) return convert(static_cast<double>(*integer));
        fail(v.place, fmt::format("{} is not a number", to_text(v)),
             v.text() ? "the unit stands with the array's name" : "");
        return {};
    }

    std::optional<std::vector<double>> read_axis(const TableColumn& wanted) {
        const auto c = column(wanted);
        if (!c) return {};
        std::vector<double> numbers;
        for (const auto& v : *c->array) {
            const auto x = number(v, c->convert);
            if (!x) return {};
            if (!numbers.empty() && *x <= numbers.back())
                return fail(v.place, fmt::format("{} must rise, and {} does not", wanted.name, to_text(v))),
                       std::nullopt;
            numbers.push_back(*x);
        }
        if (numbers.size() < 2)
            return fail(s_.value.place, fmt::format("{} needs at least 2 points", wanted.name)), std::nullopt;
        return numbers;
    }

    std::optional<std::vector<double>> read_values(const GridTable& grid) {
        const auto c = column({f_.name, f_.unit});
        if (!c) return {};
        std::vector<double> numbers;
        if (f_.kind == Kind::curve)
            return read_row(*c->array, *c, grid.axes[0].size(), s_.value.place, f_.x_name, numbers);
        if (c->array->size() != grid.axes[0].size())
            return fail(s_.value.place,
                        fmt::format("{} has {} rows, {} has {} points", f_.name, c->array->size(), f_.x_name,
                                    grid.axes[0].size()),
                        "one row for each of them"),
                   std::nullopt;
        for (const auto& row : *c->array) {
            const auto* values = row.as<Array>();
            if (!values)
                return fail(row.place, fmt::format("{} is not a row", to_text(row)),
                            fmt::format("one array over {} for each point of {}", f_.y_name, f_.x_name)), std::nullopt;
            if (!read_row(*values, *c, grid.axes[1].size(), row.place, f_.y_name, numbers)) return {};
        }
        return numbers;
    }

    /// Appends a row to `numbers`, and returns them.
    std::optional<std::vector<double>> read_row(const Array& row, const Column& c, std::size_t wanted, const Place& at,
                                                const char* axis, std::vector<double>& numbers) {
        if (row.size() != wanted)
            return fail(at, fmt::format("{} values of {} for {} of {}", row.size(), f_.name, wanted, axis)),
                   std::nullopt;
        for (const auto& v : row) {
            const auto x = number(v, c.convert);
            if (!x) return {};
            if (!in_bounds(f_, *x))
                return tell_bounds(f_, fmt::format("{}: {}", what_, to_text(v)), v.place, d_, c.unit), std::nullopt;
            numbers.push_back(*x);
        }
        return numbers;
    }

    void report_unknown() {
        for (const auto& e : *s_.value.table())
            if (const auto name = name_of(e.key); std::find(columns_.begin(), columns_.end(), name) == columns_.end())
                fail(e.place, fmt::format("unknown key '{}'", e.key), suggestion(name, columns_));
    }

    const Field& f_;
    std::string what_;
    const Setting& s_;
    Diagnostics& d_;
    std::vector<std::string> columns_;
    bool failed_ = false;
};

std::optional<GridTable> read_file(const Field& f, const std::string& what, const Value& table, Diagnostics& d) {
    Keys keys(table, what, d);
    const auto* file = keys.text("file");
    keys.finish();
    if (!file) return {};
    const auto source = read_source(beside(file->value.place, *file->value.text()), file->value.place, d);
    return source ? read_grid(source, axes_of(f), {{f.name, f.unit, &f}}, d) : std::nullopt;
}

}  // namespace

std::optional<ParameterValue> bind_table(const Field& f, const std::string& owner, const Setting& s, Diagnostics& d) {
    const auto what = fmt::format("{}.{}", owner, s.key);
    const auto* table = s.value.table();
    if (!table) {
        d.error(s.value.place, fmt::format("{} must be a table, not {} {}", what, kind_of(s.value), field_note(f)),
                "its numbers, or { file = \"name.csv\" }");
        return {};
    }
    const bool from_file = std::any_of(table->begin(), table->end(), [](const Entry& e) { return e.key == "file"; });
    auto grid = from_file ? read_file(f, what, s.value, d) : InlineTable(f, what, s, d).read();
    if (!grid) return {};
    return build(f, std::move(*grid));
}

}  // namespace pullcast
