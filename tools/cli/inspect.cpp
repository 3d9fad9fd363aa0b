#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <pullcast/measure/inspection.hpp>
#include <pullcast/study/results.hpp>

#include "options.hpp"
#include "terminal.hpp"

namespace pullcast {
namespace {

namespace fs = std::filesystem;

/// Writes beside the file and renames, so that it is there whole or not at all; never over another without `replace`.
void write_whole(const fs::path& file, const std::string& text, bool replace) {
    const auto folder = file.parent_path().empty() ? fs::path(".") : file.parent_path();
    const auto fresh = folder / fmt::format(".{}.new-{}", file.filename().string(), getpid());
    std::ofstream out(fresh, std::ios::binary);
    out << text;
    out.close();
    const bool written = !out.fail();
    if (written && renameat2(AT_FDCWD, fresh.c_str(), AT_FDCWD, file.c_str(), replace ? 0 : RENAME_NOREPLACE) == 0)
        return;
    const int why = errno;
    std::error_code ignored;
    fs::remove(fresh, ignored);
    if (written && why == EEXIST)
        throw OutputError(
            fmt::format("{}: is there already; give another name, or --force to replace it", file.string()));
    throw OutputError(fmt::format("{}: cannot be written: {}", file.string(), std::strerror(why)));
}

}  // namespace

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
        write_whole(o.write_mapping, measure::mapping_text(*mapping, o.file.filename().string()), o.force);
        fmt::print(stderr, "mapping: {}\n", o.write_mapping.string());
    }
    diagnostics.throw_if_failed();
    const auto log = measure::measured_log(std::move(*table), std::move(*mapping), diagnostics);
    diagnostics.throw_if_failed();
    fmt::print("{}", measure::inspection_text(*log, o.units, terminal_width(), o.all));
    return Exit::ok;
}

}  // namespace pullcast
