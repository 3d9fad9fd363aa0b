#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/predict_reader.hpp>

namespace pullcast {
namespace {

constexpr const char* last = "last";
constexpr std::size_t last_pull = 0;

std::size_t pulls_in(const Session& session) {
    std::size_t pulls = 0;
    for (const auto& turn : session.turns)
        for (const auto step : turn.steps)
            if (session.steps[step].kind == SessionStep::Kind::pull) pulls += turn.times;
    return pulls;
}

bool same(const FigureOfPull& a, const FigureOfPull& b) {
    return a.figure == b.figure && a.variant == b.variant && a.pull == b.pull;
}

}  // namespace

PredictReader::PredictReader(const Session& session, std::vector<std::string> variants, std::size_t base,
                             Diagnostics& d)
    : variants_(std::move(variants)), base_(base), pulls_(pulls_in(session)), d_(d) {}

std::vector<Question> PredictReader::read(const Entry& questions) {
    std::vector<Question> all;
    for (const auto& e : *questions.value.table())
        if (auto question = read_question(e)) all.push_back(std::move(*question));
    return all;
}

std::optional<Question> PredictReader::read_question(const Entry& e) {
    const auto where = fmt::format("[predict.{}]", e.key);
    if (!e.value.table()) {
        d_.error(e.value.place, fmt::format("question '{}' must be a table, not {}", e.key, kind_of(e.value)),
                 "write " + where);
        return {};
    }
    Keys keys(e.value, where, d_);
    Question q;
    q.name = e.key, q.place = e.place, q.of.variant = base_;
    if (const auto* text = keys.required_text("question", "what is to be predicted")) q.text = *text->value.text();
    keys.required_text("figure", "key of what answers it, such as intake_redline");
    read_figure(keys, where, q.of);
    const auto *minus = keys.table("minus"), *alike = keys.text("alike_within");
    keys.finish();
    if (minus) {
        Keys own(minus->value, "minus of " + where, d_);
        q.minus = q.of;
        const auto told = d_.all().size();
        read_figure(own, "minus of " + where, *q.minus);
        own.finish();
        if (d_.all().size() == told && same(q.of, *q.minus))
            d_.error(minus->value.place, fmt::format("minus in {} is what it is taken from", where),
                     "name another pull, variant or figure");
    }
    if (alike && !minus)
        d_.error(alike->place, fmt::format("alike_within in {} needs 'minus'", where),
                 "only a difference can be too small to count");
    if (alike) q.alike_within = *alike;
    return q;
}

/// What the keys do not name stays as it is in `out`.
void PredictReader::read_figure(Keys& keys, const std::string& where, FigureOfPull& out) {
    const auto *figure = keys.text("figure"), *variant = keys.text("variant"), *pull = keys.find("pull");
    if (figure) out.figure = *figure->value.text(), out.place = figure->value.place;
    if (variant) {
        const auto at = std::find(variants_.begin(), variants_.end(), *variant->value.text());
        if (at != variants_.end()) out.variant = static_cast<std::size_t>(at - variants_.begin());
        else
            d_.error(variant->value.place, fmt::format("variant = {} in {} names none", to_text(variant->value), where),
                     suggestion(*variant->value.text(), variants_));
    }
    if (pull)
        if (const auto number = pull_number(pull->value, where)) out.pull = *number;
}

std::optional<std::size_t> PredictReader::pull_number(const Value& v, const std::string& where) {
    if (v.text() && *v.text() == last) return last_pull;
    const auto* n = v.as<std::int64_t>();
    if (n && *n >= 1 && static_cast<std::size_t>(*n) <= pulls_) return static_cast<std::size_t>(*n);
    d_.error(v.place,
             fmt::format("pull = {} in {} is none: the session has {} pull{}", to_text(v), where, pulls_,
                         pulls_ == 1 ? "" : "s"),
             pulls_ == 0 ? "a step of kind \"pull\" makes one"
                         : fmt::format("a whole number from 1 to {}, or \"{}\"", pulls_, last));
    return {};
}

}  // namespace pullcast
