#include <algorithm>
#include <fmt/format.h>
#include <pullcast/scenario/fitting.hpp>

namespace pullcast {
namespace {

/// A setting of a part, and the part.
struct Offer {
    Setting setting;
    const Part* part;
    std::string slot;
};

std::vector<Offer> offers_of(const FittedSection& f) {
    std::vector<Offer> all;
    for (const auto& [slot, part] : f.parts)
        for (Setting s : part->settings) {
            s.layer = slot->layer;
            all.push_back({std::move(s), part, slot->key});
        }
    return all;
}

bool conflict(const Offer& a, const Offer& b) {
    if (a.setting.key != b.setting.key) return false;
    const auto *x = a.setting.value.text(), *y = b.setting.value.text();
    return a.setting.key != "model" || !x || !y || *x != *y;
}

void report_conflict(const FittedSection& f, const Offer& a, const Offer& b, Diagnostics& d) {
    auto& error = d.error(b.setting.place,
                          fmt::format("{}.{} is set by two parts: '{}' ({}) and '{}' ({})", f.name(), b.setting.key,
                                      a.part->name, a.slot, b.part->name, b.slot),
                          fmt::format("set {}.{} itself to settle it, or remove a part", f.name(), b.setting.key));
    error.notes.push_back({Severity::note, a.setting.place, "the other one", {}, {}});
}

/// Takes the offer unless the own setting of the component wins, or another part has set the key.
void settle(FittedSection& f, const Offer& offer, std::vector<const Offer*>& taken, Diagnostics& d) {
    const auto own = std::find_if(f.settings.begin(), f.settings.end(),
                                  [&](const Setting& s) { return s.key == offer.setting.key; });
    if (own != f.settings.end() && !own->of_part && own->layer >= offer.setting.layer) return;
    for (const auto* other : taken)
        if (conflict(*other, offer)) return report_conflict(f, *other, offer, d);
    taken.push_back(&offer);
    if (own == f.settings.end()) f.settings.push_back(offer.setting);
    else *own = offer.setting;
}

}  // namespace

const Setting* FittedSection::find(std::string_view key) const {
    const auto at = std::find_if(settings.begin(), settings.end(), [&](const Setting& s) { return s.key == key; });
    return at == settings.end() ? nullptr : &*at;
}

FittedSection fit(const Section& section, PartShelf& shelf, Diagnostics& d) {
    FittedSection f{&section, section.settings, {}, nullptr, false};
    for (const auto& slot : section.parts)
        if (const auto* part = shelf.find(slot)) f.parts.emplace_back(&slot, part);
        else f.incomplete = true;
    const auto offers = offers_of(f);
    std::vector<const Offer*> taken;
    for (const auto& offer : offers) settle(f, offer, taken, d);
    return f;
}

}  // namespace pullcast
