/// Slopes of curves and maps, computed once when a table is read.
///
/// Spline: C2, natural ends (second derivative 0). With h_k = x_k+1 - x_k and d_k = (y_k+1 - y_k) / h_k, the slopes m
/// solve
///     m_k-1 / h_k-1 + 2 (1/h_k-1 + 1/h_k) m_k + m_k+1 / h_k = 3 (d_k-1 / h_k-1 + d_k / h_k),
///     2 m_0 + m_1 = 3 d_0,   m_n-2 + 2 m_n-1 = 3 d_n-2
/// (C. de Boor, A Practical Guide to Splines, ch. IV, in slope form). Error O(h^4) inside, O(h^2) towards an end at
/// which the function's own second derivative is not 0.
///
/// Shape-preserving: C1; m_k = 0 where the data turn, else the weighted harmonic mean of d_k-1 and d_k
///     (w1 + w2) / (w1 / d_k-1 + w2 / d_k),   w1 = 2 h_k + h_k-1,   w2 = h_k + 2 h_k-1
/// (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300-304), so that monotone data stay monotone by
/// the condition of F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238-246. Ends: three-point slope,
/// limited.
///
/// Maps: along each axis as above. The cross derivative is the spline of one slope table along the other axis (both
/// orders give the same). Shape-preserving: of the two orders the smaller, 0 where their signs differ. That keeps
/// monotone data monotone along every grid line. Between grid lines the map can still turn where steep and flat cells
/// meet, within the values at the cell's corners (tested on random data, not proved).
///
/// Two grid points give a straight line.
#pragma once
#include <pullcast/network/rig.hpp>
#include <span>
#include <stdexcept>
#include <string>

namespace pullcast {

/// A table that cannot be built: of which array ("x", "y", "f"), at which index, which value.
struct TableError : std::invalid_argument {
    std::string array;
    std::size_t index;
    double value;
    TableError(std::string of, std::size_t at, double number, const std::string& message);
};

/// Slopes at `x` (rising, two points or more) of the values y[0], y[stride], y[2 stride], ...; same stride in `slopes`.
void spline_slopes(std::span<const double> x, const double* y, double* slopes, std::size_t stride = 1);
void shape_preserving_slopes(std::span<const double> x, const double* y, double* slopes, std::size_t stride = 1);

/// Throw TableError where an axis does not rise, a count is wrong or a number is not finite.
CurveData make_curve(std::vector<double> x, std::vector<double> y, bool shape_preserving);
/// f(x_i, y_j) stands at [i * y.size() + j].
MapData make_map(std::vector<double> x, std::vector<double> y, std::vector<double> f, bool shape_preserving);

}  // namespace pullcast
