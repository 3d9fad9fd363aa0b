#include <fmt/format.h>
#include <unistd.h>

#include <mutex>
#include <pullcast/choose/run_store.hpp>

#include "store_file.hpp"
#include "store_lines.hpp"

namespace pullcast::choose {

namespace fs = std::filesystem;

struct RunStore::State {
    std::string name;
    StoreFile file;
    ReadStore found;
    std::mutex appending;

    State(const fs::path& path, const StoreHead& head)
        : name(path.string()), file(path, StoreFile::For::appending), found{head, {}, 0} {}

    void begin() {
        file.drop_text();
        file.append(store_line(words_of(found.head)));
    }
    void take(const std::string& text) {
        const auto there = head_in(text, name);
        if (!there) return begin();
        if (const auto other = differences(*there, "there", found.head, "wanted", true); !other.empty())
            throw StoreError(
                fmt::format("{}: holds other runs than these; give another file, or begin anew:{}", name, other));
        found = runs_in(text, found.head, name);
    }
};

RunStore::RunStore(const fs::path& file, const StoreHead& head, bool anew) {
    check_head(head);
    state_ = std::make_unique<State>(file, head);
    const auto text = state_->file.text();
    if (anew && looks_like_store(text)) state_->begin();
    else state_->take(text);
}

RunStore::~RunStore() = default;

const std::map<std::size_t, Run>& RunStore::runs() const { return state_->found.runs; }
std::size_t RunStore::damaged_lines() const { return state_->found.damaged_lines; }

void RunStore::append(const Run& run) {
    check_run(run, state_->found.head);
    auto stored = as_stored(run);
    const auto words = words_of(stored);
    const std::lock_guard lock(state_->appending);
    auto& runs = state_->found.runs;
    if (const auto there = runs.find(run.index); there != runs.end()) {
        if (there->second == stored) return;
        throw StoreError(fmt::format("{}: run {} came out differently before:\n  {}\n  {}", state_->name, run.index,
                                     words_of(there->second), words));
    }
    state_->file.append(store_line(words));
    runs.emplace(run.index, std::move(stored));
}

void RunStore::flush_to_disk() {
    state_->file.to_disk();
    folder_to_disk(state_->name);
}

ReadStore read_store(const fs::path& file) {
    const auto text = StoreFile(file, StoreFile::For::reading).text();
    const auto head = head_in(text, file.string());
    if (!head) throw StoreError(fmt::format("{}: is empty; no run was begun in it", file.string()));
    return runs_in(text, *head, file.string());
}

void write_store(const fs::path& file, const StoreHead& head, const std::map<std::size_t, Run>& runs) {
    check_head(head);
    auto text = store_line(words_of(head));
    for (const auto& [index, run] : runs) {
        check_run(run, head);
        text += store_line(words_of(as_stored(run)));
    }
    std::unique_ptr<StoreFile> replaced;  // locked until the new one has its place
    if (fs::exists(fs::symlink_status(file))) {
        replaced = std::make_unique<StoreFile>(file, StoreFile::For::replacing);
        if (!looks_like_store(replaced->text()))
            throw StoreError(fmt::format("{}: is no store of runs; it is left as it is", file.string()));
    }
    const auto aside = file.parent_path() / fmt::format(".{}.new-{}", file.filename().string(), getpid());
    std::error_code ignored;
    fs::remove(aside, ignored);  // of an earlier process of this number
    try {
        StoreFile fresh(aside, StoreFile::For::making);
        fresh.append(std::move(text));
        fresh.to_disk();
        fs::rename(aside, file);
    } catch (const fs::filesystem_error& error) {
        fs::remove(aside, ignored);
        throw StoreError(fmt::format("{}: cannot be written: {}", file.string(), error.code().message()));
    } catch (...) {
        fs::remove(aside, ignored);
        throw;
    }
    folder_to_disk(file);
}

}  // namespace pullcast::choose
