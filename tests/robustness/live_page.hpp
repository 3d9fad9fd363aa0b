/// A live page of the demo's car, asked over real connections.
#pragma once
#include <gtest/gtest.h>

#include <fstream>
#include <live_server.hpp>
#include <live_session.hpp>
#include <nlohmann/json.hpp>

#include "live_client.hpp"

namespace live {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

/// Knobs for weather and parts; with `dyno` locked and `longest` at an hour, a pull takes minutes.
inline const char* const turned_study = R"(title = "one car, turned"
base = "as-is"
[variant.as-is]
title = "92 mm pulley"
[variant.small]
title = "80 mm pulley"
[variant.small.set]
"drive.parts.pulley" = "pulley-80"
[knob.weather]
title = "ambient temperature"
sets = "ambient.temperature"
from = "5 degC"
to = "40 degC"
[knob.pulley]
sets = "drive.parts.pulley"
choices = ["pulley-92", "pulley-86", "pulley-80"]
[knob.dyno]
sets = "load.model"
choices = ["load.roller", "load.locked"]
[knob.longest]
sets = "procedure.longest"
from = "20 s"
to = "3600 s"
)";

inline const pullcast::Registry& registry() {
    static const pullcast::Registry all = [] {
        pullcast::Registry r;
        r.load_folder(PULLCAST_PLUGINS);
        return r;
    }();
    return all;
}

/// A folder for the study, gone at the end.
struct StudyFolder {
    fs::path path, study;
    StudyFolder() {
        std::string name = (fs::temp_directory_path() / "pullcast-live-XXXXXX").string();
        if (!mkdtemp(name.data())) throw std::runtime_error("no temporary folder");
        path = name, study = path / "turned.toml";
        std::ofstream(study) << "rig = \"" PULLCAST_SOURCE "/scenarios/rigs/hillclimb-v6.toml\"\n" << turned_study;
    }
    ~StudyFolder() { fs::remove_all(path); }
};

/// Asks a server as its own page would.
class Served : public testing::Test {
protected:
    int port = 0;
    std::string token;

    void start(pullcast::LiveServer& server) {
        server.start();
        const auto& url = server.url();
        const auto colon = url.find(':', 7), slash = url.find('/', colon);
        port = std::stoi(url.substr(colon + 1, slash - colon - 1));
        token = url.substr(url.find('=') + 1);
    }

    std::string host() const { return "127.0.0.1:" + std::to_string(port); }

    /// GET of a page as a browser sends it.
    Request open_page(const std::string& folder = "/") const {
        return {"GET", folder + "?token=" + token, "", {{"Host", host()}}};
    }

    /// POST as the page sends it.
    Request post(const std::string& path, const std::string& body) const {
        return {"POST",
                path,
                body,
                {{"Host", host()},
                 {"Origin", "http://" + host()},
                 {"Sec-Fetch-Site", "same-origin"},
                 {"X-Pullcast-Token", token},
                 {"Content-Type", "application/json"},
                 {"Content-Length", std::to_string(body.size())}}};
    }
    static std::string wish(std::uint64_t sequence, const std::map<std::string, std::string>& knobs = {},
                            const std::string& client = "a", const std::string& start = "as-is") {
        return Json{{"client", client}, {"sequence", sequence}, {"start", start}, {"knobs", knobs}}.dump();
    }
    Request run(std::uint64_t sequence, const std::map<std::string, std::string>& knobs = {},
                const std::string& client = "a") const {
        return post("/run", wish(sequence, knobs, client));
    }
    /// The document of a page's HTML.
    static Json document_of(const std::string& html) {
        const std::string open = "<script type=\"application/json\" id=\"pullcast-page\">";
        const auto begin = html.find(open) + open.size();
        return Json::parse(html.substr(begin, html.find("</script>", begin) - begin));
    }
    /// A run that takes minutes where nobody ends it.
    Request endless_run(std::uint64_t sequence, const std::string& client = "a") const {
        return run(sequence, {{"dyno", "load.locked"}, {"longest", "3600 s"}}, client);
    }

    Answer ask(const Request& request) const {
        Line line(port);
        EXPECT_TRUE(line.say(request.text()));
        return line.hear(60, request.method == "HEAD");
    }
    static std::string error(const Answer& a) {
        return Json::accept(a.body) ? Json::parse(a.body).value("error", "no 'error'") : "no JSON: " + a.body;
    }
    /// "403 another site may not ask this"
    std::string refused(const Request& request) const {
        const auto a = ask(request);
        return std::to_string(a.status) + " " + error(a);
    }
};

class Page : public Served {
protected:
    StudyFolder folder;
    pullcast::LiveSession session{registry(), folder.study, {.threads = 2}};
    pullcast::LiveServer server{session};

    Page() { start(server); }
};

}  // namespace live
