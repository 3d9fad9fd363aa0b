/// What the conformance suite needs to know beside a type's own schema: values for required parameters, tables, and
/// the range of each signal. The author of a new type adds rows here, and only where its schema has no preset.
#pragma once
#include <pullcast/plugin.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast::test {

/// SI value of a required parameter; an empty type serves every type.
struct NumberRow {
    std::string_view type, parameter;
    double value;
};
struct CurveRow {
    std::string_view type, parameter;
    std::vector<double> x, y;
};
/// values[i * y.size() + j] stands at (x[i], y[j]).
struct MapRow {
    std::string_view type, parameter;
    std::vector<double> x, y, values;
};
/// Range of a signal that a type attaches to, by the name of its end.
struct SignalRow {
    std::string_view name;
    double lo, hi;
};

/// An optional end that a type needs all the same once a choice of it is taken: it then stays connected.
struct NeedRow {
    std::string_view parameter, choice, end;
};

extern const std::vector<NumberRow> conformance_numbers;
extern const std::vector<CurveRow> conformance_curves;
extern const std::vector<MapRow> conformance_maps;
extern const std::vector<SignalRow> conformance_signals;
extern const std::vector<NeedRow> conformance_needs;

/// The row for a type and parameter, or the one that serves every type, or null.
template <class Row>
const Row* find_row(const std::vector<Row>& rows, std::string_view type, std::string_view parameter) {
    const Row* general = nullptr;
    for (const Row& r : rows) {
        if (r.parameter != parameter) continue;
        if (r.type == type) return &r;
        if (r.type.empty()) general = &r;
    }
    return general;
}

}  // namespace pullcast::test
