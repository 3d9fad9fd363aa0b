/// A number of a rig that a pull is differentiated by, or that is fitted.
#pragma once
#include <pullcast/network/rig.hpp>
#include <string>
#include <vector>

namespace pullcast {

/// One or several keys of components that move together. Start states are parameters too: their start_... keys.
struct Parameter {
    struct Place {
        std::string component, key;
    };
    /// number: every place is moved by the same amount; derivatives are per SI unit. factor: every place, which may be
    /// a curve or map (its ordinates), is multiplied; derivatives are per unit of the factor, which is 1 as the rig
    /// stands.
    enum class Kind { number, factor };

    std::string name;  // for messages
    std::vector<Place> places;
    Kind kind = Kind::number;
    double scale = 0;  ///< its typical size, SI; 0: the size that it has (which must not be 0 then)
};

/// What it is in a rig: its first place's number; 1 of a factor. Throws std::invalid_argument where a place is not in
/// the rig, is of another kind, or is a time at which something jumps.
double value_of(const RigSpec& rig, const Parameter& parameter);

/// A copy with all places `by` further: added to numbers, or ordinates and numbers times 1 + `by` for a factor.
RigSpec moved(const RigSpec& rig, const Parameter& parameter, double by);
/// A copy with all places at a value: of a factor, times the value.
RigSpec with_value(const RigSpec& rig, const Parameter& parameter, double value);

/// Where a derivative along a parameter is sampled: `shift` in units of the scale, and weight. Central, or one-sided of
/// second order where a bound of a place is near.
struct Sample {
    double shift, weight;
};
struct Direction {
    double scale;
    std::vector<Sample> samples;
};
Direction direction_along(const RigSpec& rig, const Parameter& parameter);

}  // namespace pullcast
