/// Table-driven tests of what the user is told: a rig without a fault (tests/fake_rig.hpp), one edit or file that
/// breaks it, and the whole text of the errors.
#pragma once
#include <fake_rig.hpp>

namespace bad {

using fake::Files;
using Edits = std::vector<std::pair<std::string, std::string>>;  // in rigs/demo.toml: text, and what stands instead

struct Input {
    const char* name;
    Edits edits;
    Files files;           // beside rigs/demo.toml and parts/core-a.toml, or in place of them
    const char* expected;  // starts with a line break, for the eye
    std::string file{};    // what is loaded; studies/s.toml if the test has it, else the rig
};

/// In place of the manifold's volume.
inline Edits volume_line(const char* text) { return {{R"(volume = "3 L")", text}}; }
/// One more line of the ambient.
inline Edits ambient_line(const std::string& text) {
    return {{R"(model = "gas.ambient")", "model = \"gas.ambient\"\n" + text}};
}
/// In place of the rig's last line, which belongs to the cooler.
inline Edits cooler_line(const char* text) { return {{R"(surroundings = "ambient")", text}}; }
/// A second blower at the end of the rig, whose last line this is.
inline Edits second_blower(const std::string& text) {
    return {{R"(surroundings = "ambient")", R"(surroundings = "ambient"
[component.second]
model = "blower.map"
from = "duct"
to = "manifold"
)" + text}};
}
/// Another text of the cooler's part.
inline Files core(const char* text) { return {{"parts/core-a.toml", text}}; }
/// A study of the rig.
inline Files study(const std::string& text) { return {{"studies/s.toml", "rig = \"../rigs/demo.toml\"\n" + text}}; }
/// One with a variant and a knob, whose first line is line 4.
inline Files knob(const std::string& text) { return study("[variant.a]\n[knob.x]\n" + text); }

inline std::string edited_rig(const Edits& edits) {
    std::string rig = fake::good_rig;
    for (const auto& [from, to] : edits) {
        const auto at = rig.find(from);
        if (at == rig.npos) return "the edit's text does not stand in the rig: " + from;
        rig.replace(at, from.size(), to);
    }
    return rig;
}

inline void write(const Input& in) {
    Files files{{"rigs/demo.toml", edited_rig(in.edits)}, {"parts/core-a.toml", fake::core_a}};
    for (const auto& [path, text] : in.files) files[path] = text;
    fake::Folder::write(files);
}

/// The errors of one input.
inline std::string told(const Input& in) {
    write(in);
    return fake::Folder::errors(!in.file.empty()                   ? in.file
                                : in.files.count("studies/s.toml") ? "studies/s.toml"
                                                                   : "rigs/demo.toml");
}

inline std::string name_of(const testing::TestParamInfo<Input>& info) { return info.param.name; }
inline void PrintTo(const Input& in, std::ostream* out) { *out << in.name; }

}  // namespace bad
