#include "store_lines.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <bit>
#include <boost/crc.hpp>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <set>

namespace pullcast::choose {
namespace {

using Words = std::vector<std::string_view>;

constexpr std::string_view first_word = "pullcast-runs ", version = "1", failed = "!";

std::string checksum(std::string_view text) {
    boost::crc_32_type crc;
    crc.process_bytes(text.data(), text.size());
    return fmt::format("{:08x}", crc.checksum());
}

/// What stands before a checksum that fits.
std::optional<std::string_view> intact(std::string_view line) {
    const auto blank = line.rfind(' ');
    if (blank == line.npos || line.substr(blank + 1) != checksum(line.substr(0, blank))) return {};
    return line.substr(0, blank);
}

Words split(std::string_view text, char at) {
    Words words;
    for (auto end = text.find(at); end != text.npos; end = text.find(at)) {
        words.push_back(text.substr(0, end));
        text.remove_prefix(end + 1);
    }
    words.push_back(text);
    return words;
}

template <class Number> std::optional<Number> number(std::string_view text) {
    Number n{};
    const auto end = text.data() + text.size();
    const auto [last, error] = std::from_chars(text.data(), end, n);
    if (error != std::errc() || last != end) return {};
    return n;
}

std::string shown(const Shard& shard) { return fmt::format("{}/{}", shard.number, shard.of); }

std::optional<Shard> shard_in(std::string_view text) {
    const auto numbers = split(text, '/');
    if (numbers.size() != 2) return {};
    const auto n = number<std::size_t>(numbers[0]), of = number<std::size_t>(numbers[1]);
    if (!n || !of) return {};
    return Shard{*n, *of};
}

bool one_word(const std::string& text) {
    return !text.empty() && std::none_of(text.begin(), text.end(), [](unsigned char c) { return c <= ' '; });
}

/// Why no line can hold this head, or empty.
std::string fault(const StoreHead& head) {
    if (!one_word(head.hash)) return fmt::format("the hash must be one word, not '{}'", head.hash);
    if (head.shard.number < 1 || head.shard.number > head.shard.of)
        return fmt::format("there is no shard {}", shown(head.shard));
    std::set<std::string> names;
    for (const auto& name : head.columns) {
        if (!one_word(name)) return fmt::format("a column must be one word, not '{}'", name);
        if (!names.insert(name).second) return fmt::format("column {} stands there twice", name);
    }
    return "";
}

/// Why a store of this head cannot hold this run, or empty.
std::string fault(const Run& run, const StoreHead& head) {
    if (run.index >= head.runs) return fmt::format("run {} is beyond the last of {}", run.index, head.runs);
    if (!head.shard.has(run.index)) return fmt::format("run {} is not in shard {}", run.index, shown(head.shard));
    const auto wanted = run.failure.empty() ? head.columns.size() : 0;
    if (run.values.size() == wanted) return "";
    return fmt::format("run {} has {} values where {} belong", run.index, run.values.size(), wanted);
}

std::optional<StoreHead> parsed_head(std::string_view words) {
    const auto all = split(words, ' ');
    if (all.size() < 5) return {};
    const auto runs = number<std::size_t>(all[3]);
    const auto shard = shard_in(all[4]);
    if (!runs || !shard) return {};
    StoreHead head{std::string(all[2]), *runs, *shard, {all.begin() + 5, all.end()}};
    if (!fault(head).empty()) return {};
    return head;
}

std::optional<Run> parsed_run(std::string_view words) {
    const auto all = split(words, ' ');
    const auto index = number<std::size_t>(all[0]);
    if (!index) return {};
    Run run{*index, {}, {}};
    if (all.size() > 2 && all[1] == failed) {
        run.failure = words.substr(all[2].data() - words.data());
        return run;
    }
    for (std::size_t k = 1; k < all.size(); ++k) {
        const auto value = number<double>(all[k]);
        if (!value) return {};
        run.values.push_back(*value);
    }
    return run;
}

/// The names that only `a` has, with what to say of them.
std::string only_in(const std::vector<std::string>& a, const std::string& name_a, const std::vector<std::string>& b) {
    std::vector<std::string> names;
    for (const auto& name : a)
        if (std::find(b.begin(), b.end(), name) == b.end()) names.push_back(name);
    return names.empty() ? "" : fmt::format("\n  columns only {}: {}", name_a, fmt::join(names, " "));
}

}  // namespace

bool Run::operator==(const Run& other) const {
    const auto same = [](double a, double b) {
        return (std::isnan(a) && std::isnan(b)) || std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
    };
    return index == other.index && failure == other.failure && std::ranges::equal(values, other.values, same);
}

void check_head(const StoreHead& head) {
    if (const auto text = fault(head); !text.empty()) throw std::invalid_argument("store of runs: " + text);
}

void check_run(const Run& run, const StoreHead& head) {
    if (const auto text = fault(run, head); !text.empty()) throw std::invalid_argument("store of runs: " + text);
}

Run as_stored(Run run) {
    const auto breaks = [](char c) { return c == '\n' || c == '\r'; };
    std::replace_if(run.failure.begin(), run.failure.end(), breaks, ' ');
    return run;
}

std::string words_of(const StoreHead& head) {
    auto text = fmt::format("{}{} {} {} {}", first_word, version, head.hash, head.runs, shown(head.shard));
    for (const auto& name : head.columns) text += " " + name;
    return text;
}

std::string words_of(const Run& run) {
    if (!run.failure.empty()) return fmt::format("{} {} {}", run.index, failed, run.failure);
    auto text = fmt::format("{}", run.index);
    for (const double v : run.values) text += std::isnan(v) ? " nan" : fmt::format(" {}", v);
    return text;
}

std::string store_line(const std::string& words) { return words + " " + checksum(words) + "\n"; }

bool looks_like_store(std::string_view text) {
    return text.substr(0, first_word.size()) == first_word.substr(0, text.size());
}

std::optional<StoreHead> head_in(std::string_view text, const std::string& file) {
    if (!looks_like_store(text)) throw StoreError(fmt::format("{}: is no store of runs; it is left as it is", file));
    const auto end = text.find('\n');
    if (end == text.npos) return {};
    const auto words = intact(text.substr(0, end));
    if (!words)
        throw StoreError(
            fmt::format("{}:1: the first line is damaged (it does not fit its checksum), so nothing tells "
                        "what the runs below it belong to; begin anew or give another file",
                        file));
    const auto all = split(*words, ' ');
    if (all.size() > 1 && all[1] != version)
        throw StoreError(
            fmt::format("{}:1: is a store of version {}, and this program reads version {}; give another "
                        "file",
                        file, all[1], version));
    const auto head = parsed_head(*words);
    if (!head) throw StoreError(fmt::format("{}:1: is not the first line of a store: {}", file, *words));
    return head;
}

ReadStore runs_in(std::string_view text, const StoreHead& head, const std::string& file) {
    ReadStore store{head, {}, 0};
    auto lines = split(text, '\n');
    if (lines.back().empty()) lines.pop_back();
    for (std::size_t k = 1; k < lines.size(); ++k) {
        const auto words = intact(lines[k]);
        if (!words) {
            ++store.damaged_lines;
            continue;
        }
        const auto run = parsed_run(*words);
        const auto wrong = run ? fault(*run, head) : "is not the line of a run";
        if (!wrong.empty()) throw StoreError(fmt::format("{}:{}: {}: {}", file, k + 1, wrong, *words));
        const auto [there, fresh] = store.runs.emplace(run->index, *run);
        if (!fresh && there->second != *run)
            throw StoreError(fmt::format("{}:{}: run {} is there twice, and differently:\n  {}\n  {}", file, k + 1,
                                         run->index, words_of(there->second), *words));
    }
    return store;
}

std::string differences(const StoreHead& a, const std::string& name_a, const StoreHead& b, const std::string& name_b,
                        bool with_shard) {
    std::string text;
    const auto unequal = [&](const char* what, const auto& of_a, const auto& of_b) {
        if (of_a != of_b) text += fmt::format("\n  {}: {} {}, {} {}", what, of_a, name_a, of_b, name_b);
    };
    unequal("hash of what the runs depend on", a.hash, b.hash);
    unequal("number of runs", a.runs, b.runs);
    if (with_shard) unequal("shard", shown(a.shard), shown(b.shard));
    if (a.columns == b.columns) return text;
    const auto names = only_in(a.columns, name_a, b.columns) + only_in(b.columns, name_b, a.columns);
    if (!names.empty()) return text + names;
    unequal("order of the columns", fmt::format("{}", fmt::join(a.columns, " ")),
            fmt::format("{}", fmt::join(b.columns, " ")));
    return text;
}

}  // namespace pullcast::choose
