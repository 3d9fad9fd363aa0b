#include <fmt/format.h>

#include <algorithm>
#include <pullcast/choose/run_store.hpp>

#include "store_lines.hpp"

namespace pullcast::choose {
namespace {

namespace fs = std::filesystem;

struct Part {
    std::string file;
    ReadStore store;
};

void refuse_strangers(const Part& first, const Part& other) {
    const auto in = [](const Part& part) { return "in " + part.file; };
    const auto text = differences(first.store.head, in(first), other.store.head, in(other), false);
    if (!text.empty())
        throw StoreError(fmt::format("{} and {} do not belong together:{}", first.file, other.file, text));
}

/// Who told a run first: for messages.
const Part& teller(const std::vector<Part>& parts, std::size_t run) {
    return *std::find_if(parts.begin(), parts.end(), [&](const Part& p) { return p.store.runs.contains(run); });
}

void take(ReadStore& all, const std::vector<Part>& parts, const Part& part) {
    all.damaged_lines += part.store.damaged_lines;
    for (const auto& [index, run] : part.store.runs) {
        const auto [there, fresh] = all.runs.emplace(index, run);
        if (fresh || there->second == run) continue;
        const auto& first = teller(parts, index);
        throw StoreError(fmt::format("{} and {} tell run {} differently:\n  {}\n  {}", first.file, part.file, index,
                                     words_of(there->second), words_of(run)));
    }
}

struct Gap {
    std::size_t runs = 0, first = 0;
};

std::string told(const Gap& gap, const Shard& shard, const std::vector<Part>& parts) {
    std::string files;
    for (const auto& p : parts)
        if (p.store.head.shard == shard) files += (files.empty() ? "" : ", ") + p.file;
    return fmt::format("\n  of shard {}/{} ({}): {}, the first is run {}", shard.number, shard.of,
                       files.empty() ? "no file" : files, gap.runs, gap.first);
}

void refuse_gaps(const ReadStore& all, const std::vector<Part>& parts) {
    const auto of = parts.front().store.head.shard.of;
    Gap whole;
    std::map<std::size_t, Gap> by_shard;
    for (std::size_t run = 0; run < all.head.runs; ++run) {
        if (all.runs.contains(run)) continue;
        for (auto* gap : {&whole, &by_shard[run % of + 1]})
            if (gap->runs++ == 0) gap->first = run;
    }
    if (whole.runs == 0) return;
    // Where files are cut differently, no shard is the one that a run belongs to.
    const auto alike = [&](const Part& p) { return p.store.head.shard.of == of; };
    std::string shards;
    if (std::all_of(parts.begin(), parts.end(), alike))
        for (const auto& [number, gap] : by_shard) shards += told(gap, {number, of}, parts);
    throw StoreError(fmt::format(
        "runs that no file has: {} of {}, the first is run {}{}\n  start those again; they go on where they stopped",
        whole.runs, all.head.runs, whole.first, shards));
}

}  // namespace

ReadStore merge_stores(const std::vector<fs::path>& files) {
    if (files.empty()) throw StoreError("no file to merge");
    std::vector<Part> parts;
    for (const auto& file : files) parts.push_back({file.string(), read_store(file)});
    ReadStore all{parts.front().store.head, {}, 0};
    all.head.shard = {};
    for (const auto& part : parts) {
        refuse_strangers(parts.front(), part);
        take(all, parts, part);
    }
    refuse_gaps(all, parts);
    return all;
}

}  // namespace pullcast::choose
