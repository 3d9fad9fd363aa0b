/// The lines of a store: how they are written, and what those of a file say.
#pragma once
#include <optional>
#include <pullcast/choose/run_store.hpp>
#include <string_view>

namespace pullcast::choose {

/// Throw std::invalid_argument for what no line can hold.
void check_head(const StoreHead& head);
void check_run(const Run& run, const StoreHead& head);

/// As a store gives it back: a failure without line breaks.
Run as_stored(Run run);

/// Without checksum.
std::string words_of(const StoreHead& head);
std::string words_of(const Run& run);
/// With checksum and line break.
std::string store_line(const std::string& words);

/// Whether this may be the text of a store of any version; also true of none, and of a first line torn off.
bool looks_like_store(std::string_view text);

/// Nothing if the text ends within the first line. `file` is for messages. Throws StoreError for what is no store, a
/// damaged first line, or another version.
std::optional<StoreHead> head_in(std::string_view text, const std::string& file);
/// What the lines below the first hold.
ReadStore runs_in(std::string_view text, const StoreHead& head, const std::string& file);

/// How two heads differ, a line each, or empty. The shard counts only if asked for.
std::string differences(const StoreHead& a, const std::string& name_a, const StoreHead& b, const std::string& name_b,
                        bool with_shard);

}  // namespace pullcast::choose
