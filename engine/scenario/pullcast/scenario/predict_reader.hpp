/// Questions to be answered before a session is run; the run answers them.
///
///     [predict.second-start]
///     question = "How much hotter does the second pull start than the first?"
///     figure = "intake_start"                 a figure of the pull (`pullcast run --json` lists them), or
///                                             "comparable_after": from the pull's end until the next one is comparable
///     pull = 2                                which of the session's pulls, or "last"; the first if left out
///     variant = "shut"                        the base if left out
///     minus = { pull = 1 }                    (optional) what is taken off: another pull, variant or figure; what it
///                                             does not name is as above
///     alike_within = "1 K"                    (optional) with minus: a smaller difference counts as none
#pragma once
#include <pullcast/scenario/keys.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

class PredictReader {
public:
    /// `variants` are the study's, in their order; a question that names none is about `base`.
    PredictReader(const Session& session, std::vector<std::string> variants, std::size_t base, Diagnostics& d);

    /// What the tables hold; what is wrong goes to the diagnostics.
    std::vector<Question> read(const Entry& questions);

private:
    std::optional<Question> read_question(const Entry& e);
    void read_figure(Keys& keys, const std::string& where, FigureOfPull& out);
    std::optional<std::size_t> pull_number(const Value& v, const std::string& where);

    const std::vector<std::string> variants_;
    const std::size_t base_;
    std::size_t pulls_ = 0;  // that the session has, at most
    Diagnostics& d_;
};

}  // namespace pullcast
