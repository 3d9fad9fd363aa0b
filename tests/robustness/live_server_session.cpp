// The session without HTTP: pulls that fail, and studies that have nothing to turn.
#include "command_line.hpp"
#include "live_page.hpp"

namespace live_server_session_tests {

using live::Json;
using pullcast::LiveSession;

/// A small study (command_line.hpp), one variant of which takes a model that makes NaN.
class LiveServerSession : public command_line::CommandLine {
protected:
    pullcast::Registry registry;
    LiveServerSession() {
        registry.load_folder(PULLCAST_PLUGINS);
        registry.load(PULLCAST_TEST_PLUGINS "/makes_nan.so");
    }
    void study(const std::string& head) const {
        command_line::write_nan_study([this](const auto& file, const auto& text) { write(file, text); },
                                      head +
                                          "[knob.filter]\nsets = \"filter.model\"\n"
                                          "choices = [\"gas.restriction\", \"test.makes_nan\"]\n");
    }
    Json run(const std::string& start, const std::map<std::string, std::string>& knobs) const {
        LiveSession session(registry, folder / "s.toml", {});
        return Json::parse(session.run({"a", 1, start, knobs}));
    }
};

TEST_F(LiveServerSession, APullThatFailsIsAnAnswer) {
    study("base = \"good\"\n");
    const auto reply = run("good", {{"filter", "test.makes_nan"}});
    const std::string failure = reply["variant"]["failure"];
    EXPECT_NE(failure.find("filter"), failure.npos) << failure;
    EXPECT_TRUE(reply["variant"]["time"].empty());
    EXPECT_TRUE(reply["rigs"].empty());
    for (const auto& [key, value] : reply["variant"]["figures"].items()) EXPECT_TRUE(value.is_null()) << key;
}

TEST_F(LiveServerSession, ABaseThatFailsLeavesTheTurnedVariantItsNumbers) {
    study("base = \"bad\"\n");
    const auto reply = run("bad", {{"filter", "gas.restriction"}});
    EXPECT_TRUE(reply["variant"]["failure"].is_null());
    EXPECT_GT(reply["variant"]["time"].size(), 10u);
}

TEST_F(LiveServerSession, AStudyWithoutKnobsIsRefusedWithWhatToWrite) {
    command_line::write_nan_study([this](const auto& file, const auto& text) { write(file, text); }, "");
    try {
        const LiveSession session(registry, folder / "s.toml", {});
        FAIL() << "nothing thrown";
    } catch (const pullcast::ScenarioError& e) {
        EXPECT_EQ(std::string(e.what()),
                  (folder / "s.toml").string() +
                      ": error: has no knobs to turn\n      in a study, [knob.NAME] declares one: title, "
                      "sets, and choices or from and to\n");
    }
}

TEST_F(LiveServerSession, TheFirstRunCanBeInterrupted) {
    study("");
    const std::atomic<bool> interrupt = true;
    EXPECT_THROW(LiveSession(registry, folder / "s.toml", {}, &interrupt), pullcast::Interrupted);
}

}  // namespace live_server_session_tests
