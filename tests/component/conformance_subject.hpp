/// A component type set up for the conformance suite: plausible parameters, and states and potentials drawn at random.
#pragma once
#include <random>
#include <string>

#include "bench.hpp"

namespace pullcast::test {

class Random {
    std::mt19937_64 engine_;

public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}
    double between(double lo, double hi) {
        return lo + (hi - lo) * static_cast<double>(engine_() >> 11) * 0x1p-53;
    }
};

/// Where in its range a component is put.
enum class Regime {
    anywhere,
    near_rest,  // pressures nearly equal, flows and speeds nearly zero
    at_rest,    // exactly so
};

/// Settings of a type that differ in choices and in whether optional ends are connected: variants are numbered.
int variant_count(const ComponentType& type);

/// A bench ready to evaluate, at its initial states. Throws std::runtime_error, saying what the author has to add.
Bench make_subject(const ComponentType& type, int variant);

/// Draws states, potentials of attached nodes, flows put into own nodes, and a time before or after the pull starts.
void draw(Bench& bench, Random& random, Regime regime);

/// Glycol volume fraction of the coolant that the bench was set up with.
inline constexpr double subject_glycol = 0.5;

/// Makes every speed of the drawn state positive.
void turn_forward(Bench& bench);

/// Natural size of an input of the bench: what a change of it is measured against.
double scale_of(const Bench::Input& input);

}  // namespace pullcast::test
