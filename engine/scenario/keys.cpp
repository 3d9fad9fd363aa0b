#include <fmt/format.h>
#include <pullcast/network/names.hpp>
#include <pullcast/scenario/keys.hpp>

namespace pullcast {

std::string suggestion(std::string_view name, const std::vector<std::string>& candidates) {
    if (candidates.empty()) return {};
    if (const auto near = nearest_name(name, candidates); !near.empty()) return fmt::format("did you mean '{}'?", near);
    constexpr std::size_t most = 12;
    const auto shown = std::vector(candidates.begin(), candidates.begin() + std::min(most, candidates.size()));
    return fmt::format("one of: {}{}", fmt::join(shown, ", "), candidates.size() > most ? ", ..." : "");
}

Keys::Keys(const Value& table, std::string where, Diagnostics& diagnostics)
    : value_(table), where_(std::move(where)), diagnostics_(diagnostics) {}

const Entry* Keys::find(const std::string& key) {
    asked_.insert(key);
    for (const auto& e : *value_.table())
        if (e.key == key) return &e;
    return nullptr;
}

template <class T>
const Entry* Keys::typed(const std::string& key, const char* wanted) {
    const auto* e = find(key);
    if (!e || e->value.as<T>()) return e;
    diagnostics_.error(e->value.place,
                       fmt::format("'{}' in {} must be {}, not {}", key, where_, wanted, kind_of(e->value)));
    return nullptr;
}

const Entry* Keys::text(const std::string& key) { return typed<std::string>(key, "a string"); }
const Entry* Keys::table(const std::string& key) { return typed<Table>(key, "a table"); }

std::string Keys::text_or(const std::string& key, std::string otherwise) {
    const auto* e = text(key);
    return e ? *e->value.text() : otherwise;
}

const Entry* Keys::required_text(const std::string& key, const char* doc) {
    const auto* e = text(key);
    if (!e && !find(key))
        diagnostics_.error(value_.place, fmt::format("missing key '{}' in {} ({})", key, where_, doc));
    return e;
}

void Keys::finish(const char* hint) {
    const std::vector<std::string> known(asked_.begin(), asked_.end());
    for (const auto& e : *value_.table()) {
        if (asked_.count(e.key)) continue;
        const bool told = hint && nearest_name(e.key, known).empty();
        diagnostics_.error(e.place, fmt::format("unknown key '{}' in {}", e.key, where_),
                           told ? hint : suggestion(e.key, known));
    }
}

}  // namespace pullcast
