/// Curves and maps from CSV files: numbers on a grid, one row a grid point, in any order.
///
///     # invented demo data; lines that start with '#' are comments
///     speed [rpm], pressure_ratio [1], volumetric_efficiency [%]
///     4000, 1.2, 88.1
///     4000, 1.4, 85.0
///
/// The header names each column and gives its unit in brackets; a column without unit holds plain numbers. Columns that
/// nobody asks for may hold anything.
#pragma once
#include <optional>
#include <pullcast/scenario/diagnostics.hpp>

namespace pullcast {

struct Field;

struct TableColumn {
    std::string name, unit;         // unit of the schema
    const Field* bounds = nullptr;  // whose bounds every number keeps; null: none
};

/// In the units of the schema. Axes rise; on two axes, the value at (i, j) stands at [i * axes[1].size() + j].
struct GridTable {
    std::vector<std::vector<double>> axes, values;
};

/// Reads the grid of one or two `axes` and the `values` on it. Every fault goes to `diagnostics`; nothing is returned
/// where there was one.
std::optional<GridTable> read_grid(const Source& file, const std::vector<TableColumn>& axes,
                                   const std::vector<TableColumn>& values, Diagnostics& diagnostics);

}  // namespace pullcast
