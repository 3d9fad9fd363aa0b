/// Units against UDUNITS-2 (Unidata), on the part that both know and that UDUNITS-2 does not round. Its ounce, gallon,
/// hp and metric horsepower carry seven digits only and are left out; for those see unit/units.cpp, after SP 811.
#include <gtest/gtest.h>

#ifdef PULLCAST_UDUNITS2
#include <udunits2.h>

#include <memory>
#include <pullcast/scenario/units.hpp>
#endif

namespace udunits_tests {

#ifndef PULLCAST_UDUNITS2
TEST(Udunits, CommonPartAgrees) { GTEST_SKIP() << "built without libudunits2-dev"; }
#else
using namespace pullcast;

struct Pair {
    const char *ours, *theirs, *schema, *si;
};
const Pair pairs[] = {
    {"mm", "mm", "m", "m"}, {"cm", "cm", "m", "m"}, {"um", "um", "m", "m"}, {"km", "km", "m", "m"},
    {"in", "inch", "m", "m"}, {"ft", "foot", "m", "m"}, {"mi", "mile", "m", "m"}, {"cm^2", "cm^2", "m^2", "m2"},
    {"sq in", "inch2", "m^2", "m2"}, {"L", "litre", "m^3", "m3"}, {"mL", "mL", "m^3", "m3"},
    {"cu in", "inch3", "m^3", "m3"}, {"cc", "cm3", "m^3", "m3"}, {"g", "g", "kg", "kg"}, {"t", "tonne", "kg", "kg"},
    {"lb", "pound", "kg", "kg"}, {"ms", "ms", "s", "s"},
    {"min", "minute", "s", "s"}, {"h", "hour", "s", "s"}, {"km/h", "km/hour", "m/s", "m/s"},
    {"mph", "mile/hour", "m/s", "m/s"}, {"mi/h", "mile/hour", "m/s", "m/s"}, {"kHz", "kHz", "1/s", "1/s"},
    {"degC", "degC", "K", "K"}, {"degF", "degF", "K", "K"}, {"degR", "degR", "K", "K"}, {"mA", "mA", "A", "A"},
    {"kV", "kV", "V", "V"}, {"deg", "degree", "rad", "rad"}, {"rev", "revolution", "rad", "rad"},
    {"rpm", "revolution/minute", "rad/s", "rad/s"}, {"deg/s", "degree/s", "rad/s", "rad/s"}, {"kN", "kN", "N", "N"},
    {"lbf", "lbf", "N", "N"}, {"Nm", "N.m", "N m", "N.m"}, {"lb ft", "lbf.foot", "N m", "N.m"},
    {"lb in", "lbf.inch", "N m", "N.m"}, {"kPa", "kPa", "Pa", "Pa"}, {"hPa", "hPa", "Pa", "Pa"},
    {"MPa", "MPa", "Pa", "Pa"}, {"bar", "bar", "Pa", "Pa"}, {"mbar", "mbar", "Pa", "Pa"}, {"atm", "atm", "Pa", "Pa"},
    {"psi", "psi", "Pa", "Pa"}, {"mmH2O", "mm H2O", "Pa", "Pa"}, {"inH2O", "inch H2O", "Pa", "Pa"},
    {"inHg", "inHg", "Pa", "Pa"}, {"mmHg", "mmHg", "Pa", "Pa"},
    {"kJ", "kJ", "J", "J"}, {"kWh", "kW.hour", "J", "J"}, {"Btu", "Btu", "J", "J"}, {"kW", "kW", "W", "W"},
    {"kg m^2", "kg.m2", "kg m^2", "kg.m2"}, {"lb ft^2", "pound.foot2", "kg m^2", "kg.m2"},
    {"kJ/(kg K)", "kJ.kg-1.K-1", "J/(kg K)", "J.kg-1.K-1"},
    {"Btu/(lb degF)", "Btu/(pound.degR)", "J/(kg K)", "J.kg-1.K-1"},
    {"Btu/(h ft^2 degF)", "Btu/(hour.foot2.degR)", "W/(m^2 K)", "W.m-2.K-1"}, {"g/s", "g/s", "kg/s", "kg/s"},
    {"lb/min", "pound/minute", "kg/s", "kg/s"}, {"L/min", "litre/minute", "m^3/s", "m3/s"},
    {"CFM", "foot3/minute", "m^3/s", "m3/s"}, {"L/rev", "litre/revolution", "m^3/rad", "m3/rad"},
    {"lb/ft^3", "pound/foot3", "kg/m^3", "kg/m3"}, {"mPa s", "mPa.s", "Pa s", "Pa.s"}, {"%", "%", "1", "1"}};

using System = std::unique_ptr<ut_system, decltype(&ut_free_system)>;
using TheirUnit = std::unique_ptr<ut_unit, decltype(&ut_free)>;
using Converter = std::unique_ptr<cv_converter, decltype(&cv_free)>;

TEST(Udunits, CommonPartAgrees) {
    ut_set_error_message_handler(ut_ignore);
    const System system(ut_read_xml(nullptr), ut_free_system);
    ASSERT_TRUE(system) << "the unit database of UDUNITS-2 is not installed";
    for (const auto& p : pairs) {
        const TheirUnit from(ut_parse(system.get(), p.theirs, UT_UTF8), ut_free);
        const TheirUnit to(ut_parse(system.get(), p.si, UT_UTF8), ut_free);
        ASSERT_TRUE(from) << p.theirs;
        ASSERT_TRUE(to) << p.si;
        const Converter convert(ut_get_converter(from.get(), to.get()), cv_free);
        ASSERT_TRUE(convert) << p.theirs << " to " << p.si;
        for (const char* number : {"1", "-17.5", "0.003", "87.8", "1234567"}) {
            const auto ours = parse_quantity(std::string(number) + " " + p.ours, p.schema);
            ASSERT_TRUE(std::holds_alternative<double>(ours)) << p.ours << ": " << std::get<UnitError>(ours).message;
            const double wanted = cv_convert_double(convert.get(), std::strtod(number, nullptr));
            EXPECT_NEAR(std::get<double>(ours) / wanted, 1, 1e-12) << number << " " << p.ours;
        }
    }
}
#endif

}  // namespace udunits_tests
