#include <fmt/format.h>

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/sobol.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <numeric>
#include <pullcast/choose/sampling.hpp>
#include <stdexcept>
#include <utility>

// Boost's generators and distributions are integer arithmetic that is written down; a standard library's distributions
// are its own affair and differ from one to the next.
namespace pullcast::choose {
namespace {

constexpr std::size_t most_sobol_dimensions = 64;
constexpr std::size_t most_slices = std::size_t{1} << 20;

void require_between(const char* what, std::size_t value, std::size_t least, std::size_t most) {
    if (value < least || value > most)
        throw std::invalid_argument(fmt::format("{} = {} must be {} to {}", what, value, least, most));
}
void require_some(const char* what, std::size_t value) {
    if (value == 0) throw std::invalid_argument(fmt::format("{} = 0 must be at least 1", what));
}

/// The middle of the cell of 2^-52 that the leading bits stand for: never 0 or 1, and exact.
double in_unit_interval(std::uint64_t bits) { return std::ldexp(static_cast<double>(bits >> 12) + 0.5, -52); }

/// Rows 0 to count-1 in random order (Fisher and Yates).
std::vector<std::size_t> shuffled(std::size_t count, boost::random::mt19937_64& random) {
    std::vector<std::size_t> order(count);
    std::iota(order.begin(), order.end(), std::size_t{0});
    for (std::size_t k = count - 1; k > 0; --k)
        std::swap(order[k], order[boost::random::uniform_int_distribution<std::size_t>(0, k)(random)]);
    return order;
}

void require_in_cube(const Points& points) {
    require_some("number of points", points.size());
    require_some("number of coordinates", points.front().size());
    for (std::size_t k = 0; k < points.size(); ++k) {
        if (points[k].size() != points.front().size())
            throw std::invalid_argument(fmt::format("point {} has {} coordinates, the first has {}", k,
                                                    points[k].size(), points.front().size()));
        for (double x : points[k])
            if (!(x >= 0 && x <= 1))
                throw std::invalid_argument(fmt::format("point {} has a coordinate {} outside 0 to 1", k, x));
    }
}

/// Product over the coordinates of one pair of points in Hickernell's double sum.
double pair_term(const std::vector<double>& a, const std::vector<double>& b) {
    double product = 1;
    for (std::size_t j = 0; j < a.size(); ++j)
        product *= 1 + 0.5 * (std::abs(a[j] - 0.5) + std::abs(b[j] - 0.5) - std::abs(a[j] - b[j]));
    return product;
}
double point_term(const std::vector<double>& point) {
    double product = 1;
    for (double x : point) {
        const double off = std::abs(x - 0.5);
        product *= 1 + 0.5 * (off - off * off);
    }
    return product;
}

}  // namespace

Points sobol_points(std::size_t count, std::size_t dimensions, std::uint64_t seed) {
    require_some("number of points", count);
    require_between("number of coordinates of a Sobol sequence", dimensions, 1, most_sobol_dimensions);
    boost::random::mt19937_64 random(seed);
    std::vector<std::uint64_t> shift(dimensions);
    for (std::uint64_t& bits : shift) bits = random();
    boost::random::sobol sequence(dimensions);  // leaves out the origin, which comes first

    Points points(count, std::vector<double>(dimensions));
    for (std::size_t k = 0; k < count; ++k)
        for (std::size_t j = 0; j < dimensions; ++j)
            points[k][j] = in_unit_interval((k == 0 ? 0 : sequence()) ^ shift[j]);
    return points;
}

Points latin_hypercube(std::size_t count, std::size_t dimensions, std::uint64_t seed) {
    require_between("number of points of a Latin hypercube", count, 1, most_slices);
    require_some("number of coordinates", dimensions);
    boost::random::mt19937_64 random(seed);
    Points points(count, std::vector<double>(dimensions));
    for (std::size_t j = 0; j < dimensions; ++j) {
        const std::vector<std::size_t> slices = shuffled(count, random);
        for (std::size_t k = 0; k < count; ++k) {
            // 33 bits within a slice: added to 20 bits of the slice's number they are still exact.
            const double within = std::ldexp(static_cast<double>(random() >> 32) + 0.5, -32);
            points[k][j] = (static_cast<double>(slices[k]) + within) / static_cast<double>(count);
        }
    }
    return points;
}

double centred_discrepancy(const Points& points) {
    require_in_cube(points);
    const auto count = static_cast<double>(points.size());
    double single = 0, twice = 0;
    for (std::size_t k = 0; k < points.size(); ++k) {
        single += point_term(points[k]);
        twice += 0.5 * pair_term(points[k], points[k]);
        for (std::size_t i = 0; i < k; ++i) twice += pair_term(points[k], points[i]);
    }
    const double whole = std::pow(13.0 / 12.0, static_cast<double>(points.front().size()));
    return std::sqrt(std::max(0.0, whole - 2 * single / count + 2 * twice / (count * count)));
}

}  // namespace pullcast::choose
