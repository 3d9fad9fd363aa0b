#include <fmt/format.h>

#include <cstdio>
#include <pullcast/measure/inspection.hpp>

#include "options.hpp"
#include "terminal.hpp"
#include "write_file.hpp"

namespace pullcast {

int inspect_command(const Options& o) {
    Diagnostics diagnostics;
    std::optional<measure::LogMapping> mapping;
    if (!o.mapping.empty()) mapping = measure::read_mapping(o.mapping, diagnostics);
    diagnostics.throw_if_failed();
    const auto source = measure::read_log_source(o.file, diagnostics);
    diagnostics.throw_if_failed();
    auto table = measure::read_log_table(source, mapping ? mapping->form : measure::LogForm{}, diagnostics);
    diagnostics.throw_if_failed();
    if (!mapping) mapping = measure::guess_mapping(*table, o.units == UnitSystem::us, diagnostics);
    // Before the log is judged: what a guess got wrong is put right in the written file.
    if (!o.write_mapping.empty()) {
        write_file(o.write_mapping, measure::mapping_text(*mapping, o.file.filename().string()), o.force);
        fmt::print(stderr, "mapping: {}\n", o.write_mapping.string());
    }
    diagnostics.throw_if_failed();
    const auto log = measure::measured_log(std::move(*table), std::move(*mapping), diagnostics);
    diagnostics.throw_if_failed();
    fmt::print("{}", measure::inspection_text(*log, o.units, terminal_width(), o.all));
    return Exit::ok;
}

}  // namespace pullcast
