// What the program says about a command line, a file or a plugin that it cannot use: whole messages and exit codes.
#include "command_line.hpp"

namespace command_line_usage_tests {

using namespace command_line;

struct Wrong {
    const char* name;
    std::vector<std::string> args;
    int code;
    std::string err;  // all of stderr
};
void PrintTo(const Wrong& w, std::ostream* out) { *out << w.name; }

const std::string see_help = "\nsee 'pullcast --help'\n";

const Wrong wrongs[] = {
    {"NoCommand",
     {},
     2,
     "error: no command; one of: run, session, answers, explain, live, check, models, parts, draw, inspect, fit, "
     "match, choose" +
         see_help},
    {"UnknownCommand", {"rnu", "small.toml"}, 2, "error: unknown command 'rnu'; did you mean 'run'?" + see_help},
    {"CommandLikeNoOther", {"frobnicate"}, 2, "error: unknown command 'frobnicate'" + see_help},
    {"TwoCommands", {"run", "check"}, 2, "error: two commands: 'run' and 'check'" + see_help},
    {"UnknownOption",
     {"run", "small.toml", "--fource"},
     2,
     "error: unknown option '--fource'; did you mean '--force'?" + see_help},
    {"OptionOfAnotherCommand", {"check", "small.toml", "--json"}, 2, "error: unknown option '--json'" + see_help},
    {"OneArgumentTooMany",
     {"run", "small.toml", "more"},
     2,
     "error: 'more' is one argument too many for 'run'" + see_help},
    {"RunWithoutFile", {"run"}, 2, "error: 'run' needs a study or rig file" + see_help},
    {"ExplainWithoutFile", {"explain"}, 2, "error: 'explain' needs a study or rig file" + see_help},
    {"CheckWithoutFile", {"check"}, 2, "error: 'check' needs a study or rig file" + see_help},
    {"AnswersWithoutFile",
     {"answers"},
     2,
     "error: 'answers' needs a folder of lessons, or a study with a session" + see_help},
    {"DrawWithoutFile", {"draw"}, 2, "error: 'draw' needs a study or rig file" + see_help},
    {"PartsWithoutFile", {"parts"}, 2, "error: 'parts' needs a part file, or a folder of parts" + see_help},
    {"OptionWithoutValue", {"run", "small.toml", "--out"}, 2, "error: --out needs a value" + see_help},
    {"Units",
     {"run", "small.toml", "--units", "imperial"},
     2,
     "error: --units 'imperial': must be metric, us or si" + see_help},
    {"ThreadsNoNumber",
     {"run", "small.toml", "--threads", "two"},
     2,
     "error: --threads 'two': must be a whole number from 1 to 1024" + see_help},
    {"ThreadsNone",
     {"run", "small.toml", "--threads", "0"},
     2,
     "error: --threads '0': must be a whole number from 1 to 1024" + see_help},
    {"ThreadsNegative",
     {"run", "small.toml", "--threads", "-3"},
     2,
     "error: --threads '-3': must be a whole number from 1 to 1024" + see_help},
    {"PortNoNumber",
     {"live", "small.toml", "--port", "http"},
     2,
     "error: --port 'http': must be a whole number from 1 to 65535" + see_help},
    {"PortTooLarge",
     {"live", "small.toml", "--port", "65536"},
     2,
     "error: --port '65536': must be a whole number from 1 to 65535" + see_help},
    {"LiveWithoutFile", {"live"}, 2, "error: 'live' needs a study or rig file" + see_help},
    {"LiveMissingFile", {"live", "nowhere.toml"}, 3, "nowhere.toml: error: no such file\n"},
    {"LiveWithoutKnobs",
     {"live", "small.toml"},
     3,
     "small.toml: error: has no knobs to turn\n"
     "      in a study, [knob.NAME] declares one: title, sets, and choices or from and to\n"},
    {"Format", {"draw", "small.toml", "--format", "pdf"}, 2, "error: --format 'pdf': must be dot or svg" + see_help},

    {"RunMissingFile", {"run", "nowhere.toml"}, 3, "nowhere.toml: error: no such file\n"},
    {"CheckMissingFile", {"check", "nowhere.toml"}, 3, "nowhere.toml: error: no such file\n"},
    {"DrawMissingFile", {"draw", "nowhere.toml"}, 3, "nowhere.toml: error: no such file\n"},
    {"PartsMissingFile", {"parts", "nowhere"}, 3, "nowhere: error: no such file\n"},
    {"RunFolder", {"run", "scenarios"}, 3, "scenarios: error: is a folder, not a file\n"},
    {"DrawFolder", {"draw", "scenarios"}, 3, "scenarios: error: is a folder, not a file\n"},
    {"CheckDevice", {"check", "/dev/zero"}, 3, "/dev/zero: error: cannot be read\n"},
    {"RunPart",
     {"run", "part.toml"},
     3,
     "part.toml: error: is a part, not a study or a rig\n      a rig takes it in: parts = { slot = \"NAME\" }\n"},
    {"PartsOfRig",
     {"parts", "small.toml"},
     3,
     "error: small.toml: is a rig or a study, not a part; 'pullcast check' reads it\n"},
    {"PartsNone", {"parts", "none"}, 3, "error: none: holds no parts (*.toml)\n"},
    {"PartsBroken",
     {"parts", "broken"},
     3,
     "broken/pulley.toml:1:8: error: this quote is not closed\n    1 | name = \"68 mm\n      |        ^\n"},
    {"VariantThatLeavesTheFolder",
     {"check", "escape.toml"},
     3,
     "escape.toml:2:10: error: '../../x' cannot name a variant: its results are a file of that name\n"
     "    2 | [variant.\"../../x\"]\n      |          ^^^^^^^^^ use letters, digits, '-' and '_'\n"},
    {"MoreRowsThanMemory",
     {"check", "rows.toml"},
     3,
     "rows.toml:3:1: error: 3.6e+09 output rows in 36000 s; at most 1e+06\n    3 | output_step = \"10 us\"\n"
     "      | ^^^^^^^^^^^ a larger output_step, or a smaller longest\n"},

    {"UnknownModel", {"models", "blower.mpa"}, 3, "error: no model or role 'blower.mpa'; did you mean 'blower.map'?\n"},
    {"UnknownRole", {"models", "bloer"}, 3, "error: no model or role 'bloer'; did you mean 'blower'?\n"},
    {"ModelLikeNoOther",
     {"models", "xxxxxxxx"},
     3,
     "error: no model or role 'xxxxxxxx'; 'pullcast models' lists them\n"},
    {"UnknownPart",
     {"check", "unknown-part.toml"},
     3,
     "unknown-part.toml:3:24: error: no part 'puley-80' below ../parts or scenarios/parts\n"
     "    3 | \"drive.parts.pulley\" = \"puley-80\"\n      |                        ^^^^^^^^^^ did you mean "
     "'pulley-80'?\n"},

    {"NameTooLong",
     {"models", "--plugin", std::string(300, 'x')},
     7,
     "error: " + std::string(300, 'x') + ": File name too long\n"},
    {"PluginMissing", {"models", "--plugin", "nope.so"}, 3, "error: nope.so: no such file\n"},
    {"PluginFolderEmpty", {"models", "--plugin", "none"}, 3, "error: none: holds no plugins (*.so)\n"},
    {"PluginText",
     {"models", "--plugin", "bad/not_a_library.so"},
     3,
     "error: bad/not_a_library.so: cannot be loaded: file too short\n"},
    {"PluginAbi",
     {"models", "--plugin", "bad/wrong_abi.so"},
     3,
     "error: bad/wrong_abi.so: built for ABI 4, this engine speaks ABI 3; rebuild the plugin\n"},
    {"PluginNoSymbol",
     {"models", "--plugin", "bad/no_symbol.so"},
     3,
     "error: bad/no_symbol.so: has no symbol 'pullcast_manifest'; declare the plugin with PULLCAST_PLUGIN\n"},
    {"PluginDuplicate",
     {"models", "--plugin", "bad/duplicate.so"},
     3,
     "error: bad/duplicate.so: type 'gas.restriction' is already registered by " PULLCAST_PLUGINS "/gas.so\n"},
    {"PluginThrowsAtLoad",
     {"run", "small.toml", "--plugin", "bad/throws_static.so"},
     3,
     "error: bad/throws_static.so: ended its process while loading (signal 6); an exception in a static initialiser or "
     "in "
     "a constructor does this\n"},
    {"PluginThrowsInDeclaration",
     {"models", "--plugin", "bad/throws_describe.so"},
     3,
     "error: bad/throws_describe.so: its declaration failed: no licence for this part\n"},
};

class WrongUse : public CommandLine, public testing::WithParamInterface<Wrong> {};

TEST_P(WrongUse, SaysWhatAndEndsWith) {
    write("small.toml", small_rig);
    write("part.toml", "name = \"68 mm pulley\"\nrole = \"drive\"\n[set]\npulley_diameter = \"68 mm\"\n");
    write("none/read.me", "");
    write("broken/pulley.toml", "name = \"68 mm\n");
    write("escape.toml", "rig = \"small.toml\"\n[variant.\"../../x\"]\n");
    write("rows.toml", "rig = \"small.toml\"\n[procedure]\noutput_step = \"10 us\"\nlongest = \"10 h\"\n[variant.a]\n");
    write("unknown-part.toml",
          "rig = \"scenarios/rigs/hillclimb-v6.toml\"\n[variant.a.set]\n\"drive.parts.pulley\" = \"puley-80\"\n");
    const auto before = names();
    const auto ended = run(GetParam().args);
    EXPECT_EQ(ended.err, GetParam().err);
    EXPECT_EQ(ended.code, GetParam().code);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(names(), before);
}

INSTANTIATE_TEST_SUITE_P(All, WrongUse, testing::ValuesIn(wrongs), [](const auto& wrong) { return wrong.param.name; });

}  // namespace command_line_usage_tests
