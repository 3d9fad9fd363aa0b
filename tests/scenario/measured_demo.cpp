// The demo with measured pulls against what was truly so: the invented logs were made from scenarios/logs/truth.toml,
// of which the study knows nothing. Its first two variants are both cores under the study's [reference]; they are run
// as any study is, and turned by a root search of Boost's where a question keeps something alike.
#include <boost/math/tools/toms748_solve.hpp>
#include <pullcast/measure/match_words.hpp>
#include <pullcast/solve/parameter.hpp>

#include "missing_channels.hpp"
#include "reference_runs.hpp"
#include "shipped.hpp"

namespace measured_demo_tests {

using namespace shipped;
using namespace pullcast::measure;
using measure::Question;
using Kind = Parameter::Kind;

const std::string demo = "studies/what-the-core-did.toml";
constexpr double degree = 0.017453292519943295;

VariantResult run(Variant v, const std::optional<Parameter>& turned = {}, double to = 0) {
    if (turned) v.rig = with_value(v.rig, *turned, to);
    Study alone;
    alone.variants = {std::move(v)};
    return run_study(alone, 1).at(0);
}

struct Turn {
    Parameter parameter;
    const char* held;
    double low, high;
};
const std::map<Question, Turn> turns = {
    {Question::same_manifold_pressure,
     {{"pulley", {{"drive", "pulley_diameter"}}, Kind::factor}, "boost_redline", 0.93, 1.03}},
    {Question::same_knock_margin,
     {{"spark", {{"calibration", "spark_offset"}}}, "knock_margin", -3 * degree, 4 * degree}}};

/// Both cores as they truly are, the deep one turned until it has what the slim one has.
struct Truth {
    VariantResult slim, deep;
    double turned = 0;
};
Truth truth_of(Question question) {
    const auto study = read("logs/truth.toml");
    Truth t{run(study.variants.at(0)), run(study.variants.at(1))};
    const auto turn = turns.find(question);
    if (turn == turns.end()) return t;
    const auto& [parameter, held, low, high] = turn->second;
    const double target = figure(t.slim, held);
    const auto off = [&](double to) { return figure(run(study.variants.at(1), parameter, to), held) - target; };
    std::uintmax_t steps = 30;
    const auto found =
        boost::math::tools::toms748_solve(off, low, high, boost::math::tools::eps_tolerance<double>(18), steps);
    t.turned = (found.first + found.second) / 2;
    t.deep = run(study.variants.at(1), parameter, t.turned);
    return t;
}

std::string line(const MatchedFigure& m, const Truth& t) {
    return fmt::format("{}: {:.6g} -> {:.6g}, change {:.4g} +- {:.4g}; truly {:.6g} -> {:.6g}, change {:.4g}",
                       m.figure->key, m.from, m.to, m.change(), m.half_width, figure(t.slim, m.figure->key),
                       figure(t.deep, m.figure->key), figure(t.deep, m.figure->key) - figure(t.slim, m.figure->key));
}

void expect_truth_inside(const Comparison& c, std::size_t figures) {
    const Truth t = truth_of(c.question);
    ASSERT_EQ(c.impossible, "");
    EXPECT_EQ(c.figures.size(), figures) << in_words(c.question);
    std::string all;
    for (const auto& m : c.figures) all += "\n" + line(m, t);
    for (const auto& m : c.figures) {
        const double change = figure(t.deep, m.figure->key) - figure(t.slim, m.figure->key);
        EXPECT_LT(std::fabs(m.change() - change), m.half_width) << in_words(c.question) << ", " << m.figure->key << all;
        const bool told = m.verdict != Verdict::cannot_tell;
        EXPECT_EQ(told, std::fabs(m.change()) > m.half_width) << m.figure->key;
        EXPECT_TRUE(!told || (m.verdict == Verdict::rises) == (change > 0)) << m.figure->key;
    }
}

/// The fitted deep core, turned as the comparison says, has what the fitted slim one has.
void expect_held(const MeasuredResults& r, const Comparison& c) {
    const auto& [parameter, held, low, high] = turns.at(c.question);
    const auto fitted_core = [&](std::size_t k) {
        Variant v = r.measured.study.reference[k];
        v.rig = fitted(v.rig, r.fit.unknowns, r.fit.values(), v.name, "");
        return v;
    };
    const double near = held_by(c.question)->near;
    EXPECT_NEAR(figure(run(fitted_core(c.from)), held), c.held, 1e-9 * std::fabs(c.held)) << held;
    EXPECT_NEAR(figure(run(fitted_core(c.to), parameter, c.taken), held), c.held, near) << held;
    EXPECT_GT(std::fabs(figure(run(fitted_core(c.to)), held) - c.held), 10 * near) << held << ": alike unturned";
}

std::size_t place(const MeasuredResults& r, const std::string& name, const std::string& of) {
    for (std::size_t k = 0; k < r.fit.unknowns.size(); ++k)
        if (r.fit.unknowns[k].choice->name == name && r.fit.unknowns[k].of == of) return k;
    throw std::out_of_range(name);
}

/// The channel that would tell most of an unknown.
std::string most_helpful(const MissingChannels& missing, const MeasuredResults& r, const std::string& name,
                         const std::string& of) {
    Eigen::VectorXd slopes = Eigen::VectorXd::Zero(static_cast<int>(r.fit.result.solution.estimates.size()));
    slopes[static_cast<int>(place(r, name, of))] = 1;
    const auto all = missing.helpful(slopes);
    return all.empty() ? "" : all[0].channel->kind;
}

CheckItem check(const MeasuredResults& r, const std::string& item) {
    for (auto& c : checklist(r, UnitSystem::metric))
        if (c.item == item) return c;
    throw std::out_of_range(item);
}

bool says(const std::string& text, const std::string& part) { return text.find(part) != text.npos; }

/// What the fit says of charge and coolant at the start; "" for nothing.
std::string of_start(const MeasuredResults& r) {
    for (const auto& w : fit_in_words(r, UnitSystem::metric))
        if (says(w, "charge at the start from coolant at the start")) return w;
    return "";
}

void expect_shares_add_up(const PullsExplained& e) {
    EXPECT_EQ(e.from.name, "spring-2");
    EXPECT_EQ(e.to.name, "summer-2");
    ASSERT_EQ(e.explanation.figures.size(), 5u);
    for (const auto& f : e.explanation.figures) {
        double sum = 0;
        for (const auto& s : f.shares) sum += s.value;
        EXPECT_NEAR(sum, f.to - f.from, 1e-9 * std::fabs(f.from)) << f.figure->key;
        EXPECT_EQ(f.shares.size(), 8u) << f.figure->key;
    }
}

void expect_headline_of(const Comparison& c, const std::string& headline) {
    std::size_t told = 0;
    for (const auto& m : c.figures) {
        const bool shown = m.verdict != Verdict::cannot_tell;
        const auto words = fmt::format("{} {} by", figure_name(*m.figure), in_words(m.verdict));
        EXPECT_EQ(says(headline, words), shown) << words << "\n" << headline;
        EXPECT_TRUE(says(headline, figure_name(*m.figure))) << headline;
        told += shown;
    }
    EXPECT_GE(told, 4u) << headline;  // temperatures, boost and power
}

TEST(MeasuredDemo, TheHiddenTruthLiesInEveryInterval) {
    const auto measured = read_measured_study(scenarios() / demo, registry());
    const auto r = judge_pulls(measured, true, 2);
    EXPECT_TRUE(r.fit.result.solution.converged) << r.fit.result.solution.stopped;
    ASSERT_EQ(r.comparisons.size(), 3u);
    const std::size_t figures[] = {5, 4, 4};  // what is held is not among them
    for (std::size_t k = 0; k < 3; ++k) {
        EXPECT_EQ(static_cast<std::size_t>(r.comparisons[k].question), k);
        expect_truth_inside(r.comparisons[k], figures[k]);
        if (k) expect_held(r, r.comparisons[k]);
    }
    expect_headline_of(r.comparisons[0], headline(r, UnitSystem::metric));
    EXPECT_LT(r.fit.values()[place(r, "belt", "summer-1")], 0.75);  // the worn belt
    const auto belt = check(r, "belt");
    EXPECT_EQ(belt.state, Alike::differs);
    for (const auto& p : measured.pulls) EXPECT_EQ(says(belt.words, p.name), p.name == "summer-1") << belt.words;
    EXPECT_EQ(check(r, "coolant at the start").state, Alike::differs);
    EXPECT_EQ(of_start(r), "");
    ASSERT_TRUE(r.explained);
    expect_shares_add_up(*r.explained);
}

// Intake temperature alone tells a cold coolant from a cold charge badly, and what the study expects is far from both.
TEST(MeasuredDemo, WithoutCoolantChannelsItSaysWhatIsNotSeparated) {
    auto measured =
        read_measured_study(scenarios() / demo, registry(), {"coolant_in_temperature", "coolant_out_temperature"});
    measured.match.questions = {Question::same_pulley};
    measured.match.explain.clear();
    const auto r = judge_pulls(measured, true, 2);
    EXPECT_TRUE(r.fit.result.solution.converged) << r.fit.result.solution.stopped;
    for (const auto& pull : r.fit.residuals)
        for (const auto& x : pull) EXPECT_FALSE(says(x.measured->what->kind, "coolant"));
    EXPECT_TRUE(says(of_start(r), "do not well separate")) << of_start(r);
    EXPECT_TRUE(says(of_start(r), "spring-1")) << of_start(r);
    EXPECT_EQ(check(r, "coolant at the start").state, Alike::unknown);
    ASSERT_EQ(r.comparisons.size(), 1u);
    expect_truth_inside(r.comparisons[0], 5);
    const MissingChannels missing(measured.pulls, r.fit, 2);
    for (const auto& [name, of] : {std::pair("coolant", "spring-1"), {"core", "slim"}})
        EXPECT_TRUE(says(most_helpful(missing, r, name, of), "coolant")) << name;
}

}  // namespace measured_demo_tests
