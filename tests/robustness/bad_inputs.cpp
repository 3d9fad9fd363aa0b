#include <robustness/bad_inputs.hpp>

namespace bad_inputs_tests {

using namespace bad;

class BadValue : public fake::Folder, public testing::WithParamInterface<Input> {};

/// Parameters: units, bounds, kinds, names.
const Input value_inputs[] = {
    {"negative_size", volume_line(R"(volume = "-3 L")"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = "-3 L" must be greater than 0 (inner volume)
   12 | volume = "-3 L"
      |          ^^^^^^
)"},
    {"zero_size", volume_line(R"(volume = "0 L")"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = "0 L" must be greater than 0 (inner volume)
   12 | volume = "0 L"
      |          ^^^^^
)"},
    {"unit_of_another_kind", volume_line(R"(volume = "3 kg")"), {}, R"(
rigs/demo.toml:12:13: error: manifold.volume = "3 kg": '3 kg' is a mass, 'volume' wants a volume (m^3)
   12 | volume = "3 kg"
      |             ^^ for example "3 L"
)"},
    {"misspelt_unit", volume_line(R"(volume = "3 litre")"), {}, R"(
rigs/demo.toml:12:13: error: manifold.volume = "3 litre": unknown unit 'litre'
   12 | volume = "3 litre"
      |             ^^^^^ did you mean 'L'?
)"},
    {"number_without_unit", volume_line("volume = 3.5"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = 3.5 has no unit (m^3, inner volume)
   12 | volume = 3.5
      |          ^^^ give a unit, for example "3.5 L"
)"},
    {"string_without_unit", volume_line(R"(volume = "3")"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = "3": '3' has no unit
   12 | volume = "3"
      |          ^^^ give a unit, for example "3 L"
)"},
    {"unit_without_quotes", volume_line("volume = 3 L"), {}, R"(
rigs/demo.toml:12:12: error: not valid TOML: expected a comment or whitespace, saw 'L'
   12 | volume = 3 L
      |            ^ put values with units in quotes: "31 degC"
)"},
    {"degree_sign_without_quotes", ambient_line("temperature = 31 °C"), {}, R"(
rigs/demo.toml:7:18: error: a character outside quotes that is not plain ASCII
    7 | temperature = 31 °C
      |                  ^ put values with units in quotes: "31 degC"
)"},
    {"below_absolute_zero", ambient_line(R"(temperature = "-400 degC")"), {}, R"(
rigs/demo.toml:7:15: error: ambient.temperature = "-400 degC" must lie within -53.15 .. 66.85 degC (air temperature)
    7 | temperature = "-400 degC"
      |               ^^^^^^^^^^^
)"},
    {"hot_ambient", ambient_line(R"(temperature = "310 degF")"), {}, R"(
rigs/demo.toml:7:15: error: ambient.temperature = "310 degF" must lie within -63.67 .. 152.33 degF (air temperature)
    7 | temperature = "310 degF"
      |               ^^^^^^^^^^
)"},
    {"gauge_pressure", ambient_line(R"(pressure = "1 psig")"), {}, R"(
rigs/demo.toml:7:15: error: ambient.pressure = "1 psig": '1 psig' is a gauge pressure, 'pressure' wants an absolute pressure
    7 | pressure = "1 psig"
      |               ^^^^ add the ambient pressure, for example "15.7 psia", or write "1 psi" for a difference
)"},
    {"decimal_comma", volume_line(R"(volume = "3,5 L")"), {}, R"(
rigs/demo.toml:12:12: error: manifold.volume = "3,5 L": ',' in a number
   12 | volume = "3,5 L"
      |            ^^^^ write a decimal point, and no separator of thousands
)"},
    {"empty_quantity", volume_line(R"(volume = "")"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = "": a number is missing
   12 | volume = ""
      |          ^^ for example "1 L"
)"},
    {"not_a_number", volume_line("volume = nan"), {}, R"(
rigs/demo.toml:12:10: error: nan is not a number to work with
   12 | volume = nan
      |          ^^^
)"},
    {"infinite_text", volume_line(R"(volume = "inf L")"), {}, R"(
rigs/demo.toml:12:11: error: manifold.volume = "inf L": 'inf' is not a finite number
   12 | volume = "inf L"
      |           ^^^^^ for example "1 L"
)"},
    {"date", volume_line("volume = 2026-11-25"), {}, R"(
rigs/demo.toml:12:10: error: dates and times are not used here
   12 | volume = 2026-11-25
      |          ^^^^^^^^^^ put it in quotes if it is a text
)"},
    {"boolean_for_a_number", volume_line("volume = true"), {}, R"(
rigs/demo.toml:12:10: error: manifold.volume = true must be a number with its unit, not a boolean (m^3, inner volume)
   12 | volume = true
      |          ^^^^
)"},
    {"fraction_above_limit", {{R"(glycol = "50 %")", R"(glycol = "140 %")"}}, {}, R"(
rigs/demo.toml:3:10: error: common.glycol = "140 %" must lie within 0 .. 60 % (volume fraction of glycol)
    3 | glycol = "140 %"
      |          ^^^^^^^
)"},
    {"integer_as_string", cooler_line(R"(rows = "3")"), {}, R"(
rigs/demo.toml:26:8: error: cooler.rows = "3" must be an integer, not a string (integer, rows of tubes)
   26 | rows = "3"
      |        ^^^
)"},
    {"integer_out_of_range", cooler_line("rows = 40"), {}, R"(
rigs/demo.toml:26:8: error: cooler.rows = 40 must lie within 1 .. 20 (rows of tubes)
   26 | rows = 40
      |        ^^
)"},
    {"integer_too_large", cooler_line("rows = 30000000000"), {}, R"(
rigs/demo.toml:26:8: error: cooler.rows = 30000000000 is too large (integer, rows of tubes)
   26 | rows = 30000000000
      |        ^^^^^^^^^^^
)"},
    {"unknown_choice", cooler_line(R"(fin = "offset-strip")"), {}, R"(
rigs/demo.toml:26:7: error: cooler.fin = "offset-strip" must be one of "louver", "offset strip" (kind of fin)
   26 | fin = "offset-strip"
      |       ^^^^^^^^^^^^^^ did you mean "offset strip"?
)"},
    {"missing_parameter",
     {{R"(volume = "3 L"
)",
       ""}},
     {},
     R"(
rigs/demo.toml:10:12: error: missing key 'volume' in [component.manifold] (m^3, inner volume)
   10 | [component.manifold]
      |            ^^^^^^^^
)"},
    {"missing_common",
     {{R"(glycol = "50 %"
)",
       ""}},
     {},
     R"(
rigs/demo.toml:20:12: error: missing key 'glycol' in [component.cooler] (volume fraction of glycol)
   20 | [component.cooler]
      |            ^^^^^^ set it here, or 'glycol' in [common]
)"},
    {"unknown_key",
     volume_line(R"(volume = "3 L"
volum = "2 L")"),
     {},
     R"(
rigs/demo.toml:13:1: error: unknown key 'volum' in [component.manifold]
   13 | volum = "2 L"
      | ^^^^^ did you mean 'volume' (m^3, inner volume)?
)"},
    {"unknown_key_without_near_name",
     volume_line(R"(volume = "3 L"
colour = "red")"),
     {},
     R"(
rigs/demo.toml:13:1: error: unknown key 'colour' in [component.manifold]
   13 | colour = "red"
      | ^^^^^^ one of: volume, start_temperature
)"},
    {"unknown_common_key",
     {{R"(glycol = "50 %")", R"(glycol = "50 %"
glycoll = "50 %")"}},
     {},
     R"(
rigs/demo.toml:4:1: error: unknown key 'glycoll' in [common]: no model shares it
    4 | glycoll = "50 %"
      | ^^^^^^^ did you mean 'glycol' (volume fraction of glycol)?
)"},
    {"several_errors_at_once",
     {{R"(volume = "3 L")", R"(volume = "-3 L")"}, {R"(volume = "4 L")", R"(volum = "4 L")"}},
     {},
     R"(
rigs/demo.toml:7:12: error: missing key 'volume' in [component.duct] (m^3, inner volume)
    7 | [component.duct]
      |            ^^^^
rigs/demo.toml:9:1: error: unknown key 'volum' in [component.duct]
    9 | volum = "4 L"
      | ^^^^^ did you mean 'volume' (m^3, inner volume)?
rigs/demo.toml:12:10: error: manifold.volume = "-3 L" must be greater than 0 (inner volume)
   12 | volume = "-3 L"
      |          ^^^^^^
)"},
    {"duplicate_key",
     volume_line(R"(volume = "3 L"
volume = "4 L")"),
     {},
     R"(
rigs/demo.toml:13:10: error: not valid TOML: cannot redefine existing string 'volume'
   13 | volume = "4 L"
      |          ^
)"},
};

TEST_P(BadValue, IsTold) { EXPECT_EQ("\n" + told(GetParam()), GetParam().expected); }
INSTANTIATE_TEST_SUITE_P(Scenario, BadValue, testing::ValuesIn(value_inputs), name_of);

}  // namespace bad_inputs_tests
