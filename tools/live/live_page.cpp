#include "live_page.hpp"

#include <pullcast/scenario/knobs.hpp>

namespace pullcast {
namespace {

[[noreturn]] void refuse() { throw BadRequest("there is nothing to run on this page"); }

}  // namespace

BadValues bad_values(const Study& study, const ScenarioError& error) {
    std::string knob;
    for (const auto& d : error.diagnostics())
        if (knob.empty()) knob = knob_at(study, d.place);
    const auto text = render(error.diagnostics());
    return {text.substr(0, text.find('\n')), text, knob};
}

std::string LivePage::run(const RunRequest&) { refuse(); }
std::string LivePage::study_text(const RunRequest&) { refuse(); }
std::string LivePage::report(const RunRequest&) { refuse(); }

}  // namespace pullcast
