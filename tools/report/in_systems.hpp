/// What the document of a page holds in both systems of units.
#pragma once
#include <nlohmann/json.hpp>
#include <pullcast/scenario/units.hpp>

namespace pullcast {

template <class F> nlohmann::ordered_json in_systems(F text) {
    return {{"metric", text(UnitSystem::metric)}, {"us", text(UnitSystem::us)}};
}

}  // namespace pullcast
