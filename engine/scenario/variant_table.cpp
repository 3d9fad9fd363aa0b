#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/changes.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/variant_table.hpp>

namespace pullcast {
namespace {

/// A path that is changed already keeps what stood there at first; a change back is none.
void add(std::vector<Change>& changes, Change fresh) {
    const auto known = std::find_if(changes.begin(), changes.end(),
                                    [&](const Change& c) { return !c.everywhere && c.path == fresh.path; });
    if (known == changes.end()) changes.push_back(std::move(fresh));
    else if (known->before == fresh.after) changes.erase(known);
    else known->after = std::move(fresh.after);
}

}  // namespace

VariantTable::VariantTable(const Entry& variants, Diagnostics& d) : d_(d) {
    for (const auto& e : *variants.value.table()) all_.push_back(read(e));
    for (auto& v : all_)
        if (v.like) find_base(v);
    find_circles();
}

VariantTable::Own VariantTable::read(const Entry& e) const {
    const auto where = fmt::format("[variant.{}]", e.key);
    if (!e.value.table()) {
        d_.error(e.value.place, fmt::format("variant '{}' must be a table, not {}", e.key, kind_of(e.value)),
                 "write " + where);
        return {e.key, {}, nullptr, nullptr, nullptr, true};
    }
    const auto odd = [](char c) { return static_cast<unsigned char>(c) < ' ' || c == '/' || c == 0x7f; };
    if (e.key.empty() || e.key[0] == '.' || std::any_of(e.key.begin(), e.key.end(), odd))
        d_.error(e.place, fmt::format("'{}' cannot name a variant: its results are a file of that name", e.key),
                 "use letters, digits, '-' and '_'");
    Keys keys(e.value, where, d_);
    Own v{e.key, keys.text_or("title", e.key), keys.text("like"), keys.table("set"), nullptr, false};
    keys.text("note");
    keys.finish();
    return v;
}

std::vector<std::string> VariantTable::names() const {
    std::vector<std::string> names;
    for (const auto& v : all_) names.push_back(v.name);
    return names;
}

VariantTable::Own* VariantTable::find(std::string_view name) {
    const auto at = std::find_if(all_.begin(), all_.end(), [&](const Own& v) { return v.name == name; });
    return at == all_.end() ? nullptr : &*at;
}

void VariantTable::find_base(Own& v) {
    const std::string& name = *v.like->value.text();
    v.base = find(name);
    v.broken = !v.base || v.base == &v;
    if (v.base == &v)
        d_.error(v.like->value.place, fmt::format("variant '{}' is like itself", name),
                 "name another variant, or leave 'like' out");
    else if (!v.base)
        d_.error(v.like->value.place, fmt::format("like = \"{}\" names no variant", name), suggestion(name, names()));
}

/// Follows `like` from each variant; a circle is met once, on the first way into it.
void VariantTable::find_circles() {
    std::vector<Own*> done;
    const auto among = [](auto& list, Own* v) { return std::find(list.begin(), list.end(), v); };
    for (auto& start : all_) {
        std::vector<Own*> path;
        auto* v = &start;
        while (v && !v->broken && among(done, v) == done.end() && among(path, v) == path.end())
            path.push_back(v), v = v->base;
        if (const auto first = among(path, v); first != path.end()) report_circle({first, path.end()});
        done.insert(done.end(), path.begin(), path.end());
    }
}

void VariantTable::report_circle(std::vector<Own*> circle) const {
    std::string names;
    for (auto* v : circle) names += v->name + " -> ", v->broken = true;
    d_.error(circle.back()->like->value.place,
             fmt::format("variants are like each other in a circle: {}{}", names, circle[0]->name),
             "remove one 'like'");
}

std::vector<const VariantTable::Own*> VariantTable::chain(const Own& last) const {
    std::vector<const Own*> all;
    for (const auto* v = &last; v; v = v->base) {
        if (v->broken) return {};
        all.insert(all.begin(), v);
    }
    return all;
}

bool VariantTable::apply(const std::string& name, RigTree& rig, Variant& out) {
    const Own& own = *find(name);
    out.name = own.name, out.title = own.title;
    const auto all = chain(own);
    int layer = rig.layer + 2;
    for (const auto* v : all) {
        if (!v->set) continue;
        const auto where = fmt::format("[variant.{}.set]", v->name);
        for (auto& change : apply_changes(rig, *v->set->value.table(), where, layer++, d_))
            add(out.changes, std::move(change));
    }
    return !all.empty();
}

}  // namespace pullcast
