#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/choose/sampling.hpp>
#include <pullcast/choose/sweep_plan.hpp>
#include <pullcast/scenario/content_hash.hpp>
#include <pullcast/scenario/variant_maker.hpp>
#include <pullcast/study/study_run.hpp>
#include <pullcast/study/version.hpp>

namespace pullcast::choose {
namespace {

using Rows = std::vector<std::vector<double>>;

/// Every combination of the axes' levels; the last axis turns fastest. One empty row of no axes.
Rows all_levels(const std::vector<Axis>& axes) {
    Rows rows{{}};
    for (const auto& axis : axes) {
        Rows longer;
        for (const auto& row : rows)
            for (std::size_t k = 0; k < axis.levels(); ++k) {
                longer.push_back(row);
                longer.back().push_back(axis.level(k));
            }
        rows = std::move(longer);
    }
    return rows;
}

Rows sampled(const std::vector<Axis>& axes, std::size_t count, Sampling how, std::uint64_t seed) {
    auto rows =
        how == Sampling::sobol ? sobol_points(count, axes.size(), seed) : latin_hypercube(count, axes.size(), seed);
    for (auto& row : rows)
        for (std::size_t j = 0; j < axes.size(); ++j) row[j] = axes[j].quantile(row[j]);
    return rows;
}

/// What is bought. Samples, and levels of whole numbers, may fall on the same values, and are then one; what the car
/// has already is no purchase.
Rows bought(const SweepChoices& c, const std::string& base) {
    auto rows = c.combinations ? sampled(c.buy, *c.combinations, c.sampling, c.seed) : all_levels(c.buy);
    std::sort(rows.begin(), rows.end());
    rows.erase(std::unique(rows.begin(), rows.end()), rows.end());
    std::vector<double> own;
    for (const auto& axis : c.buy) own.push_back(start_of(axis, base));
    std::erase(rows, own);
    return rows;
}

std::vector<Condition> met(const SweepChoices& c) {
    std::vector<Condition> all;
    if (c.met && !c.meet.empty()) {
        for (auto& row : sampled(c.meet, *c.met, c.sampling, c.seed + 1))
            all.push_back({std::move(row), 1.0 / static_cast<double>(*c.met)});
        return all;
    }
    for (auto& row : all_levels(c.meet)) {
        double share = 1;
        for (std::size_t j = 0; j < row.size(); ++j)
            share *= c.meet[j].is_range() ? c.meet[j].share(0) : c.meet[j].share(static_cast<std::size_t>(row[j]));
        all.push_back({std::move(row), share});
    }
    return all;
}

/// What each choice of an axis adds to the bill: the prices of parts that the base variant does not have.
class Bill {
public:
    Bill(const Study& study, const SweepChoices& choices, const Registry& registry)
        : study_(study), choices_(choices), maker_(study, registry), base_(study.variants[base_index(study)]) {
        for (const auto& axis : choices.buy) prices_.push_back(prices_of(axis));
    }

    double of(const std::vector<double>& values) const {
        double sum = 0;
        for (std::size_t j = 0; j < values.size(); ++j)
            if (!choices_.buy[j].is_range()) sum += prices_[j][static_cast<std::size_t>(values[j])];
        return sum;
    }
    const std::string& currency() const { return currency_; }

private:
    std::vector<double> prices_of(const Axis& axis) {
        std::vector<double> all;
        for (std::size_t k = 0; !axis.is_range() && k < axis.levels(); ++k) {
            const auto v = maker_.make(base_index(study_), settings_of({axis}, {axis.level(k)}));
            double sum = 0;
            for (const auto& part : v.parts)
                if (!has(part)) sum += part.price ? amount(axis, *part.price) : std::nan("");
            all.push_back(sum);
        }
        return all;
    }
    bool has(const PartUse& part) const {
        return std::any_of(base_.parts.begin(), base_.parts.end(), [&](const PartUse& own) {
            return own.component == part.component && own.slot == part.slot && own.file == part.file;
        });
    }
    double amount(const Axis& axis, const Price& price) {
        if (currency_.empty()) currency_ = price.currency;
        if (currency_ != price.currency)
            throw ScenarioError(axis.knob->place,
                                fmt::format("the choices of '{}' have prices in {}, others in {}", axis.knob->name,
                                            price.currency, currency_),
                                "one currency for all parts of a sweep");
        return price.amount;
    }

