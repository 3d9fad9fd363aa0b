/// Units at the edges. Factors: NIST Special Publication 811 (2008 edition), appendix B.8; those that it prints in bold
/// are exact and are checked to round-off, the rounded ones to the digits that it prints.
#include <gtest/gtest.h>

#include <cmath>
#include <cstdio>
#include <numbers>
#include <pullcast/scenario/units.hpp>

namespace units_tests {

using namespace pullcast;

double si(std::string_view text, std::string_view unit, const QuantityContext& context = {}) {
    const auto r = parse_quantity(text, unit, context);
    if (const auto* e = std::get_if<UnitError>(&r)) {
        ADD_FAILURE() << text << ": " << e->message << " (" << e->hint << ")";
        return std::nan("");
    }
    return std::get<double>(r);
}

struct Factor {
    const char *text, *schema;
    double value;
    double tolerance = 4e-16;  // relative; of the rounded factors half a unit of the last digit printed
};

TEST(Units, FactorsOfNistSp811) {
    const Factor factors[] = {
        {"1 in", "m", 2.54e-2}, {"1 ft", "m", 3.048e-1}, {"1 mi", "m", 1.609344e3}, {"1 in^2", "m^2", 6.4516e-4},
        {"1 ft^3", "m^3", 2.831685e-2, 2e-7}, {"1 cu in", "m^3", 1.6387064e-5}, {"1 gal", "m^3", 3.785412e-3, 2e-7},
        {"1 qt", "m^3", 9.463529e-4, 1e-7}, {"1 L", "m^3", 1e-3}, {"1 lb", "kg", 4.5359237e-1},
        {"1 oz", "kg", 2.834952e-2, 2e-7}, {"1 t", "kg", 1e3}, {"1 min", "s", 60}, {"1 h", "s", 3600},
        {"1 km/h", "m/s", 2.777778e-1, 2e-7}, {"1 mi/h", "m/s", 4.4704e-1}, {"1 mph", "m/s", 4.4704e-1},
        {"1 lbf", "N", 4.4482216152605}, {"1 lbf ft", "N m", 1.355818, 4e-7}, {"1 lbf in", "N m", 1.129848e-1, 5e-7},
        {"1 psi", "Pa", 6.894757e3, 1e-7}, {"1 atm", "Pa", 1.01325e5}, {"1 bar", "Pa", 1e5}, {"1 mbar", "Pa", 100},
        {"1 inHg", "Pa", 3.386389e3, 2e-7}, {"1 mmHg", "Pa", 1.333224e2, 4e-7}, {"1 inH2O", "Pa", 2.490889e2, 2e-7},
        {"1 mmH2O", "Pa", 9.80665}, {"1 hp", "W", 7.456999e2, 1e-7}, {"1 PS", "W", 7.354988e2, 1e-7},
        {"1 Btu", "J", 1.05505585262e3}, {"1 kWh", "J", 3.6e6}, {"1 Btu/(lb degF)", "J/(kg K)", 4.1868e3},
        {"1 Btu/lb", "J/kg", 2.326e3}, {"1 Btu/(h ft^2 degF)", "W/(m^2 K)", 5.678263, 2e-7},
        {"1 CFM", "m^3/s", 4.719474e-4, 2e-7}, {"1 gal/min", "m^3/s", 6.309020e-5, 1e-7},
        {"1 lb/min", "kg/s", 7.559873e-3, 1e-7}, {"1 lb ft^2", "kg m^2", 4.214011e-2, 2e-7},
        {"1 deg", "rad", 1.745329e-2, 2e-7}, {"1 rpm", "rad/s", 1.047198e-1, 5e-7},
        {"1 lb/ft^3", "kg/m^3", 1.601846e1, 4e-7}};
    for (const auto& f : factors) EXPECT_NEAR(si(f.text, f.schema) / f.value, 1, f.tolerance) << f.text;
}

TEST(Units, TextsAsPeopleWriteThem) {
    const double pi = std::numbers::pi;
    const Factor texts[] = {
        {"68 mm", "m", 0.068}, {"68mm", "m", 0.068}, {"  68  mm ", "m", 0.068}, {"-3 L", "m^3", -0.003},
        {".5 L", "m^3", 5e-4}, {"1.2e2 mm", "m", 0.12}, {"31 degC", "K", 304.15}, {"31 \u00b0C", "K", 304.15},
        {"31 deg C", "K", 304.15}, {"87.8 degF", "K", 304.15}, {"87.8 deg F", "K", 304.15}, {"304.15 K", "K", 304.15},
        {"547.47 degR", "K", 304.15}, {"-40 degF", "K", 233.15}, {"1.2 bar", "Pa", 1.2e5},
        {"29.92 inHg", "Pa", 101320.7, 1e-6},
        {"14.5 psia", "Pa", 99973.98, 1e-7}, {"1 bara", "Pa", 1e5}, {"22 L/min", "m^3/s", 22e-3 / 60},
        {"300 g/s", "kg/s", 0.3},
        {"4200 rpm", "rad/s", 140 * pi}, {"4200 RPM", "rad/s", 140 * pi}, {"70 rev/s", "rad/s", 140 * pi},
        {"500 rpm/s", "rad/s^2", 500 * pi / 30}, {"12 deg", "rad", pi / 15}, {"12\u00b0", "rad", pi / 15},
        {"0.24 kg m^2", "kg m^2", 0.24}, {"0.24 kg*m^2", "kg m^2", 0.24}, {"0.24 kg\u00b7m\u00b2", "kg m^2", 0.24},
        {"10 W/(m^2 K)", "W/(m^2 K)", 10}, {"10 W/( m^2 K )", "W/(m^2 K)", 10}, {"10 W m^-2 K^-1", "W/(m^2 K)", 10},
        {"40 %", "1", 0.4}, {"40%", "1", 0.4}, {"0.4", "1", 0.4}, {"8 g/kg", "1", 0.008}, {"120 ppm", "1", 120e-6},
        {"1.9 L/rev", "m^3/rev", 1.9e-3}, {"1.9 L/rev", "m^3/rad", 1.9e-3 / (2 * pi)}, {"3.8 L", "m^3", 3.8e-3},
        {"3800 cc", "m^3", 3.8e-3}, {"3800 cm^3", "m^3", 3.8e-3}, {"231 cu in", "m^3", 3.785411784e-3},
        {"200 Nm", "N m", 200}, {"200 N m", "N m", 200}, {"200 N-m", "N m", 200}, {"0.2 kNm", "N m", 200},
        {"180 lb ft", "N m", 180 * 1.3558179483314004}, {"180 lb-ft", "N m", 180 * 1.3558179483314004},
        {"180 ft-lb", "N m", 180 * 1.3558179483314004}, {"180 ft lbf", "N m", 180 * 1.3558179483314004},
        {"12 V", "V", 12}, {"2 kg", "kg", 2}, {"5 ms", "s", 0.005}, {"20 um", "m", 20e-6}, {"20 \u00b5m", "m", 20e-6},
        {"0.9 kJ/(kg K)", "J/(kg K)", 900}, {"0.9 J/(g degC)", "J/(kg K)", 900}, {"0.002 1/degC", "1/K", 0.002},
        {"189 EUR", "EUR", 189}, {"199.5 USD", "USD", 199.5}, {"150 GBP", "GBP", 150}};
    for (const auto& t : texts) EXPECT_NEAR(si(t.text, t.schema) / t.value, 1, t.tolerance) << t.text;
    EXPECT_EQ(si("68 mm", "m"), 0.068);  // the nearest double, not 68 * 0.001
    EXPECT_EQ(si("0 degC", "K"), 273.15);
    EXPECT_NEAR(si("-459.67 degF", "K"), 0, 1e-13);
}

TEST(Units, TemperatureDifferencesAreScaledOnly) {
    EXPECT_EQ(si("12 K", "dK"), 12);
    EXPECT_EQ(si("12 dK", "dK"), 12);
    EXPECT_EQ(si("12 degC", "dK"), 12);
    EXPECT_EQ(si("12 degC difference", "dK"), 12);
    EXPECT_DOUBLE_EQ(si("21 degF", "dK"), 21 / 1.8);
    EXPECT_DOUBLE_EQ(si("21 degF difference", "dK"), 21 / 1.8);
    EXPECT_DOUBLE_EQ(si("2 W/degF", "W/K"), 3.6);
}

TEST(Units, GaugePressureNeedsAmbient) {
    QuantityContext context;
    context.ambient_pressure = 98000;
    EXPECT_DOUBLE_EQ(si("9.5 psig", "Pa", context), 98000 + 9.5 * 6894.757293168361);
    EXPECT_DOUBLE_EQ(si("0 barg", "Pa", context), 98000);
    EXPECT_DOUBLE_EQ(si("0 psig", "kPa", context), 98);
    EXPECT_DOUBLE_EQ(si("1.2 bar", "Pa", context), 1.2e5);
}

struct Wrong {
    const char *text, *schema, *name;
    std::size_t position;
    const char *message, *hint;
};
const Wrong wrong[] = {
    {"", "m", "bore", 0, "a number is missing",
     "for example \"1 mm\""},
    {"   ", "m", "bore", 0, "a number is missing",
     "for example \"1 mm\""},
    {"mm", "m", "bore", 0, "no number in 'mm'",
     "for example \"1 mm\""},
    {"68", "m", "bore", 2, "'68' has no unit",
     "give a unit, for example \"68 mm\""},
    {" 68 ", "m", "bore", 3, "'68' has no unit",
     "give a unit, for example \"68 mm\""},
    {"31", "K", "start_temperature", 2, "'31' has no unit",
     "give a unit, for example \"31 degC\""},
    {"12", "dK", "freezing_margin", 2, "'12' has no unit",
     "give a unit, for example \"12 K\""},
    {"14.7", "Pa", "start_pressure", 4, "'14.7' has no unit",
     "give a unit, for example \"14.7 kPa\""},
    {"4200", "rad/s", "start_speed", 4, "'4200' has no unit",
     "give a unit, for example \"4200 rpm\""},
    {"5", "1/K", "", 1, "'5' has no unit",
     "give a unit, for example \"5 1/K\""},
    {"189", "EUR", "price", 3, "'189' has no unit",
     "give a unit, for example \"189 EUR\""},
    {"68 kg", "m", "pulley_diameter", 3, "'68 kg' is a mass, 'pulley_diameter' wants a length (m)",
     "for example \"68 mm\""},
    {"68 kg", "m", "", 3, "'68 kg' is a mass, wanted is a length (m)",
     "for example \"68 mm\""},
    {"12 mm", "1", "slip", 3, "'12 mm' is a length, 'slip' wants a plain number (1)",
     "give a number without a unit, or a percentage"},
    {"40 %", "m", "bore", 3, "'40 %' is a plain number, 'bore' wants a length (m)",
     "for example \"40 mm\""},
    {"31 degC", "Pa", "start_pressure", 3, "'31 degC' is a temperature, 'start_pressure' wants a pressure (Pa)",
     "for example \"31 kPa\""},
    {"12 dK", "K", "start_temperature", 3,
     "'12 dK' is a temperature difference, 'start_temperature' wants a temperature (K)",
     "for example \"12 degC\""},
    {"12 K difference", "K", "start_temperature", 3,
     "'12 K difference' is a temperature difference, 'start_temperature' wants a temperature (K)",
     "for example \"12 degC\""},
    {"31 degC", "m", "bore", 3, "'31 degC' is a temperature, 'bore' wants a length (m)",
     "for example \"31 mm\""},
    {"12 psi", "N", "force", 3, "'12 psi' is a pressure, 'force' wants a force (N)",
     "for example \"12 N\""},
    {"4200 1/s", "rad/s", "start_speed", 5,
     "'4200 1/s' is a frequency, 'start_speed' wants a rotational speed (rad/s)",
     "for example \"4200 rpm\""},
    {"4200 rpm", "1/s", "", 5, "'4200 rpm' is a rotational speed, wanted is a frequency (1/s)",
     "for example \"4200 1/s\""},
    {"200 N m", "W", "power", 4, "'200 N m' is a torque, 'power' wants a power (W)",
     "for example \"200 kW\""},
    {"20 J/K", "W/K", "ua", 3, "'20 J/K' is a heat capacity, 'ua' wants a heat conductance (W/K)",
     "for example \"20 W/K\""},
    {"3 L", "m^3/s", "flow", 2, "'3 L' is a volume, 'flow' wants a volume flow (m^3/s)",
     "for example \"3 L/min\""},
    {"3 L/min", "kg/s", "flow", 2, "'3 L/min' is a volume flow, 'flow' wants a mass flow (kg/s)",
     "for example \"3 g/s\""},
    {"3 L", "m^3/rev", "displacement", 2,
     "'3 L' is a volume, 'displacement' wants a volume per revolution (m^3/rev)",
     "for example \"3 L/rev\""},
    {"1.9 L/rev", "m^3", "displacement", 4,
     "'1.9 L/rev' is a volume per revolution, 'displacement' wants a volume (m^3)",
     "for example \"1.9 L\""},
    {"199 USD", "EUR", "price", 4, "'199 USD' is a price in USD, 'price' wants a price in EUR",
     "for example \"199 EUR\""},
    {"12 V", "EUR", "price", 3, "'12 V' is a voltage, 'price' wants a price in EUR",
     "for example \"12 EUR\""},
    {"3 kg^2", "m", "bore", 2, "'3 kg^2' is a quantity in kg^2, 'bore' wants a length (m)",
     "for example \"3 mm\""},
    {"9.5 psig", "Pa", "boost", 4, "'9.5 psig' is a gauge pressure, 'boost' wants an absolute pressure",
     "add the ambient pressure, for example \"24.2 psia\", or write \"9.5 psi\" for a difference"},
    {"1 barg", "Pa", "boost", 2, "'1 barg' is a gauge pressure, 'boost' wants an absolute pressure",
     "add the ambient pressure, for example \"2.01 bara\", or write \"1 bar\" for a difference"},
    {"9.5 psig", "m", "bore", 4, "'9.5 psig' is a gauge pressure, 'bore' wants a length (m)",
     "for example \"9.5 mm\""},
    {"9 psig/s", "Pa", "", 2, "a gauge pressure stands alone, not in 'psig/s'",
     "for example \"9 kPa\""},
    {"9 m psig", "Pa", "", 2, "a gauge pressure stands alone, not in 'm psig'",
     "for example \"9 kPa\""},
    {"+1.5 mm", "m", "bore", 0, "'+' before a number",
     "leave the '+' out"},
    {"1,5 mm", "m", "bore", 1, "',' in a number",
     "write a decimal point, and no separator of thousands"},
    {"1,500 rpm", "rad/s", "start_speed", 1, "',' in a number",
     "write a decimal point, and no separator of thousands"},
    {"1.5.2 mm", "m", "bore", 3, "unexpected '.' in a number",
     "write one decimal number"},
    {"1/2 in", "m", "bore", 1, "unexpected '/' in a number",
     "write one decimal number"},
    {"1 500 rpm", "rad/s", "start_speed", 2, "two numbers in '1 500 rpm'",
     "write one number, without spaces in it"},
    {"nan", "1", "slip", 0, "'nan' is not a finite number",
     "give a number without a unit, or a percentage"},
    {"inf mm", "m", "bore", 0, "'inf' is not a finite number",
     "for example \"1 mm\""},
    {"-inf mm", "m", "bore", 0, "'-inf' is not a finite number",
     "for example \"1 mm\""},
    {"1e999 mm", "m", "bore", 0, "'1e999' is beyond the range of numbers",
     "for example \"1 mm\""},
    {"1e300 km", "1/m", "", 6, "'1e300 km' is a length, wanted is a quantity in 1/m",
     "for example \"1e300 1/m\""},
    {"1e308 km", "m", "bore", 0, "'1e308 km' is beyond the range of numbers",
     "for example \"1 mm\""},
    {"−3 L", "m^3", "volume", 0, "this minus sign is not the plain '-'",
     "type '-'"},
    {"five mm", "m", "bore", 0, "no number in 'five mm'",
     "for example \"1 mm\""},
    {"0x10 mm", "m", "bore", 1, "unknown unit 'x10'",
     "for example \"0 mm\""},
    {"30 C", "K", "start_temperature", 3, "unknown unit 'C'",
     "did you mean 'degC'?"},
    {"90 F", "K", "start_temperature", 3, "unknown unit 'F'",
     "did you mean 'degF'?"},
    {"68 mmm", "m", "bore", 3, "unknown unit 'mmm'",
     "for example \"68 mm\""},
    {"68 mm2", "m^2", "area", 3, "unknown unit 'mm2'",
     "did you mean 'mm^2'?"},
    {"30 CFH", "m^3/s", "flow", 3, "unknown unit 'CFH'",
     "did you mean 'CFM'?"},
    {"5 rmp", "rad/s", "start_speed", 2, "unknown unit 'rmp'",
     "did you mean 'rpm'?"},
    {"5 psii", "Pa", "start_pressure", 2, "unknown unit 'psii'",
     "did you mean 'psi'?"},
    {"5 KPA", "Pa", "start_pressure", 2, "unknown unit 'KPA'",
     "did you mean 'kPa'?"},
    {"5 pa", "Pa", "start_pressure", 2, "unknown unit 'pa'",
     "did you mean 'Pa'?"},
    {"5 Rpm", "rad/s", "speed", 2, "unknown unit 'Rpm'",
     "did you mean 'rpm'?"},
    {"5 Degc", "K", "start_temperature", 2, "unknown unit 'Degc'",
     "did you mean 'degC'?"},
    {"3 lbs", "kg", "mass", 2, "unknown unit 'lbs'",
     "did you mean 'lb'?"},
    {"3 litres", "m^3", "volume", 2, "unknown unit 'litres'",
     "did you mean 'L'?"},
    {"22 lpm", "m^3/s", "flow", 3, "unknown unit 'lpm'",
     "did you mean 'L/min'?"},
    {"350 cid", "m^3", "displacement", 4, "unknown unit 'cid'",
     "did you mean 'in^3'?"},
    {"5 furlong", "m", "bore", 2, "unknown unit 'furlong'",
     "for example \"5 mm\""},
    {"5 foo", "m", "bore", 2, "unknown unit 'foo'",
     "for example \"5 mm\""},
    {"5 $", "USD", "price", 2, "unknown unit '$'",
     "did you mean 'USD'?"},
    {"180 € ", "EUR", "price", 4, "unknown unit '€'",
     "did you mean 'EUR'?"},
    {"68\"", "m", "bore", 2, "unknown unit '\"'",
     "did you mean 'in'?"},
    {"9 W/m^2 K", "W/(m^2 K)", "h", 8, "'W/m^2 K' is ambiguous",
     "write brackets below the '/': W/(m^2 K)"},
    {"9 W/m^2/K", "W/(m^2 K)", "h", 7, "'W/m^2/K' is ambiguous",
     "write one '/', with brackets below it: W/(m^2 K)"},
    {"9 W/m^2*K", "W/(m^2 K)", "h", 8, "'W/m^2*K' is ambiguous",
     "write brackets below the '/': W/(m^2 K)"},
    {"9 W/(m^2 K", "W/(m^2 K)", "h", 10, "a ')' is missing in the unit 'W/(m^2 K'",
     "for example \"9 W/(m^2 K)\""},
    {"9 W/()", "W/(m^2 K)", "h", 5, "unexpected ')' in the unit 'W/()'",
     "for example \"9 W/(m^2 K)\""},
    {"9 m)", "m", "bore", 3, "unexpected ')' in the unit 'm)'",
     "for example \"9 mm\""},
    {"9 m/", "m", "bore", 4, "a unit is missing at the end of 'm/'",
     "for example \"9 mm\""},
    {"9 m/s)", "m/s", "speed", 5, "unexpected ')' in the unit 'm/s)'",
     "for example \"9 km/h\""},
    {"9 m/(s)x", "m/s", "speed", 7, "unexpected 'x' in the unit 'm/(s)x'",
     "for example \"9 km/h\""},
    {"9 m *", "m", "bore", 4, "unexpected '*' in the unit 'm *'",
     "for example \"9 mm\""},
    {"9 /s", "1/s", "", 2, "unexpected '/' in the unit '/s'",
     "for example \"9 1/s\""},
    {"12 m^", "m", "bore", 5, "a power is a whole number from -6 to 6, not 0",
     "for example \"12 mm\""},
    {"12 m^0", "m", "bore", 5, "a power is a whole number from -6 to 6, not 0",
     "for example \"12 mm\""},
    {"12 m^9", "m", "bore", 5, "a power is a whole number from -6 to 6, not 0",
     "for example \"12 mm\""},
    {"12 mm?", "m", "bore", 5, "unexpected '?' in the unit 'mm?'",
     "for example \"12 mm\""},
    {"12 dK/s", "m", "bore", 3, "a temperature difference stands alone, not in 'dK/s'",
     "for example \"12 mm\""},
    {"12 mm difference", "m", "bore", 3, "a temperature difference stands alone, not in 'mm difference'",
     "for example \"12 mm\""},
    {"5 1", "1", "ratio", 2, "two numbers in '5 1'",
     "write one number, without spaces in it"},
};

TEST(Units, ErrorsInFull) {
    for (const auto& w : wrong) {
        QuantityContext context;
        context.name = w.name;
        const auto r = parse_quantity(w.text, w.schema, context);
        const auto* e = std::get_if<UnitError>(&r);
        ASSERT_TRUE(e) << "'" << w.text << "' was taken as " << std::get<double>(r);
        EXPECT_EQ(e->message, w.message) << w.text;
        EXPECT_EQ(e->hint, w.hint) << w.text;
        EXPECT_EQ(e->position, w.position) << w.text;
    }
}

TEST(Units, EveryHintedExampleIsTaken) {
    int taken = 0;
    for (const auto& w : wrong) {
        const std::string_view hint = w.hint, mark = "for example \"";
        const auto from = hint.find(mark);
        if (from == hint.npos) continue;
        const auto text = hint.substr(from + mark.size());
        const auto r = parse_quantity(text.substr(0, text.find('"')), w.schema);
        EXPECT_TRUE(std::holds_alternative<double>(r)) << w.hint;
        ++taken;
    }
    EXPECT_GT(taken, 40);
}

TEST(Units, SchemaUnitsAreTheAuthorsOwnMistake) {
    EXPECT_THROW(parse_quantity("1 m", "furlong"), std::invalid_argument);
    EXPECT_THROW(to_display(1, "furlong"), std::invalid_argument);
    EXPECT_THROW(to_display(1, ""), std::invalid_argument);
}

const char* const schema_units[] = {
    "m", "m^2", "m^3", "kg", "kg/s", "m^3/s", "m^3/rev", "Pa", "K", "dK", "J", "W", "W/K", "W/(m^2 K)", "W/(m K)",
    "J/(kg K)", "J/kg", "J/K", "N", "N m", "N m s", "rad", "rad/s", "rad/s^2", "kg m^2", "kg/m^3", "m/s", "V", "A", "s",
    "1", "1/K", "Pa s", "N/m", "EUR"};

/// The only unit of schemas that is not SI itself.
bool is_si(std::string_view schema_unit) { return schema_unit != "m^3/rev"; }
/// to_display knows no schema: it takes m^3/rad where display_unit takes m^3/rev, and degF alone is a temperature to
/// it.
bool is_plain(std::string_view schema_unit) { return is_si(schema_unit) && schema_unit != "dK"; }

void expect_round_trip(const char* unit, const Display& d) {
    for (const double value : {0.37, 304.15, 101325.0}) {
        char text[64];
        std::snprintf(text, sizeof text, "%.17g ", d(value));
        EXPECT_NEAR(si(d.unit == "1" ? text : text + d.unit, unit) / value, 1, 2e-13) << unit << " as " << d.unit;
        if (is_plain(unit)) {
            EXPECT_NEAR(to_display(value, d.unit), d(value), 1e-13 * std::fabs(d(value)) + 1e-12) << d.unit;
        }
    }
}

TEST(Units, ShownValuesReadBackTheSame) {
    for (const char* unit : schema_units)
        for (const auto system : {UnitSystem::si, UnitSystem::metric, UnitSystem::us})
            for (const char* name : {"", "efficiency", "altitude", "coolant_volume", "fuel_flow"})
                expect_round_trip(unit, display_unit(unit, system, name));
}

TEST(Units, DisplaySystems) {
    struct Row {
        const char *schema, *name, *metric, *us;
    };
    const Row rows[] = {
        {"K", "charge_out", "degC", "degF"}, {"dK", "freezing_margin", "K", "degF"},
        {"Pa", "pressure", "kPa", "psi"}, {"W", "heat", "kW", "hp"}, {"N m", "crank_torque", "N m", "lb ft"},
        {"kg/s", "air_flow", "g/s", "lb/min"}, {"kg/s", "fuel_flow", "g/s", "lb/h"}, {"rad/s", "speed", "rpm", "rpm"},
        {"m^3/s", "flow", "L/min", "gal/min"}, {"m", "pulley_diameter", "mm", "in"}, {"m", "altitude", "m", "ft"},
        {"rad", "spark", "deg", "deg"}, {"1", "volumetric_efficiency", "%", "%"}, {"1", "pressure_ratio", "1", "1"},
        {"m^3", "displacement", "L", "in^3"}, {"m^3", "reservoir_volume", "L", "gal"}, {"W/K", "ua", "W/K", "W/K"},
        {"s", "pull_start", "s", "s"}, {"m^3/rev", "displacement", "L/rev", "in^3/rev"}};
    for (const auto& r : rows) {
        EXPECT_EQ(display_unit(r.schema, UnitSystem::metric, r.name).unit, r.metric) << r.schema;
        EXPECT_EQ(display_unit(r.schema, UnitSystem::us, r.name).unit, r.us) << r.schema;
    }
    EXPECT_EQ(display_unit("K", UnitSystem::si).unit, "K");
    EXPECT_EQ(display_unit("dK", UnitSystem::si).unit, "K");
    EXPECT_NEAR(display_unit("K", UnitSystem::us)(304.15), 87.8, 1e-12);
    EXPECT_NEAR(display_unit("dK", UnitSystem::us)(10), 18, 1e-14);
    EXPECT_NEAR(display_unit("Pa", UnitSystem::us)(101325), 14.69595, 1e-5);
    EXPECT_NEAR(to_display(304.15, "degC"), 31, 1e-12);
    EXPECT_NEAR(to_display(140 * std::numbers::pi, "rpm"), 4200, 1e-10);
}

TEST(Units, SchemaUnitsAreAllUnderstood) {
    for (const char* unit : schema_units) {
        const auto parsed = parse_unit(unit);
        const auto* u = std::get_if<Unit>(&parsed);
        ASSERT_TRUE(u) << unit;
        EXPECT_EQ(u->num / u->den == 1, is_si(unit)) << unit;
        EXPECT_EQ(u->shift, 0) << unit;
    }
}

}  // namespace units_tests
