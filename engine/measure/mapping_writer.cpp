// A mapping as TOML text.
#include <fmt/format.h>

#include <pullcast/measure/log_mapping.hpp>
#include <pullcast/scenario/toml_document.hpp>

#include "mapping_rules.hpp"

namespace pullcast::measure {
namespace {

constexpr const char* heading_text =
    "# Which column of {} is what. Written by a guess from names and units: check it before it is used.\n"
    "# Accuracies: 19 times in 20 a reading is within them. Those in comments are assumed; state your own.\n";

/// A comment ends with its line and holds no control characters.
std::string on_one_line(std::string text) {
    for (auto& c : text)
        if (static_cast<unsigned char>(c) < ' ' || c == 0x7F) c = ' ';
    return text;
}

void add_remark(std::string& out, const std::string& remark) {
    if (!remark.empty()) out += fmt::format("# {}\n", on_one_line(remark));
}

std::string form_text(const LogForm& f) {
    std::string out;
    if (f.separator)
        out += fmt::format("separator = \"{}\"\n", f.separator == '\t' ? "tab" : std::string(1, f.separator));
    if (f.decimal) out += fmt::format("decimal = \"{}\"\n", f.decimal);
    if (f.header_line) out += fmt::format("header_line = {}\n", *f.header_line);
    return out.empty() ? "" : "\n[log]\n" + out;
}

std::string time_text(const TimeMap& t) {
    constexpr const char* styles[] = {"number", "clock", "date_time", "samples"};
    std::string out = "\n[time]\n";
    add_remark(out, t.remark);
    if (!t.column.empty()) out += fmt::format("column = {}\n", toml_string(t.column));
    out += fmt::format("style = \"{}\"\n", styles[static_cast<int>(t.style)]);
    if (t.style == TimeStyle::number) out += fmt::format("unit = \"{}\"\n", t.unit);
    if (t.style == TimeStyle::samples && t.rate == 0) out += "rate = \"? Hz\"\n";
    else if (t.style == TimeStyle::samples) out += fmt::format("rate = \"{} Hz\"\n", t.rate);
    if (t.sort) out += "sort = true\n";
    return out;
}

std::string assumed_accuracy(const ChannelKind& k) {
    if (k.of_reading > 0) return fmt::format("{:g} % of reading", 100 * k.of_reading);
    if (k.unit == "Pa") return fmt::format("{:g} kPa", k.accuracy / 1e3);
    if (k.unit == "rad") return fmt::format("{:g} deg", k.accuracy * 180 / 3.14159265358979);
    if (k.unit == "1") return fmt::format("{:g} %", 100 * k.accuracy);
    return fmt::format("{:g} {}", k.accuracy, k.unit);
}

std::string channel_text(const ChannelMap& c) {
    std::string out = fmt::format("\n[channel.{}]  # {}\n", c.kind->name, c.kind->doc);
    add_remark(out, c.remark);
    if (c.value) out += fmt::format("value = {}\n", toml_string(c.value_text));
    else out += fmt::format("column = {}\n", toml_string(c.column));
    if (!c.unit.empty()) out += fmt::format("unit = {}\n", toml_string(c.unit));
    if (c.stoichiometric_afr > 0) out += fmt::format("stoichiometric_afr = {}\n", c.stoichiometric_afr);
    if (c.reference != Reference::none)
        out += fmt::format("reference = \"{}\"\n", c.reference == Reference::gauge ? "gauge" : "absolute");
    if (c.accuracy.assumed) out += fmt::format("# accuracy = \"{}\"\n", assumed_accuracy(*c.kind));
    else out += fmt::format("accuracy = {}\n", toml_string(c.accuracy.text));
    if (!c.low_text.empty()) out += fmt::format("lowest = {}\n", toml_string(c.low_text));
    if (!c.high_text.empty()) out += fmt::format("highest = {}\n", toml_string(c.high_text));
    return out;
}

}  // namespace

std::string mapping_text(const LogMapping& m, const std::string& log_name) {
    std::string out = fmt::format(fmt::runtime(heading_text), on_one_line(log_name));
    out += form_text(m.form) + time_text(m.time);
    for (const auto& c : m.channels) out += channel_text(c);
    out += rules_text(m.faults, m.pulls);
    if (!m.unused.empty()) out += "\n# Columns that are not used:\n";
    for (const auto& name : m.unused) out += "#   " + toml_string(name) + "\n";
    return out;
}

}  // namespace pullcast::measure