    const Study& study_;
    const SweepChoices& choices_;
    VariantMaker maker_;
    const Variant& base_;
    std::vector<std::vector<double>> prices_;
    std::string currency_;
};

/// Without titles, which move nothing.
void write_out(const Value& v, std::string& out) {
    if (const auto* list = v.as<std::vector<Value>>()) {
        for (const auto& e : *list) write_out(e, out += ',');
    } else if (const auto* table = v.table()) {
        for (const auto& e : *table)
            if (e.key != "title") write_out(e.value, out += fmt::format("{{{}=", toml_string(e.key))), out += '}';
    } else if (const auto* text = v.text()) {
        out += toml_string(*text);
    } else if (const auto* b = v.as<bool>()) {
        out += *b ? "true" : "false";
    } else if (const auto* n = v.as<std::int64_t>()) {
        out += fmt::format("{}", *n);
    } else {
        out += fmt::format("{}", *v.as<double>());
    }
}

/// Of the study file only what moves results: wishes and words can change without a new run.
std::string hash_of(const Study& study, const SweepChoices& choices, const SweepPlan& plan) {
    std::string text = fmt::format("pullcast {}\n", version);
    Diagnostics d;
    const auto root = parse_toml(study.source, d);
    for (const auto& e : *root->table())
        for (const char* key : {"rig", "base", "conditions", "procedure", "variant", "session", "step"})
            if (e.key == key) write_out(e.value, text += '\n' + e.key + ' ');
    const auto rows = [&](const std::vector<Axis>& axes, const std::vector<double>& values) {
        for (const auto& s : settings_of(axes, values)) write_out(s.value, text += ' ' + s.key + ' ');
        text += '\n';
    };
    for (const auto& c : plan.combinations) rows(choices.buy, c.values);
    for (const auto& c : plan.conditions) rows(choices.meet, c.values);
    std::vector<Source> files{std::make_shared<const SourceFile>(SourceFile{"study", text})};
    for (const auto& f : study.files)
        if (f->name != study.source->name) files.push_back(f);
    return content_hash(files);
}

/// Of wishes, what only the plan can tell.
void check_wishes(const SweepChoices& choices, const SweepPlan& plan) {
    for (const auto& w : choices.wishes) {
        if (!w.currency.empty() && !plan.currency.empty() && w.currency != plan.currency)
            throw ScenarioError(
                w.place,
                fmt::format("[wish.{}] is in {}, the prices of the parts in {}", w.name, w.currency, plan.currency),
                "the currency of the parts");
        const auto counts = [&](const Condition& c) { return w.counts(c.values); };
        if (std::none_of(plan.conditions.begin(), plan.conditions.end(), counts))
            throw ScenarioError(w.place,
                                fmt::format("[wish.{}] is about choices that none of the {} sampled conditions meets",
                                            w.name, plan.conditions.size()),
                                "more conditions: met in [choose]");
    }
}

}  // namespace

double start_of(const Axis& axis, const std::string& variant) {
    const auto at = axis.knob->start.find(variant);
    if (at == axis.knob->start.end()) return std::nan("");
    if (const auto* number = std::get_if<double>(&at->second)) return *number;
    const auto& all = axis.knob->choices;
    for (std::size_t k = 0; k < all.size(); ++k)
        if (all[k].value == std::get<std::string>(at->second)) return static_cast<double>(k);
    return std::nan("");
}

Table settings_of(const std::vector<Axis>& axes, const std::vector<double>& values) {
    Table all;
    for (std::size_t j = 0; j < values.size(); ++j)
        for (const auto& path : axes[j].knob->sets) all.push_back({path, axes[j].knob->place, axes[j].text(values[j])});
    return all;
}

SweepPlan plan_sweep(const Study& study, const SweepChoices& choices, const Registry& registry) {
    const Bill bill(study, choices, registry);
    SweepPlan plan;
    plan.combinations.emplace_back();
    for (auto& row : bought(choices, study.base)) {
        const double price = bill.of(row);
        plan.combinations.push_back({std::move(row), price});
    }
    plan.conditions = met(choices);
    plan.currency = bill.currency();
    check_wishes(choices, plan);
    plan.hash = hash_of(study, choices, plan);
    return plan;
}

}  // namespace pullcast::choose
