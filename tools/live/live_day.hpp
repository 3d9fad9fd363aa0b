/// A study with a session kept at hand: nothing is run until the page asks for it, and then the whole day of every
/// variant, with the knobs as they stand. No HTTP here.
#pragma once
#include <pullcast/study/questions.hpp>

#include "lesson_json.hpp"
#include "live_page.hpp"
#include "turns.hpp"

namespace pullcast {

class LiveDay : public LivePage {
public:
    /// Reads the study. Throws ScenarioError, also where it has no session. The registry must outlive the page.
    LiveDay(const Registry& registry, const std::filesystem::path& study, const LiveOptions& options);
    LiveDay(const Registry& registry, Study study, const LiveOptions& options);

    const Study& study() const { return study_; }
    /// Other pages of the server, shown at the top.
    void link_to(std::vector<LessonLink> links) { links_ = std::move(links); }

    std::string page(const std::string& token) const override;
    /// DayReply of tools/page/src/data.ts.
    std::string run(const RunRequest& request) override;
    /// The study with a table [[turned]] for what differs from it.
    std::string study_text(const RunRequest& request) override;
    std::string report(const RunRequest& request) override;
    void close() override { turns_.close(); }

private:
    struct Run {
        Study study;
        std::vector<SessionResult> results;
        std::vector<std::vector<double>> steady;
        double engine_ms;
    };
    Source turn(const RunRequest& request) const;
    Run compute(const Source& text, const std::atomic<bool>& interrupt) const;

    const Registry& registry_;
    const LiveOptions options_;
    const Study study_;
    const std::vector<Asked> asked_;
    std::vector<LessonLink> links_;
    Turns turns_{{}};
};

}  // namespace pullcast
