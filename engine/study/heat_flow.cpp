#include <algorithm>
#include <pullcast/study/heat_flow.hpp>

namespace pullcast {
namespace {

constexpr HeatPlace places[] = {
    {"belt", "belt work into the blower", HeatPlace::source},
    {"charge", "charge air", HeatPlace::through},
    {"casing", "blower casing", HeatPlace::end},
    {"walls", "walls of the air boxes", HeatPlace::end},
    {"cylinders", "into the cylinders", HeatPlace::end},
    {"boxes", "air held in the boxes", HeatPlace::end},
    {"pump", "coolant pump", HeatPlace::source},
    {"cooler", "charge cooler", HeatPlace::through},
    {"core", "core metal and its coolant", HeatPlace::end},
    {"loop", "rest of the coolant loop", HeatPlace::end},
    {"outside", "outside air", HeatPlace::end},
    {"surroundings", "surroundings", HeatPlace::end},
};

enum Index { work, casing, walls, cooling, cylinders, boxes, pumping, core, loop, outside, surroundings };
constexpr HeatFlow flows[] = {
    {"work", "belt", "charge", "work that the blower takes from its shaft", false},
    {"casing", "charge", "casing", "heat from air and bearings into the blower's casing", false},
    {"walls", "charge", "walls", "heat from the air into the walls of the boxes it passes", false},
    {"cooling", "charge", "cooler", "heat from the charge into the core", false},
    {"cylinders", "charge", "cylinders", "enthalpy of the charge above that of the air drawn in", false},
    {"boxes", "charge", "boxes", "energy of the air that fills boxes and pipes; what is left of the balance", true},
    {"pumping", "pump", "cooler", "electricity of the pump, all of which ends in the coolant", false},
    {"core", "cooler", "core", "stored in the core's metal and the coolant inside it", false},
    {"loop", "cooler", "loop", "stored in reservoir, hoses, pump and front exchanger", false},
    {"outside", "cooler", "outside", "given to outside air", false},
    {"surroundings", "cooler", "surroundings", "lost on the way; what is left of the balance", true},
};

}  // namespace

std::span<const HeatPlace> heat_places() { return places; }
std::span<const HeatFlow> heat_flows() { return flows; }

HeatBooks::HeatBooks(const PullView& view)
    : view_(view),
      work_(accounts("blower", "shaft_work")),
      casing_(accounts("blower", "heat_to_case")),
      walls_(accounts("volume", "heat_to_wall")),
      cooling_(accounts("cooler", "heat_from_charge")),
      breathed_(accounts("breathing", "energy")),
      drawn_(accounts("ambient", "enthalpy")),
      pumped_(accounts("pump", "electricity")),
      from_outside_(accounts("front_exchanger", "heat_to_outside_air")),
      from_outside_of_core_(accounts("cooler", "outside_air")),
      core_(parts({"cooler"})),
      loop_(parts({"reservoir", "hose", "joint", "pump", "front_exchanger"})) {}

bool HeatBooks::complete() const { return !work_.empty() && !cooling_.empty(); }

std::vector<double> HeatBooks::until(std::size_t point) const {
    std::vector<double> f(std::size(flows));
    f[work] = sum(work_, point);
    f[casing] = sum(casing_, point);
    f[walls] = sum(walls_, point);
    f[cooling] = sum(cooling_, point);
    f[cylinders] = -sum(breathed_, point) - sum(drawn_, point);
    f[boxes] = f[work] - f[casing] - f[walls] - f[cooling] - f[cylinders];
    f[pumping] = sum(pumped_, point);
    f[core] = stored(core_, point);
    f[loop] = stored(loop_, point);
    f[outside] = -sum(from_outside_, point) - sum(from_outside_of_core_, point);
    f[surroundings] = f[cooling] + f[pumping] - f[core] - f[loop] - f[outside];
    return f;
}

HeatBooks::Columns HeatBooks::accounts(std::string_view role, std::string_view name) const {
    Columns out;
    const auto& all = view_.network().accounts();
    for (std::size_t k = 0; k < all.size(); ++k)
        for (const auto& p : view_.network().parts())
            if (p.name == all[k].component && role == p.type->role && name == all[k].field->name) out.push_back(k);
    return out;
}

HeatBooks::Columns HeatBooks::parts(std::initializer_list<std::string_view> roles) const {
    Columns out;
    const auto& all = view_.network().parts();
    for (std::size_t k = 0; k < all.size(); ++k)
        if (std::find(roles.begin(), roles.end(), all[k].type->role) != roles.end()) out.push_back(k);
    return out;
}

double HeatBooks::sum(const Columns& accounts, std::size_t point) const {
    const auto& sums = view_.pull().sums;
    const std::size_t row = point * view_.network().accounts().size();
    double total = 0;
    for (const auto k : accounts) total += sums[row + k] - sums[k];
    return total;
}

double HeatBooks::stored(const Columns& parts, std::size_t point) const {
    const auto& held = view_.pull().held;
    const std::size_t row = point * view_.network().parts().size();
    double total = 0;
    for (const auto k : parts) total += held[row + k] - held[k];
    return total;
}

}  // namespace pullcast
