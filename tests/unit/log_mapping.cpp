// Mappings: read, guessed, written and read back; units and pressures.
#include <cmath>
#include <numbers>
#include <pullcast/measure/inspection.hpp>

#include "made_log.hpp"

namespace log_mapping_tests {

using namespace made_log;

constexpr double rpm = std::numbers::pi / 30;

LogMapping guess(const std::string& text, bool us = false) {
    Diagnostics d;
    const auto table = read_log_table(source_of(text), {}, d);
    EXPECT_TRUE(table) << render(d.all());
    auto mapping = guess_mapping(*table, us, d);
    EXPECT_FALSE(d.failed()) << render(d.all());
    return mapping;
}
std::string column_of(const LogMapping& m, std::string_view channel) {
    const auto* c = m.find(channel);
    return c ? c->column : "-";
}

TEST(LogMapping, ReadingsBecomeSi) {
    const auto log =
        measure_log("t,n,p,T,a,l,w,f,v\n0,6000,14.5,212,15,13.23,100,60,60\n1,3000,-2,32,-5,14.7,0,30,0\n",
                    "[time]\ncolumn = \"t\"\n"
                    "[channel.speed]\ncolumn = \"n\"\nunit = \"1/min\"\n"
                    "[channel.manifold_pressure]\ncolumn = \"p\"\nunit = \"psig\"\n"
                    "[channel.barometer]\nvalue = \"98 kPa\"\n"
                    "[channel.intake_temperature]\ncolumn = \"T\"\nunit = \"F\"\naccuracy = \"1 K + 1 % of reading\"\n"
                    "[channel.spark]\ncolumn = \"a\"\nunit = \"deg\"\n"
                    "[channel.lambda]\ncolumn = \"l\"\nunit = \"AFR\"\nstoichiometric_afr = 14.7\n"
                    "[channel.wheel_power]\ncolumn = \"w\"\nunit = \"hp\"\n"
                    "[channel.coolant_flow]\ncolumn = \"f\"\nunit = \"L/min\"\n"
                    "[channel.vehicle_speed]\ncolumn = \"v\"\nunit = \"mph\"\n");
    const auto at = [&](const char* name, std::size_t k) { return log.find(name)->reading[k]; };
    EXPECT_NEAR(at("speed", 0), 6000 * rpm, 1e-9);
    EXPECT_NEAR(at("manifold_pressure", 0), 98000 + 14.5 * 6894.757293168361, 1e-6);
    EXPECT_NEAR(at("manifold_pressure", 1), 98000 - 2 * 6894.757293168361, 1e-6);
    EXPECT_NEAR(at("intake_temperature", 0), 373.15, 1e-9);
    EXPECT_NEAR(at("intake_temperature", 1), 273.15, 1e-9);
    EXPECT_NEAR(at("spark", 1), -5 * std::numbers::pi / 180, 1e-12);
    EXPECT_NEAR(at("lambda", 0), 0.9, 1e-12);
    EXPECT_NEAR(at("wheel_power", 0), 74569.98715822702, 1e-6);  // 550 ft lbf/s, SP 811
    EXPECT_NEAR(at("coolant_flow", 0), 1e-3, 1e-15);
    EXPECT_NEAR(at("vehicle_speed", 0), 26.8224, 1e-12);
    const auto& a = log.find("intake_temperature")->accuracy;
    EXPECT_FALSE(a.assumed);
    EXPECT_EQ(a.absolute, 1);
    EXPECT_EQ(a.of_reading, 0.01);
    EXPECT_TRUE(log.find("speed")->accuracy.assumed);
}

TEST(LogMapping, GaugePressureTakesTheBarometersLastReading) {
    const auto log = measure_log("t,p,b\n0,50,\n1,50,98\n2,50,\n3,50,99\n4,50,20\n",
                                 "[time]\ncolumn = \"t\"\n[channel.manifold_pressure]\ncolumn = \"p\"\nunit = \"kPa\"\n"
                                 "reference = \"gauge\"\n[channel.barometer]\ncolumn = \"b\"\nunit = \"kPa\"\n");
    const auto& p = log.find("manifold_pressure")->reading;
    EXPECT_EQ(p, (std::vector<double>{148000, 148000, 148000, 149000, 149000}));  // 20 kPa is no barometer's reading
}

TEST(LogMapping, AUnitMayStandInTheLogAndTheMappingsWins) {
    const std::string text = "t [s],T [degF]\n0,20\n1,21\n";
    const std::string toml = "[time]\ncolumn = \"t [s]\"\n[channel.intake_temperature]\ncolumn = \"T [degF]\"\n";
    EXPECT_NEAR(measure_log(text, toml).channels[0].reading[0], 266.483333, 1e-6);
    const auto log = measure_log(text, toml + "unit = \"C\"\n");
    EXPECT_NEAR(log.channels[0].reading[0], 293.15, 1e-9);
    ASSERT_EQ(log.remarks.size(), 1u);
    EXPECT_EQ(log.remarks[0],
              "intake_temperature: the log gives column 'T [degF]' in 'degF'; the mapping's 'C' is used");
}

TEST(LogMapping, WhatAMappingLacksIsAsked) {
    const std::string text = "t,p,x\n0,50,a\n1,51,b\n";
    const std::string head = "[time]\ncolumn = \"t\"\n[channel.manifold_pressure]\n";
    EXPECT_EQ(refusal(text, head + "column = \"p\"\n"),
              "map.toml:3:10: error: column 'p' has no unit in the log, and [channel.manifold_pressure] states none\n"
              "    3 | [channel.manifold_pressure]\n      |          ^^^^^^^^^^^^^^^^^ unit = \"...\"\n");
    EXPECT_EQ(refusal(text, head + "column = \"p\"\nunit = \"kPa\"\n"),
              "map.toml:5:8: error: is 'p' a gauge or an absolute pressure?\n    5 | unit = \"kPa\"\n"
              "      |        ^^^^^ reference = \"gauge\" or \"absolute\" in [channel.manifold_pressure]\n");
    EXPECT_EQ(refusal(text, head + "unit = \"kPa\"\n"),
              "map.toml:3:10: error: [channel.manifold_pressure] has neither a column nor a value\n"
              "    3 | [channel.manifold_pressure]\n      |          ^^^^^^^^^^^^^^^^^ column = \"...\", or value = "
              "\"...\"\n");
    EXPECT_EQ(refusal(text, "[channel.barometer]\nvalue = \"98 kPa\"\n"),
              "map.toml: error: no [time]\n      [time] names the column of time, or a rate\n");
    EXPECT_EQ(refusal(text, "[time]\ncolumn = \"t\"\n[channel.barometer]\nvalue = \"14 bar\"\n"),
              "map.toml:4:9: error: barometer.value = \"14 bar\" must lie within 50 .. 110 kPa (ambient pressure)\n"
              "    4 | value = \"14 bar\"\n      |         ^^^^^^^^\n");
    EXPECT_EQ(refusal(text, "[time]\ncolumn = \"t\"\n[pulls]\nleast_clim = \"1000 rpm\"\n"),
              "map.toml:4:1: error: unknown key 'least_clim' in [pulls]\n    4 | least_clim = \"1000 rpm\"\n"
              "      | ^^^^^^^^^^ did you mean 'least_climb' (rad/s, least climb of crank speed in a pull)?\n");
}

TEST(MappingGuess, KnowsColumnsInFiveLanguages) {
    const auto en = guess(
        "time [s],RPM,MAP [kPa],Boost Target [kPa],Charge Temp [C],ECT [C],Oil Temp [C],Drum Speed [rpm],"
        "Vehicle Speed [mph],Spark Advance [deg],Knock Retard [deg]\n0,1,2,3,4,5,6,7,8,9,1\n1,2,3,4,5,6,7,8,9,10,1\n");
    EXPECT_EQ(column_of(en, "speed"), "RPM");
    EXPECT_EQ(column_of(en, "manifold_pressure"), "MAP [kPa]");
    EXPECT_EQ(column_of(en, "intake_temperature"), "Charge Temp [C]");
    EXPECT_EQ(column_of(en, "engine_coolant_temperature"), "ECT [C]");
    EXPECT_EQ(column_of(en, "drum_speed"), "Drum Speed [rpm]");
    EXPECT_EQ(column_of(en, "vehicle_speed"), "Vehicle Speed [mph]");
    EXPECT_EQ(column_of(en, "spark"), "Spark Advance [deg]");
    EXPECT_EQ(en.unused, (std::vector<std::string>{"Boost Target [kPa]", "Oil Temp [C]", "Knock Retard [deg]"}));
    const char* others[] = {"Zeit;Drehzahl;Ladelufttemperatur\ns;1/min;°C\n",
                            "Temps;Régime;Température admission\ns;tr/min;°C\n",
                            "Tiempo;Régimen motor;Temperatura admisión\ns;rpm;C\n",
                            "Tempo;Giri motore;Temperatura aspirazione\ns;rpm;°C\n"};
    for (const std::string head : others) {
        const auto m = guess(head + "0,0;900;30\n0,1;910;30\n");
        const auto first = head.find(';'), second = head.find(';', first + 1);
        EXPECT_EQ(m.time.column, head.substr(0, first));
        EXPECT_EQ(column_of(m, "speed"), head.substr(first + 1, second - first - 1));
        EXPECT_EQ(column_of(m, "intake_temperature"), head.substr(second + 1, head.find('\n') - second - 1));
    }
}

TEST(MappingGuess, UnitsDecideWhatASpeedIs) {
    EXPECT_EQ(column_of(guess("t,Speed [rpm]\n0,1\n1,2\n"), "speed"), "Speed [rpm]");
    EXPECT_EQ(column_of(guess("t,Speed [km/h]\n0,1\n1,2\n"), "vehicle_speed"), "Speed [km/h]");
    const auto bare = guess("t,Speed\n0,1\n1,2\n");
    EXPECT_EQ(column_of(bare, "speed") + column_of(bare, "vehicle_speed"), "--");
}

TEST(MappingGuess, SaysWhatItAssumes) {
    const auto metric = guess("time,Boost,IAT,AFR,TPS\n0,-60,30,14.7,10\n20,-61,31,14.6,11\n40,-60,30,14,12\n");
    EXPECT_EQ(metric.time.unit, "ms");
    EXPECT_EQ(metric.time.remark, "assumed: the log gives no unit; its usual step is 20");
    const auto* boost = metric.find("manifold_pressure");
    EXPECT_EQ(boost->unit, "kPa");
    EXPECT_EQ(boost->reference, Reference::gauge);
    EXPECT_EQ(metric.find("lambda")->stoichiometric_afr, 14.7);
    EXPECT_EQ(metric.find("throttle")->unit, "%");
    EXPECT_EQ(metric.find("barometer")->value, 101325);
    EXPECT_NE(metric.find("barometer")->remark, "");
    const auto us = guess("time,Boost,IAT\n0,-6,80\n1,-6,81\n", true);
    EXPECT_EQ(us.find("manifold_pressure")->unit, "psi");
    EXPECT_EQ(us.find("intake_temperature")->unit, "degF");
}

TEST(MappingGuess, WrittenAndReadBackItGivesTheSameLog) {
    const std::string text =
        text_of("Zeit [s],Motor \"n\" rpm,Boost [psi],IAT,TPS,Lambda,Gear\\1", 20, 10,
                {[](double t) { return t < 5 ? 2000 : std::min(6500.0, 2000 + 600 * (t - 5)); },
                 [](double t) { return t < 5 ? -5 + 0.01 * t : 9; }, [](double t) { return 30 + t; },
                 [](double t) { return t < 5 ? 10 : 100; }, [](double) { return 0.88; }, [](double) { return 3; }});
    Diagnostics d;
    auto table = read_log_table(source_of(text), {}, d);
    ASSERT_TRUE(table);
    auto guessed = guess_mapping(*table, false, d);
    guessed.pulls.full_throttle = 0.75, guessed.faults.gap = 7, guessed.pulls.dip = 200 * rpm;
    const auto toml = mapping_text(guessed, "a log\nwith two lines");
    auto read = read_mapping(source_of(toml, "map.toml"), d);
    ASSERT_TRUE(read) << render(d.all()) << toml;
    EXPECT_EQ(read->pulls.dip, guessed.pulls.dip);
    EXPECT_EQ(read->faults.gap, 7);
    ASSERT_EQ(read->channels.size(), guessed.channels.size());
    auto other = read_log_table(source_of(text), read->form, d);
    for (auto& c : guessed.channels) c.remark.clear();
    guessed.unused.clear();
    const auto a = measured_log(std::move(*table), guessed, d), b = measured_log(std::move(*other), *read, d);
    ASSERT_TRUE(a && b) << render(d.all());
    ASSERT_EQ(a->pulls.size(), 1u);
    EXPECT_EQ(inspection_text(*a, UnitSystem::us, 100, true), inspection_text(*b, UnitSystem::us, 100, true));
    for (std::size_t c = 0; c < a->channels.size(); ++c) {
        EXPECT_EQ(a->channels[c].reading, b->channels[c].reading);
        EXPECT_EQ(a->channels[c].accuracy.absolute, b->channels[c].accuracy.absolute);
    }
}

TEST(MappingGuess, WithoutAColumnOfTimeIsThereForEditing) {
    Diagnostics d;
    const auto table = read_log_table(source_of("rpm,IAT [C]\n900,30\n890,31\n"), {}, d);
    const auto mapping = guess_mapping(*table, false, d);
    EXPECT_TRUE(d.failed());
    const auto toml = mapping_text(mapping, "log.csv");
    EXPECT_NE(toml.find("[channel.intake_temperature]"), toml.npos);
    Diagnostics again;
    EXPECT_FALSE(read_mapping(source_of(toml, "map.toml"), again));
    EXPECT_EQ(render(again.all()).find("map.toml:11:8: error: no number in '? Hz'"), 0u) << render(again.all()) << toml;
}

}  // namespace log_mapping_tests
