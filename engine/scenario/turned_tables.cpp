#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/turned_tables.hpp>

namespace pullcast {
namespace {

constexpr std::string_view of_a_step = "step.", setting = "set.";

Entry* entry(Table& table, std::string_view key) {
    const auto at = std::find_if(table.begin(), table.end(), [&](const Entry& e) { return e.key == key; });
    return at == table.end() ? nullptr : &*at;
}

Table* table_of(Entry& e) { return std::get_if<Table>(&e.value.data); }

/// Takes the place of an entry of that key, or comes last.
void replace(Table& table, Entry fresh) {
    if (auto* known = entry(table, fresh.key)) *known = std::move(fresh);
    else table.push_back(std::move(fresh));
}

}  // namespace

TurnedTables::TurnedTables(const Entry* turned, Diagnostics& d) : d_(d) {
    if (!turned) return;
    const auto* tables = turned->value.as<std::vector<Value>>();
    for (const auto& t : tables ? *tables : std::vector<Value>{turned->value}) {
        if (!tables || !t.table()) {
            d_.error(turned->place,
                     fmt::format("'turned' must be an array of tables, not {}", kind_of(tables ? t : turned->value)),
                     fmt::format("write {}", where));
            return;
        }
        for (const auto& e : *t.table()) (e.key.starts_with(of_a_step) ? steps_ : everywhere_).push_back(e);
    }
}

void TurnedTables::apply(Entry* steps) {
    for (const auto& change : steps_) {
        const auto dot = change.key.find('.', of_a_step.size());
        const auto name = change.key.substr(of_a_step.size(), dot - of_a_step.size());
        std::vector<std::string> names;
        if (steps)
            for (const auto& e : *steps->value.table()) names.push_back(e.key);
        auto* step = steps ? entry(*table_of(*steps), name) : nullptr;
        if (!step)
            d_.error(change.place, fmt::format("no step '{}' in {}", name, where),
                     steps ? suggestion(name, names) : "the study has no session");
        else if (table_of(*step)) put(*step, change, dot == change.key.npos ? "" : change.key.substr(dot + 1));
    }
}

void TurnedTables::put(Entry& step, const Entry& change, const std::string& key) {
    auto& own = *table_of(step);
    if (key == "lasts") return replace(own, {key, change.place, change.value});
    if (!key.starts_with(setting)) {
        d_.error(change.place, fmt::format("'{}' in {} is no setting of a step", change.key, where),
                 fmt::format("write \"step.{0}.lasts\" or \"step.{0}.set.component.key\"", step.key));
        return;
    }
    if (!entry(own, "set")) own.push_back({"set", change.place, {change.place, Table{}}});
    if (auto* set = table_of(*entry(own, "set")))
        replace(*set, {key.substr(setting.size()), change.place, change.value});
}

}  // namespace pullcast
