/// One sentence a variant, and one for the study: what a reader should take away, written from the figures by rules.
#pragma once
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>

namespace pullcast {

/// "80 mm pulley, slim core adds 3.1 psi of boost and 41.0 hp, the intake ends 38.2 degF hotter, the knock margin falls
/// to 1.2 deg." Against the base; "" for the base itself.
std::string headline_of(const Study& study, const std::vector<VariantResult>& results, std::size_t variant,
                        UnitSystem system);

/// The variant that makes the most power with knock margin left, or why there is none; with one variant beside the
/// base, that variant's sentence. "" for a study of one.
std::string headline(const Study& study, const std::vector<VariantResult>& results, UnitSystem system);

}  // namespace pullcast
