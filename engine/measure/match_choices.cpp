#include <fmt/format.h>

#include <algorithm>
#include <pullcast/measure/match_choices.hpp>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/study/study_run.hpp>

#include "quantities.hpp"

namespace pullcast::measure {
namespace {

constexpr const char* where = "[match]";
constexpr Question all_questions[] = {Question::same_pulley, Question::same_manifold_pressure,
                                      Question::same_knock_margin};
constexpr const char* usual[] = {"intake_redline", "charge_rise", "boost_redline",
                                 "crank_power",    "wheel_power", "knock_margin"};

const Figure* find_figure(std::string_view key) {
    const auto all = figures();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Figure& f) { return key == f.key; });
    return at == all.end() || at->decimals < 0 ? nullptr : &*at;
}

std::vector<std::string> figure_keys() {
    std::vector<std::string> all;
    for (const auto& f : figures())
        if (f.decimals >= 0) all.emplace_back(f.key);
    return all;
}

class MatchReader {
public:
    MatchReader(const Study& study, Diagnostics& d) : study_(study), d_(d) {}

    MatchChoices read() {
        out_.asked = study_.match || !study_.reference.empty();
        for (const auto* key : usual) out_.figures.push_back(find_figure(key));
        if (study_.match) read_table();
        if (out_.asked) check_pulls();
        if (out_.asked && out_.explain.empty()) choose_pulls();
        return out_;
    }

private:
    void read_table() {
        Keys keys(*study_.match, where, d_);
        if (const auto* e = keys.find("questions")) read_questions(*e);
        if (const auto* e = keys.find("figures")) read_figures(*e);
        if (const auto* e = keys.table("repeatability")) read_repeatability(*e);
        if (const auto* e = keys.table("no_worse")) read_no_worse(*e);
        if (const auto* e = keys.find("explain")) read_explain(*e);
        keys.finish();
    }

    /// A list of texts, or an error and nothing.
    std::vector<const Value*> texts(const Entry& e, const char* of) {
        std::vector<const Value*> all;
        const auto* list = e.value.as<std::vector<Value>>();
        for (std::size_t k = 0; list && k < list->size(); ++k)
            if ((*list)[k].text()) all.push_back(&(*list)[k]);
        if (!list || list->empty() || all.size() != list->size()) {
            d_.error(e.value.place, fmt::format("{} in {} must be a list of {}", e.key, where, of));
            return {};
        }
        return all;
    }
    void read_questions(const Entry& e) {
        std::vector<std::string> known;
        for (const auto q : all_questions) known.emplace_back(in_words(q));
        out_.questions.clear();
        for (const auto* v : texts(e, "questions")) {
            const auto at = std::find(known.begin(), known.end(), *v->text());
            if (at == known.end())
                d_.error(v->place, fmt::format("no question {}", toml_string(*v->text())),
                         suggestion(*v->text(), known));
            else out_.questions.push_back(all_questions[at - known.begin()]);
        }
    }
    const Figure* figure_named(const std::string& key, const Place& at) {
        const auto* f = find_figure(key);
        if (!f) d_.error(at, fmt::format("no figure '{}'", key), suggestion(key, figure_keys()));
        return f;
    }
    void read_figures(const Entry& e) {
        out_.figures.clear();
        for (const auto* v : texts(e, "figures"))
            if (const auto* f = figure_named(*v->text(), v->place)) out_.figures.push_back(f);
    }
    void not_above_0(const Entry& e, const char* table) {
        d_.error(e.value.place, fmt::format("{} = {} in {} must be greater than 0", e.key, to_text(e.value), table));
    }
    void read_repeatability(const Entry& table) {
        auto& r = out_.repeatability;
        const std::pair<const char*, std::pair<double*, const char*>> known[] = {
            {"power", {&r.power, "1"}},
            {"temperature", {&r.temperature, "dK"}},
            {"pressure", {&r.pressure, "Pa"}},
            {"spark", {&r.spark, "rad"}}};
        Keys keys(table.value, "repeatability", d_);
        for (const auto& [name, to] : known) {
            const auto* e = keys.find(name);
            const auto v = e ? quantity(*e, to.second, "repeatability", d_) : std::nullopt;
            if (v && *v <= 0) not_above_0(*e, "repeatability");
            else if (v) *to.first = *v;
        }
        keys.finish();
    }
    void read_no_worse(const Entry& table) {
        for (const auto& e : *table.value.table()) {
            const auto* f = figure_named(e.key, e.place);
            if (!f) continue;
            const bool share = e.value.text() && e.value.text()->ends_with('%') && f->unit != std::string_view("1");
            const auto v = quantity(e, share ? "1" : difference_unit(f->unit), "no_worse", d_);
            if (v && *v <= 0) not_above_0(e, "no_worse");
            else if (v) out_.no_worse.push_back({f, *v, share});
        }
    }
    void read_explain(const Entry& e) {
        const auto names = texts(e, "two pulls");
        if (!names.empty() && (names.size() != 2 || *names[0]->text() == *names[1]->text()))
            d_.error(e.value.place, fmt::format("explain in {} takes two different pulls", where),
                     "the earlier one first");
        std::vector<std::string> known;
        for (const auto& p : study_.pulls) known.push_back(p.variant.name);
        for (const auto* v : names) {
            out_.explain.push_back(*v->text());
            if (std::find(known.begin(), known.end(), *v->text()) == known.end())
                d_.error(v->place, fmt::format("no pull '{}'", *v->text()), suggestion(*v->text(), known));
        }
    }

    bool has_pull(const std::string& variant) const {
        return std::any_of(study_.pulls.begin(), study_.pulls.end(),
                           [&](const StudyPull& p) { return p.of == variant; });
    }
    /// There must be something to compare, and the same conditions to compare it under.
    void check_pulls() {
        const Place file{study_.source};
        if (study_.reference.empty())
            d_.error(file, "[match] needs a [reference]", "the conditions that all variants are brought to");
        if (!has_pull(study_.base))
            d_.error(file, fmt::format("no pull of the base variant '{}'", study_.base),
                     "base = ... names the variant that others are compared with");
        const bool other = std::any_of(study_.pulls.begin(), study_.pulls.end(),
                                       [&](const StudyPull& p) { return p.of != study_.base; });
        if (!other) d_.error(file, "all pulls are of one variant: there is nothing to compare");
    }
    /// The last of the base and the last of the others.
    void choose_pulls() {
        for (const bool base : {true, false})
            for (auto p = study_.pulls.rbegin(); p != study_.pulls.rend(); ++p)
                if ((p->of == study_.base) == base) {
                    out_.explain.push_back(p->variant.name);
                    break;
                }
    }

    const Study& study_;
    Diagnostics& d_;
    MatchChoices out_;
};

}  // namespace

const char* in_words(Question question) {
    constexpr const char* words[] = {"same pulley", "same manifold pressure", "same knock margin"};
    return words[static_cast<int>(question)];
}

MatchChoices read_match_choices(const Study& study, Diagnostics& d) { return MatchReader(study, d).read(); }

}  // namespace pullcast::measure
