/// A study kept at hand: its variants are run once, and then it answers what a turn of its knobs changes. No HTTP here.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/study/study_run.hpp>

#include "live_page.hpp"
#include "turns.hpp"

namespace pullcast {

class LiveSession : public LivePage {
public:
    /// Runs the study. Throws ScenarioError, also where it has no knobs; Interrupted once `interrupt` is set meanwhile.
    /// The registry must outlive the session.
    LiveSession(const Registry& registry, Study study, const LiveOptions& options,
                const std::atomic<bool>* interrupt = nullptr);
    LiveSession(const Registry& registry, const std::filesystem::path& study, const LiveOptions& options,
                const std::atomic<bool>* interrupt = nullptr);  ///< reads it

    const Study& study() const { return study_; }

    std::string page(const std::string& token) const override;
    /// RunReply of tools/page/src/data.ts.
    std::string run(const RunRequest& request) override;
    /// The study with one more variant.
    std::string study_text(const RunRequest& request) override;
    /// Of base and turned variant.
    std::string report(const RunRequest& request) override;
    void close() override { turns_.close(); }

private:
    struct Turned {
        Source text;
        Study study;  // of the turned variant alone
    };
    /// Base and turned variant, the second behind the first.
    struct Compared {
        Study study;
        std::vector<VariantResult> results;
        double engine_ms;
    };
    Turned turn(const RunRequest& request) const;
    Compared compare(Turned turned, const std::atomic<bool>& interrupt) const;

    const Registry& registry_;
    const LiveOptions options_;
    const Study study_;
    const std::vector<VariantResult> results_;
    Turns turns_;
};

}  // namespace pullcast
