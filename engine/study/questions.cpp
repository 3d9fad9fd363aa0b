#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <pullcast/scenario/keys.hpp>
#include <pullcast/study/questions.hpp>
#include <pullcast/study/session_words.hpp>
#include <pullcast/study/text.hpp>

namespace pullcast {
namespace {

/// Of the session, not of a pull alone.
constexpr const char* comparable = "comparable_after";
constexpr const char* comparable_label = "from the pull's end until the next one is comparable with the first";

/// What a figure is measured in.
struct Kind {
    std::string label;
    const char *unit, *quantity;
    int decimals;
};

std::optional<std::size_t> figure_index(std::string_view key) {
    const auto all = figures();
    const auto at = std::find_if(all.begin(), all.end(), [&](const Figure& f) { return key == f.key; });
    return at == all.end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - all.begin()));
}

std::optional<Kind> kind_of(const FigureOfPull& of, Diagnostics& d) {
    if (of.figure == comparable) return Kind{comparable_label, "s", "comparable", 1};
    if (const auto k = figure_index(of.figure)) {
        const auto& f = figures()[*k];
        return Kind{f.label + std::string_view(f.label).find_first_not_of(' '), f.unit, f.quantity, f.decimals};
    }
    std::vector<std::string> keys{comparable};
    for (const auto& f : figures()) keys.emplace_back(f.key);
    d.error(of.place, fmt::format("no figure {}", toml_string(of.figure)), suggestion(of.figure, keys));
    return {};
}

std::optional<double> width_of(const Entry& e, const char* unit, Diagnostics& d) {
    const auto parsed = parse_quantity(*e.value.text(), unit, {.name = e.key});
    const auto* v = std::get_if<double>(&parsed);
    if (v && *v > 0) return *v;
    const auto told = fmt::format("{} = {}", e.key, to_text(e.value));
    if (v) d.error(e.value.place, told + " must be greater than 0");
    else d.error(e.value.place, told + ": " + std::get<UnitError>(parsed).message, std::get<UnitError>(parsed).hint);
    return {};
}

std::optional<Asked> asked_by(const Question& q, Diagnostics& d) {
    const auto kind = kind_of(q.of, d);
    if (!kind) return {};
    const bool temperature = std::string_view(kind->unit) == "K" || std::string_view(kind->unit) == "dK";
    Asked asked{kind->label, kind->unit, kind->quantity, kind->decimals, {}, "less", "more"};
    if (temperature) asked.less = "cooler", asked.more = "hotter";
    if (!q.minus) return asked;
    const auto other = kind_of(*q.minus, d);
    if (other && std::string_view(other->unit) != kind->unit)
        d.error(q.minus->place, fmt::format("{} and {} have no difference: {} and {}", q.of.figure, q.minus->figure,
                                            kind->unit, other->unit));
    if (temperature) asked.unit = "dK";
    if (q.alike_within) asked.alike_within = width_of(*q.alike_within, asked.unit, d);
    return asked;
}

std::string minutes(double s) { return show(s, "s", comparable, 1, UnitSystem::metric); }

Answer comparable_after(const Study& study, const SessionResult& result, std::size_t pull) {
    const auto back = recovery(study, result, pull);
    if (back.after) return {back.after, {}};
    if (back.watched <= 0) return {{}, "nothing was run after that pull"};
    return {{}, fmt::format("not within the {} that were run after that pull", minutes(back.watched))};
}

Answer figure_of(const FigureOfPull& of, const Study& study, const std::vector<SessionResult>& results) {
    const auto& r = results[of.variant];
    const auto pulls = pulls_of(study, r);
    const auto pull = of.pull == 0 ? pulls.size() : of.pull;
    if (!r.failure.empty())
        return {{}, fmt::format("{} did not finish: {}", study.variants[of.variant].title, r.failure)};
    if (pull == 0 || pull > pulls.size()) return {{}, fmt::format("the day had only {} pulls", pulls.size())};
    if (of.figure == comparable) return comparable_after(study, r, pull - 1);
    const double value = pulls[pull - 1]->figures[*figure_index(of.figure)];
    if (std::isnan(value)) return {{}, "the rig does not have it"};
    return {value, {}};
}

}  // namespace

std::vector<Asked> asked_by(const Study& study) {
    std::vector<Asked> all;
    Diagnostics d;
    for (const auto& q : study.questions)
        if (auto asked = asked_by(q, d)) all.push_back(std::move(*asked));
    d.throw_if_failed();
    return all;
}

Answer answer_to(const Question& q, const Study& study, const std::vector<SessionResult>& results) {
    const auto answer = figure_of(q.of, study, results);
    if (!answer.value || !q.minus) return answer;
    const auto other = figure_of(*q.minus, study, results);
    return other.value ? Answer{*answer.value - *other.value, {}} : other;
}

std::string answer_in_words(const Asked& a, const Answer& answer, UnitSystem system) {
    if (!answer.value) return answer.why_not;
    const double v = *answer.value;
    const auto shown = [&](double x) { return show(x, a.unit, a.quantity, a.decimals, system); };
    if (!a.alike_within) return shown(v);
    const auto moved = fmt::format("{} {}", shown(std::fabs(v)), v < 0 ? a.less : a.more);
    return std::fabs(v) < *a.alike_within ? "about the same: " + moved : moved;
}

std::string questions_text(const Study& study, const std::vector<SessionResult>& results, UnitSystem system,
                           std::size_t width) {
    std::string text;
    const auto asked = asked_by(study);
    for (std::size_t k = 0; k < asked.size(); ++k) {
        const auto& q = study.questions[k];
        text += wrapped(q.text, width);
        text += wrapped(answer_in_words(asked[k], answer_to(q, study, results), system), width, "    ", "    ");
    }
    return text.empty() ? text : "Predict first\n" + text;
}

}  // namespace pullcast
