/// The conformance checks: each takes a component type, drives it on the bench, and returns what is wrong with it in
/// plain sentences; empty means that it conforms. Tolerances and what each check covers stand at its declaration.
#pragma once
#include <pullcast/plugin.hpp>
#include <string>
#include <vector>

namespace pullcast::test {

using Faults = std::vector<std::string>;

/// d(stored)/dt = what others put into its nodes - what it puts into the nodes of others + its accounts, for energy,
/// gas, water and coolant, within 1e-9 of the sum of the magnitudes, at 200 random states of each variant.
/// d(stored)/dt is a five-point difference of stored() along the rates: exact for stocks up to the fourth power.
Faults conserves(const ComponentType& type);

/// Swapping the potentials of `from` and `to` (or coolant_in and coolant_out) turns the flow between them around, or,
/// where a state carries it, its acceleration. Roles that push by themselves (blower, pump) must be pushed back by
/// pressure; all others must reverse in sign, and carry nothing between equal pressures.
Faults reverses(const ComponentType& type);

/// Values and derivatives are finite and nothing is rejected at rest (equal pressures, zero flow, zero speed) and near
/// rest; with every pressure difference and speed turned around, values are finite and the ledger closes.
Faults finite(const ComponentType& type);

/// The derivatives of the dual sweeps agree with central differences of the plain ones (five points, step 1e-6, 1e-8 or
/// 1e-10 of an input's size: narrow roundings need the finer ones) within 1e-5 of the derivative plus 1e-6 of the
/// result's size per input's size, anywhere and near rest; and along random lines in the space of inputs no first
/// derivative jumps by more than 1e-3 of its largest value within 1e-12 of the line: that would be a kink. Tables may
/// kink where they end: for types with tables the lines keep speeds positive.
Faults smooth(const ComponentType& type);

/// No sweep allocates, plain or dual, recording or not.
Faults allocation_free(const ComponentType& type);

/// What `review` makes of a recorded pull: it writes own outputs only, all of them finite, and the same bits each time,
/// whether the pull has no report point, one or some. Types without it conform.
Faults reviews(const ComponentType& type);

/// Every name has a doc and every unit parses; role, summary, reference and validity are given; nominal sizes are
/// positive; required numbers have bounds; presets are within theirs; names are unique.
Faults documented(const ComponentType& type);

/// True for SI unit strings as schemas spell them: "kg m^2", "W/(m^2 K)", "1/K", "dK", "1".
bool unit_parses(const std::string& unit);

}  // namespace pullcast::test
