#include "write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fstream>
#include <pullcast/study/results.hpp>

namespace pullcast {

namespace fs = std::filesystem;

void write_file(const fs::path& file, const std::string& text, bool replace) {
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

}  // namespace pullcast
