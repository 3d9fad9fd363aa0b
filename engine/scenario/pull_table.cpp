#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/pull_table.hpp>
#include <pullcast/scenario/rig_file.hpp>

namespace pullcast {
namespace {

constexpr std::int64_t most_pulls = 1000;

class PullReader {
public:
    PullReader(const Entry& entry, const std::vector<std::string>& variants, Diagnostics& d)
        : entry_(entry), variants_(variants), d_(d), where_(fmt::format("[pull.{}]", entry.key)) {}

    std::optional<PullEntry> read() {
        if (!entry_.value.table()) {
            d_.error(entry_.value.place,
                     fmt::format("pull '{}' must be a table, not {}", entry_.key, kind_of(entry_.value)),
                     "write " + where_);
            return {};
        }
        Keys keys(entry_.value, where_, d_);
        PullEntry e;
        auto& p = e.pull;
        p.variant.name = entry_.key, p.variant.title = keys.text_or("title", entry_.key), p.place = entry_.place;
        if (const auto* log = keys.required_text("log", "path of the log")) set_file(p.log, *log);
        if (const auto* mapping = keys.text("mapping")) set_file(p.mapping, *mapping);
        if (const auto* number = keys.find("number")) read_number(*number, p);
        const auto* of = keys.required_text("variant", "which variant was on the car");
        e.set = keys.table("set");
        keys.finish();
        if (!of || !is_variant(*of)) return {};
        p.of = *of->value.text();
        return e;
    }

private:
    static void set_file(StudyPull::File& file, const Entry& e) {
        file = {beside(e.value.place, *e.value.text()), e.value.place};
    }
    void read_number(const Entry& e, StudyPull& p) {
        const auto* n = e.value.as<std::int64_t>();
        if (!n || *n < 1 || *n > most_pulls) {
            d_.error(e.value.place,
                     fmt::format("number = {} in {} must be a whole number from 1 to {}", to_text(e.value), where_,
                                 most_pulls),
                     "which pull of the log it is, in their order");
            return;
        }
        p.number = static_cast<std::size_t>(*n), p.number_place = e.value.place;
    }
    bool is_variant(const Entry& e) {
        const auto& name = *e.value.text();
        if (std::find(variants_.begin(), variants_.end(), name) != variants_.end()) return true;
        d_.error(e.value.place, fmt::format("variant = \"{}\" in {} names no variant", name, where_),
                 suggestion(name, variants_));
        return false;
    }

    const Entry& entry_;
    const std::vector<std::string>& variants_;
    Diagnostics& d_;
    std::string where_;
};

}  // namespace

std::vector<PullEntry> read_pull_table(const Entry& pulls, const std::vector<std::string>& variants, Diagnostics& d) {
    std::vector<PullEntry> all;
    for (const auto& e : *pulls.value.table()) {
        if (std::find(variants.begin(), variants.end(), e.key) != variants.end()) {
            d.error(e.place, fmt::format("'{}' names a variant and a pull", e.key), "give the pull a name of its own");
            continue;
        }
        if (auto entry = PullReader(e, variants, d).read()) all.push_back(std::move(*entry));
    }
    return all;
}

}  // namespace pullcast
