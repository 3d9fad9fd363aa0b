/// One file that a command writes beside its results.
#pragma once
#include <filesystem>
#include <string>

namespace pullcast {

/// Writes beside the file and renames, so that it is there whole or not at all; never over another without `replace`.
/// Throws OutputError.
void write_file(const std::filesystem::path& file, const std::string& text, bool replace);

}  // namespace pullcast
