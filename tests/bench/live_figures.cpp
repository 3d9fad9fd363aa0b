// Figures of the live page: what a turned knob takes from request to answer, and where that time goes. Wall clock, so
// that what waits is seen; processor time beside it, for machines that do other things too.
#include <fmt/format.h>

#include <live_server.hpp>
#include <live_session.hpp>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <page.hpp>
#include <pullcast/scenario/knobs.hpp>
#include <vector>

#include "figure.hpp"
#include "robustness/live_client.hpp"

namespace pullcast::bench {
namespace {

using Json = nlohmann::ordered_json;
constexpr int requests = 100;

const std::string study_file = std::string(PULLCAST_SOURCE) + "/scenarios/studies/pulley-or-core.toml";

/// A hundred temperatures, each once, far from the one before.
std::map<std::string, std::string> values(int k) {
    return {{"ambient", fmt::format("{:.2f} degC", 10 + 0.25 * (k * 37 % requests))}, {"pulley", "pulley-80"}};
}

double quantile(std::vector<double> all, double share) {
    std::sort(all.begin(), all.end());
    return all[static_cast<std::size_t>(share * static_cast<double>(all.size() - 1) + 0.5)];
}

/// By name, one value a request: milliseconds, and the answer's kB.
using Spent = std::map<std::string, std::vector<double>>;

/// The page's program, asked over one connection as a browser keeps it.
class Page {
public:
    explicit Page(const Registry& registry) : session_(registry, study_file, {.threads = 2}), server_(session_) {
        server_.start();
        const auto& url = server_.url();
        host_ = url.substr(7, url.find('/', 7) - 7), token_ = url.substr(url.find('=') + 1);
        line_ = std::make_unique<live::Line>(std::stoi(host_.substr(host_.find(':') + 1)));
    }

    /// False where the answer is an error, which is printed.
    bool turn(int k, Spent& spent) {
        const auto body =
            Json{{"client", "bench"}, {"sequence", k + 1}, {"start", session_.study().base}, {"knobs", values(k)}}
                .dump();
        const live::Request request{"POST",
                                    "/run",
                                    body,
                                    {{"Host", host_},
                                     {"X-Pullcast-Token", token_},
                                     {"Content-Type", "application/json"},
                                     {"Accept-Encoding", "gzip, deflate, br"},
                                     {"Content-Length", std::to_string(body.size())}}};
        const double begin = wall_time(), processor = processor_time();
        line_->say(request.text());
        const auto answer = line_->hear();
        spent["trip"].push_back(1e3 * (wall_time() - begin));
        spent["trip, processor"].push_back(1e3 * (processor_time() - processor));
        spent["kB"].push_back(1e-3 * static_cast<double>(answer.body.size()));
        if (answer.status != 200) fmt::print("{}\n", answer.body);
        return answer.status == 200;
    }

private:
    LiveSession session_;
    LiveServer server_;
    std::string host_, token_;
    std::unique_ptr<live::Line> line_;
};

/// The steps of the same, called one after the other.
void steps(const Registry& registry, const Study& study, const VariantResult& base, int k, Spent& spent) {
    double begin = wall_time();
    const auto lap = [&](const char* name) {
        spent[name].push_back(1e3 * (wall_time() - begin));
        begin = wall_time();
    };
    const auto turned = with_variant(study, study.base, values(k));
    Study live = read_study(turned.text, registry, turned.variant);
    lap("read");
    { const Network network(live.variants.front().rig); }
    lap("compile");
    std::vector<VariantResult> results{base};
    results.push_back(std::move(run_study(live, 1).front()));
    lap("compile and pull");
    live.base = study.base;
    live.variants.insert(live.variants.begin(), study.variants[base_index(study)]);
    {
        Json rigs = Json::array();
        variant_json(live, results, 1, rigs).dump();
    }
    lap("JSON");
}

}  // namespace

int live_figures() {
    Registry registry;
    registry.load_folder(PULLCAST_PLUGINS);
    const Study study = read_study(study_file, registry);
    const auto results = run_study(study, 1);
    Page page(registry);
    Spent spent;
    for (int k = 0; k < requests; ++k) {  // in turn, so that a disturbance meets both
        if (!page.turn(k, spent)) return skip("live page: a turned knob", "a request failed"), 1;
        steps(registry, study, results[base_index(study)], k, spent);
    }
    const auto median = [&](const char* name) { return quantile(spent.at(name), 0.5); };
    const auto figure = [&](const char* name, double share, const std::string& about) {
        return !report(name, quantile(spent.at("trip"), share), "ms", Bound::at_most, 30,
                       fmt::format("processor time {:.1f}{}", quantile(spent.at("trip, processor"), share), about));
    };
    const auto note =
        fmt::format("; read {:.1f}, compile {:.1f}, pull {:.1f}, JSON {:.1f}; answer {:.0f} kB", median("read"),
                    median("compile"), median("compile and pull") - median("compile"), median("JSON"), median("kB"));
    return figure("live page: a turned knob, median of 100", 0.5, note) +
           figure("live page: a turned knob, 95th percentile", 0.95, "");
}

}  // namespace pullcast::bench
