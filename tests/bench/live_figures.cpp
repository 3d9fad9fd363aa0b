// Figures of the live page: what a turned knob takes from request to answer, and where that time goes. Wall clock, so
// that what waits is seen; processor time beside it, for machines that do other things too.
#include <fmt/format.h>

#include <live_server.hpp>
#include <live_session.hpp>
#include <map>
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

/// Milliseconds of each step of a request, one row a request.
std::map<std::string, std::vector<double>> steps(const Registry& registry, const Study& study) {
    std::map<std::string, std::vector<double>> spent;
    const auto base_results = run_study(study, 1);
    for (int k = 0; k < requests; ++k) {
        double begin = wall_time();
        const auto lap = [&](const char* name) {
            const double now = wall_time();
            spent[name].push_back(1e3 * (now - begin));
            begin = wall_time();
        };
        const auto turned = with_variant(study, study.base, values(k));
        Study live = read_study(turned.text, registry, turned.variant);
        lap("1 read");
        { const Network network(live.variants.front().rig); }
        lap("2 compile");
        std::vector<VariantResult> results{base_results[base_index(study)]};
        results.push_back(std::move(run_study(live, 1).front()));
        lap("3 compile and pull");
        live.base = study.base;
        live.variants.insert(live.variants.begin(), study.variants[base_index(study)]);
        Json rigs = Json::array();
        const auto text = variant_json(live, results, 1, rigs).dump();
        lap("4 JSON");
        spent["5 kB"].push_back(1e-3 * static_cast<double>(text.size()));
    }
    return spent;
}

/// Milliseconds of each POST /run, over one connection as a browser keeps it; nothing if one fails.
struct Trips {
    std::vector<double> wall, processor;
};
Trips round_trips(const Registry& registry) {
    LiveSession session(registry, study_file, {.threads = 2});
    LiveServer server(session);
    server.start();
    const auto url = server.url();
    const auto host = url.substr(7, url.find('/', 7) - 7), token = url.substr(url.find('=') + 1);
    live::Line line(std::stoi(host.substr(host.find(':') + 1)));
    Trips spent;
    for (int k = 0; k < requests; ++k) {
        const auto body =
            Json{{"client", "bench"}, {"sequence", k + 1}, {"start", session.study().base}, {"knobs", values(k)}}
                .dump();
        const live::Request request{"POST",
                                    "/run",
                                    body,
                                    {{"Host", host},
                                     {"X-Pullcast-Token", token},
                                     {"Content-Type", "application/json"},
                                     {"Accept-Encoding", "gzip, deflate, br"},
                                     {"Content-Length", std::to_string(body.size())}}};
        const double begin = wall_time(), processor = processor_time();
        line.say(request.text());
        const auto answer = line.hear();
        if (answer.status != 200) return fmt::print("{}\n", answer.body), Trips{};
        spent.wall.push_back(1e3 * (wall_time() - begin));
        spent.processor.push_back(1e3 * (processor_time() - processor));
    }
    return spent;
}

}  // namespace

int live_figures() {
    Registry registry;
    registry.load_folder(PULLCAST_PLUGINS);
    const auto spent = round_trips(registry);
    if (spent.wall.empty()) {
        skip("live page: a turned knob", "a request failed");
        return 1;
    }
    const auto parts = steps(registry, read_study(study_file, registry));
    const auto median = [&](const char* name) { return quantile(parts.at(name), 0.5); };
    const auto compile = median("2 compile");
    const auto note = fmt::format("read {:.1f}, compile {:.1f}, pull {:.1f}, JSON {:.1f} ({:.0f} kB)", median("1 read"),
                                  compile, median("3 compile and pull") - compile, median("4 JSON"), median("5 kB"));
    const auto figure = [&](const char* name, double share, const std::string& about) {
        return !report(name, quantile(spent.wall, share), "ms", Bound::at_most, 30,
                       fmt::format("processor time {:.1f}{}", quantile(spent.processor, share), about));
    };
    return figure("live page: a turned knob, median of 100", 0.5, "; " + note) +
           figure("live page: a turned knob, 95th percentile", 0.95, "");
}

}  // namespace pullcast::bench
