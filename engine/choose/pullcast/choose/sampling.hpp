/// Points that fill a unit cube evenly, the same for a seed on every machine.
#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

namespace pullcast::choose {

/// Row by row: points[k][j] in (0, 1), never 0 or 1.
using Points = std::vector<std::vector<double>>;

/// The first `count` points of a Sobol sequence (directions of Joe and Kuo 2008), the origin among them, each
/// coordinate shifted by one random bit pattern of the seed (a digital shift: the nets stay nets). Best where `count`
/// is a power of two. A coordinate does not depend on how many follow it. Throws std::invalid_argument unless `count`
/// >= 1 and `dimensions` is 1 to 64.
Points sobol_points(std::size_t count, std::size_t dimensions, std::uint64_t seed);

/// One point in each of `count` equal slices of every coordinate, at a random place in it, slices paired at random
/// (McKay, Beckman, Conover 1979). Throws std::invalid_argument unless `count` is 1 to 2^20 and `dimensions` >= 1.
Points latin_hypercube(std::size_t count, std::size_t dimensions, std::uint64_t seed);

/// Centred L2 discrepancy of points (Hickernell 1998; the root, not its square): how far they are from evenly spread; 0
/// would be perfect. Takes count^2 * dimensions steps. Throws std::invalid_argument for no points, rows that differ in
/// length and coordinates outside [0, 1].
double centred_discrepancy(const Points& points);

}  // namespace pullcast::choose
