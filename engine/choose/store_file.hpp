/// A file of lines that is appended to. All failures are StoreError with the file's name.
#pragma once
#include <pullcast/choose/run_store.hpp>
#include <string_view>

namespace pullcast::choose {

class StoreFile {
public:
    enum class For {
        reading,
        appending,  // made if it is not there; locked
        replacing,  // only locked
        making      // must not be there yet
    };
    StoreFile(std::filesystem::path path, For purpose);
    ~StoreFile();
    StoreFile(const StoreFile&) = delete;
    StoreFile& operator=(const StoreFile&) = delete;

    std::string text() const;
    void drop_text();
    /// At the end, in one write if the system takes it whole. What an earlier write or process left there without a
    /// line break gets one first, so that it stays a line of its own.
    void append(std::string lines);
    void to_disk();

private:
    [[noreturn]] void fail(const char* what) const;
    void lock();

    std::filesystem::path path_;
    int descriptor_ = -1;
    bool torn_ = false;  // ends without a line break
};

/// Keeps also the name that a file was given, or lost, in its folder.
void folder_to_disk(const std::filesystem::path& file);

}  // namespace pullcast::choose
