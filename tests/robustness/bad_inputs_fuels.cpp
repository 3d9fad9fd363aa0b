// Impossible fuels: the whole text of what `pullcast check` says to a small rig whose [common] begins on line 2.
#include "command_line.hpp"

namespace bad_inputs_fuels_tests {

using namespace command_line;

// Not an engine: connected just far enough that breathing and torque see one fuel. Values invented.
const std::string rig = R"(
displacement = "3 L"
bore = "92 mm"
stroke = "86 mm"
compression_ratio = 9

[component.ambient]
model = "gas.ambient"

[component.crank]
model = "load.locked"

[component.calibration]
model = "engine.calibration_fixed"
constant_spark = "15 deg"
constant_lambda = 0.9

[component.breathing]
model = "engine.breathing_physical"
manifold = "ambient"
ambient = "ambient"
crank = "crank"
lambda = "calibration.lambda"

[component.torque]
model = "engine.torque"
crank = "crank"
metal = "ambient"
air = "breathing.air"
spark = "calibration.spark"
lambda = "calibration.lambda"
exhaust_pressure = "breathing.exhaust_pressure"
manifold = "ambient"
)";

struct Input {
    const char *name, *fuel, *expected;
};
void PrintTo(const Input& in, std::ostream* out) { *out << in.name; }

class BadFuel : public CommandLine, public testing::WithParamInterface<Input> {
protected:
    /// What is said of the rig with this fuel.
    Ended check(const std::string& fuel, std::string text = rig) const {
        write("rig.toml", "[common]\n" + fuel + text);
        return run({"check", "rig.toml"});
    }
};

const Input inputs[] = {
    {"heat_of_ethanol_with_the_air_of_petrol", R"(fuel_lhv = "26.95 MJ/kg"
fuel_afr = 14.7)", R"(
rig.toml:2:12: error: torque.fuel_lhv: no petrol or alcohol releases less than 2.5 MJ per kg of air (2.9 to 3.1 is usual): fuel_lhv and fuel_afr must belong to one fuel
    2 | fuel_lhv = "26.95 MJ/kg"
      |            ^^^^^^^^^^^^^
)"},
    {"heat_of_petrol_with_the_air_of_ethanol", R"(fuel_lhv = "43.44 MJ/kg"
fuel_afr = 9)", R"(
rig.toml:2:12: error: torque.fuel_lhv: no petrol or alcohol releases more than 3.4 MJ per kg of air (2.9 to 3.1 is usual): fuel_lhv and fuel_afr must belong to one fuel
    2 | fuel_lhv = "43.44 MJ/kg"
      |            ^^^^^^^^^^^^^
)"},
    {"latent_heat_above_that_of_water", R"(fuel_latent_heat = "2.6 MJ/kg")", R"(
rig.toml:2:20: error: common.fuel_latent_heat = "2.6 MJ/kg" must lie within 0 .. 2.5 MJ/kg (heat of vaporisation of the fuel)
    2 | fuel_latent_heat = "2.6 MJ/kg"
      |                    ^^^^^^^^^^^
)"},
    {"latent_heat_below_zero", R"(fuel_latent_heat = "-1 kJ/kg")", R"(
rig.toml:2:20: error: common.fuel_latent_heat = "-1 kJ/kg" must lie within 0 .. 2500 kJ/kg (heat of vaporisation of the fuel)
    2 | fuel_latent_heat = "-1 kJ/kg"
      |                    ^^^^^^^^^^
)"},
    {"latent_heat_of_no_such_fuel", R"(fuel_latent_heat = "1.7 MJ/kg"
fuel_afr = 6.46
fuel_lhv = "20.09 MJ/kg")", R"(
rig.toml:2:20: error: breathing.fuel_latent_heat: no petrol or alcohol takes up more than 0.25 MJ per kg of air to evaporate (methanol: 0.18): this latent heat belongs to another fuel than fuel_afr
    2 | fuel_latent_heat = "1.7 MJ/kg"
      |                    ^^^^^^^^^^^
)"},
    {"vapour_lighter_than_any", R"(fuel_vapour_density = 0.4)", R"(
rig.toml:2:23: error: common.fuel_vapour_density = 0.4 must lie within 0.5 .. 10 (fuel vapour over air, by molar mass)
    2 | fuel_vapour_density = 0.4
      |                       ^^^
)"},
    {"more_evaporated_than_there_is", R"(realised_evaporation = "120 %")", R"(
rig.toml:2:24: error: common.realised_evaporation = "120 %" must lie within 0 .. 100 % (share of the fuel that the charge evaporates)
    2 | realised_evaporation = "120 %"
      |                        ^^^^^^^
)"},
    {"air_ratio_of_zero", R"(fuel_afr = 0)", R"(
rig.toml:2:12: error: common.fuel_afr = 0 must be greater than 0 (stoichiometric air-fuel ratio)
    2 | fuel_afr = 0
      |            ^
)"},
    {"misspelt_key", R"(fuel_vapor_density = 3)", R"(
rig.toml:2:1: error: unknown key 'fuel_vapor_density' in [common]: no model shares it
    2 | fuel_vapor_density = 3
      | ^^^^^^^^^^^^^^^^^^ did you mean 'fuel_vapour_density' (fuel vapour over air, by molar mass)?
)"},
};

TEST_P(BadFuel, IsTold) {
    const auto ended = check(GetParam().fuel);
    EXPECT_EQ("\n" + ended.err, GetParam().expected);
    EXPECT_EQ(ended.code, 3);
}
INSTANTIATE_TEST_SUITE_P(Check, BadFuel, testing::ValuesIn(inputs),
                         [](const auto& in) { return std::string(in.param.name); });

class Fuels : public BadFuel {};

TEST_F(Fuels, the_other_torque_model_looks_too) {
    auto text = rig;
    text.replace(text.find("engine.torque"), 13, "engine.torque_willans");
    EXPECT_EQ(check("fuel_lhv = \"20 MJ/kg\"", text).err,
              R"(rig.toml:2:12: error: torque.fuel_lhv: no petrol or alcohol releases less than 2.5 MJ per kg of air (2.9 to 3.1 is usual): fuel_lhv and fuel_afr must belong to one fuel
    2 | fuel_lhv = "20 MJ/kg"
      |            ^^^^^^^^^^
)");
}

// 2.5 and 3.4 MJ and 0.25 MJ per kg of air.
TEST_F(Fuels, at_the_limits_are_allowed) {
    for (const std::string fuel : {"fuel_lhv = \"25 MJ/kg\"", "fuel_lhv = \"34 MJ/kg\"",
                                   "fuel_lhv = \"30 MJ/kg\"\nfuel_latent_heat = \"2.5 MJ/kg\""}) {
        const auto ended = check("fuel_afr = 10\n" + fuel);
        EXPECT_EQ(ended.err, "") << fuel;
        EXPECT_EQ(ended.code, 0) << fuel;
    }
}

}  // namespace bad_inputs_fuels_tests
