/// Results of many runs in a text file that is only ever appended to, one line a run, each with a checksum: whatever
/// ends the program, what stands there in whole lines is kept.
///
///     pullcast-runs 1 HASH RUNS SHARD/SHARDS COLUMN COLUMN ... CRC
///     17 301.25 0.0523 nan CRC                              index of the run, one value a column
///     18 ! the belt ... CRC                                 why a run failed, in its words
///
/// CRC: CRC-32 (ISO 3309, as in ITU-T V.42) of what stands before the last blank of its line, eight lower-case
/// hexadecimal digits. Numbers are the shortest that read back to the same double; every NaN is `nan`.
#pragma once
#include <cstddef>
#include <filesystem>
#include <map>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast::choose {

/// Every `of`-th run, from number-1 on: 2/3 has runs 1, 4, 7, ...
struct Shard {
    std::size_t number = 1, of = 1;
    bool has(std::size_t run) const { return run % of == number - 1; }
    bool operator==(const Shard&) const = default;
};

/// What a store is about. Two stores belong together if all but the shard is equal.
struct StoreHead {
    std::string hash;  // of all that the runs depend on; no blanks
    std::size_t runs = 0;
    Shard shard;
    std::vector<std::string> columns;  // each once; no blanks
    bool operator==(const StoreHead&) const = default;
};

struct Run {
    std::size_t index = 0;
    std::vector<double> values;         // one a column; empty if it failed
    std::string failure;                // line breaks become blanks
    bool operator==(const Run&) const;  // every NaN equals every other; -0.0 is not 0.0
};

/// A store that is not what it should be: which file, what is wrong, what to try.
struct StoreError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

class RunStore {
public:
    /// Opens or makes the file and locks it against other processes. What is there must have this head, or StoreError
    /// says what differs. Lines that are torn or do not fit their checksum are left aside and counted; later lines
    /// count. Two good lines of one run that differ are a StoreError. A file that ends within its first line is empty.
    /// `anew`: what is there is dropped first, whatever its head; what is no store is never touched.
    /// A head that cannot be written (blanks, a shard out of range) is std::invalid_argument.
    RunStore(const std::filesystem::path& file, const StoreHead& head, bool anew = false);
    ~RunStore();
    RunStore(const RunStore&) = delete;
    RunStore& operator=(const RunStore&) = delete;

    /// Those found while opening and those appended since. Not to be read while another thread appends.
    const std::map<std::size_t, Run>& runs() const;
    std::size_t damaged_lines() const;  // found while opening

    /// Appends a line in one write. Any thread may call it. Throws StoreError (disk full, ...), after which the file
    /// has whole lines and perhaps one torn one, and appending may go on. A run that is there already is not written
    /// again; a different one of its index is a StoreError, one that does not fit the head std::invalid_argument.
    void append(const Run& run);
    void flush_to_disk();  // fsync

private:
    struct State;
    std::unique_ptr<State> state_;
};

/// A store as it stands, without lock: for looking at shards. Same checks of lines.
struct ReadStore {
    StoreHead head;
    std::map<std::size_t, Run> runs;
    std::size_t damaged_lines = 0;
};
ReadStore read_store(const std::filesystem::path& file);

/// The runs of all shards as one, of shard 1/1. Throws StoreError, naming files, for heads that do not belong together
/// (which member differs), a run that two files tell differently, and runs that nobody has (how many, which first,
/// which shard they belong to).
ReadStore merge_stores(const std::vector<std::filesystem::path>& files);

/// Writes all runs in their order, aside and renamed: the same bytes for the same runs, however they came about.
/// Replaces a store, unless another process writes it, and nothing else.
void write_store(const std::filesystem::path& file, const StoreHead& head, const std::map<std::size_t, Run>& runs);

}  // namespace pullcast::choose
