/// What decides the knock margin of a pull, what moved it between two pulls, and how sure that is. The first knock
/// model of a rig is the one that is read, at its worst point; how far a second one is from it there is the doubt.
#pragma once
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>

namespace pullcast {

/// The first knock model at its worst point, SI. The margin is what spark could be added, so a radian of spark takes
/// one.
struct KnockPoint {
    double speed, margin;
    double temperature, pressure, spark, octane;       // of the charge in the manifold; octane number of the fuel
    double per_temperature, per_pressure, per_octane;  // exact slopes of the margin there
};
/// Nothing where the rig, its pull or its first knock model does not say all of that.
std::optional<KnockPoint> knock_point(const VariantResult& result);

/// The change of the margin from one worst point to another, rad; the parts sum up to the total. Each part is a change
/// times the mean of both points' slopes. What they don't explain is the rest: another speed of the worst point,
/// mixture, back pressure, engine coolant, evaporation of another fuel, curvature.
struct MarginSplit {
    double total, heat, pressure, spark, fuel, rest;
};
MarginSplit split_margin(const KnockPoint& from, const KnockPoint& to);

/// On which side of the knock limit a pull is, as far as its models can tell: clear of it where each of them sees margin
/// at every speed, beyond it where each sees none at some speed, be it another one.
enum class KnockSide { not_computed, clear, unknown, beyond };
KnockSide knock_side(const VariantResult& result);

/// "two models differ by 2.5 deg"; "" where there is no second one.
std::string knock_doubt(const VariantResult& result, UnitSystem system);

/// What moved the margin against the base, or, of the base, what would; the doubt where it matters; and the spark that
/// the calibration took away.
std::vector<std::string> knock_in_words(const Study& study, const std::vector<VariantResult>& results,
                                        std::size_t variant, UnitSystem system);

}  // namespace pullcast
