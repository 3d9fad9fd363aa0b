#include "store_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>

namespace pullcast::choose {
namespace {

int flags(StoreFile::For purpose) {
    constexpr int always = O_CLOEXEC | O_NONBLOCK;  // a pipe without a writer is refused, not waited for
    switch (purpose) {
        case StoreFile::For::reading:
            return always | O_RDONLY;
        case StoreFile::For::appending:
            return always | O_RDWR | O_APPEND | O_CREAT;
        case StoreFile::For::replacing:
            return always | O_RDWR;
        case StoreFile::For::making:
            return always | O_WRONLY | O_APPEND | O_CREAT | O_EXCL;
    }
    return always;
}

/// Repeats a call that a signal cut short.
template <class Call> ssize_t undisturbed(Call call) {
    ssize_t result;
    do result = call();
    while (result < 0 && errno == EINTR);
    return result;
}

}  // namespace

StoreFile::StoreFile(std::filesystem::path path, For purpose) : path_(std::move(path)) {
    descriptor_ = open(path_.c_str(), flags(purpose), 0666);
    if (descriptor_ < 0) fail("cannot be opened");
    try {
        struct stat status;
        if (fstat(descriptor_, &status) != 0) fail("cannot be read");
        if (!S_ISREG(status.st_mode)) throw StoreError(fmt::format("{}: is no ordinary file", path_.string()));
        if (purpose == For::appending || purpose == For::replacing) lock();
    } catch (...) {
        close(descriptor_);
        throw;
    }
}

StoreFile::~StoreFile() { close(descriptor_); }

void StoreFile::fail(const char* what) const {
    throw StoreError(fmt::format("{}: {}: {}", path_.string(), what, std::strerror(errno)));
}

void StoreFile::lock() {
    const bool locked = undisturbed([&] { return flock(descriptor_, LOCK_EX | LOCK_NB); }) == 0;
    if (!locked && errno != EWOULDBLOCK) fail("cannot be locked against other processes");
    struct stat status;
    if (locked && fstat(descriptor_, &status) != 0) fail("cannot be read");
    // Without a name: another process put a new file in its place before the lock was there.
    if (!locked || status.st_nlink == 0)
        throw StoreError(
            fmt::format("{}: is being written by another process; wait for it, or give another file", path_.string()));
    char last = '\n';
    if (status.st_size > 0 && undisturbed([&] { return pread(descriptor_, &last, 1, status.st_size - 1); }) != 1)
        fail("cannot be read");
    torn_ = last != '\n';
}

std::string StoreFile::text() const {
    std::string text;
    char block[1 << 16];
    while (true) {
        const auto offset = static_cast<off_t>(text.size());
        const auto count = undisturbed([&] { return pread(descriptor_, block, sizeof block, offset); });
        if (count < 0) fail("cannot be read");
        if (count == 0) return text;
        text.append(block, static_cast<std::size_t>(count));
    }
}

void StoreFile::drop_text() {
    if (ftruncate(descriptor_, 0) != 0) fail("cannot be written");
    torn_ = false;
}

void StoreFile::append(std::string lines) {
    if (torn_) lines.insert(0, 1, '\n');
    for (std::size_t done = 0; done < lines.size();) {
        const auto count = undisturbed([&] { return write(descriptor_, &lines[done], lines.size() - done); });
        if (count < 0) fail("cannot be written; what stands there in whole lines is kept");
        done += static_cast<std::size_t>(count);
        if (done > 0) torn_ = lines[done - 1] != '\n';
    }
}

void StoreFile::to_disk() {
    if (undisturbed([&] { return fsync(descriptor_); }) != 0) fail("cannot be written");
}

void folder_to_disk(const std::filesystem::path& file) {
    const auto folder = file.has_parent_path() ? file.parent_path() : std::filesystem::path(".");
    const int descriptor = open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0) return;  // a folder that may not be read: its names are kept when the system gets to it
    fsync(descriptor);
    close(descriptor);
}

}  // namespace pullcast::choose
