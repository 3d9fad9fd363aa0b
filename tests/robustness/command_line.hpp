/// Runs the real program in a folder of its own and keeps what it says and how it ends.
#pragma once
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <thread>
#include <vector>

namespace command_line {

namespace fs = std::filesystem;

struct Ended {
    int code = -1, signal = 0;  // code -1: ended by the signal
    std::string out, err;
};

inline std::string content(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return std::move(text).str();
}

/// What a run says last.
inline std::string written_to(const std::string& folder) {
    const auto report = (fs::path(folder) / "report.html").string();
    return "results: " + folder + "\nreport:  " + report + " (opens in a browser, needs no network)\n";
}

/// A folder with the tests' files and, as `scenarios` and `bad`, the project's scenarios and the plugins that are
/// wrong.
class CommandLine : public testing::Test {
protected:
    fs::path folder, streams;

    CommandLine() {
        std::string name = (fs::temp_directory_path() / "pullcast-XXXXXX").string();
        if (!mkdtemp(name.data())) throw std::runtime_error("no temporary folder");
        folder = fs::path(name) / "work", streams = name;
        fs::create_directory(folder);
        fs::create_symlink(PULLCAST_SOURCE "/scenarios", folder / "scenarios");
        fs::create_symlink(PULLCAST_TEST_PLUGINS, folder / "bad");
    }
    ~CommandLine() override { fs::remove_all(streams); }

    void write(const fs::path& file, const std::string& text) const {
        fs::create_directories((folder / file).parent_path());
        std::ofstream(folder / file) << text;
    }
    std::string read(const fs::path& file) const { return content(folder / file); }

    /// Names in the folder but for the two links; "a b".
    std::string names() const {
        std::vector<std::string> all;
        for (const auto& e : fs::directory_iterator(folder))
            if (!e.is_symlink()) all.push_back(e.path().filename().string());
        std::sort(all.begin(), all.end());
        std::string text;
        for (const auto& name : all) text += (text.empty() ? "" : " ") + name;
        return text;
    }

    /// `out`: where stdout goes instead of a file.
    pid_t start(std::vector<std::string> args, int out = -1, std::vector<std::string> env = {}) const {
        for (const auto& usual :
             {std::string("COLUMNS=100"), std::string("NO_COLOR=1"), std::string("PATH=") + std::getenv("PATH")}) {
            const auto key = usual.substr(0, usual.find('=') + 1);
            if (std::none_of(env.begin(), env.end(), [&](const auto& e) { return e.starts_with(key); }))
                env.push_back(usual);
        }
        args.insert(args.begin(), PULLCAST_PROGRAM);
        const pid_t child = fork();
        if (child != 0) return child;
        const auto open_file = [&](const char* name) {
            return open((streams / name).c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        };
        dup2(out >= 0 ? out : open_file("out"), STDOUT_FILENO);
        dup2(open_file("err"), STDERR_FILENO);
        std::signal(SIGPIPE, SIG_DFL);
        std::vector<char*> a, e;
        for (auto& s : args) a.push_back(s.data());
        for (auto& s : env) e.push_back(s.data());
        a.push_back(nullptr), e.push_back(nullptr);
        if (chdir(folder.c_str()) == 0) execve(PULLCAST_PROGRAM, a.data(), e.data());
        _exit(127);
    }
    Ended wait(pid_t child) const {
        int status = 0;
        waitpid(child, &status, 0);
        return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, WIFSIGNALED(status) ? WTERMSIG(status) : 0,
                content(streams / "out"), content(streams / "err")};
    }
    Ended run(std::vector<std::string> args, std::vector<std::string> env = {}) const {
        return wait(start(std::move(args), -1, std::move(env)));
    }
    /// With a stdout of its own: the file named, or, without a name, a pipe that nobody reads.
    Ended run_into(const char* file, std::vector<std::string> args) const {
        int ends[2] = {-1, -1};
        if (file) ends[1] = open(file, O_WRONLY);
        else if (pipe2(ends, O_CLOEXEC) == 0) close(ends[0]);
        const pid_t child = start(std::move(args), ends[1]);
        close(ends[1]);
        return wait(child);
    }

    /// Waits until the process listens to Ctrl-C: it has read its input, and its pulls begin.
    static bool listens(pid_t child) {
        using namespace std::chrono_literals;
        for (int k = 0; k < 3000; ++k, std::this_thread::sleep_for(10ms)) {
            std::istringstream status(content("/proc/" + std::to_string(child) + "/status"));
            for (std::string line; std::getline(status, line);)
                if (line.starts_with("SigCgt:") && (std::stoull(line.substr(7), nullptr, 16) >> (SIGINT - 1) & 1))
                    return true;
        }
        return false;
    }
};

/// Air that fills a box through a filter: small, quick, and untouched by changes of the demo's rig.
inline const char* const small_rig = R"(title = "box"
[component.ambient]
model = "gas.ambient"
[component.filter]
model = "gas.restriction"
from = "ambient.air"
to = "box"
rated_flow = "300 g/s"
rated_pressure_drop = "2 kPa"
rated_density = "1.2 kg/m^3"
[component.box]
model = "gas.volume"
volume = "3 L"
[procedure]
longest = "1 s"
)";

/// A study of it, one variant of which takes a model that makes NaN (plugin makes_nan) from 0.5 s on. A part holds the
/// filter's values, so that the model can be swapped.
inline void write_nan_study(const auto& write, const std::string& head) {
    std::string rig = small_rig;
    const auto first = rig.find("rated_flow"), end = rig.find("[component.box]");
    write("parts/element.toml",
          "name = \"filter\"\nmodel = \"gas.restriction\"\n[set]\n" + rig.substr(first, end - first));
    rig.replace(first, end - first, "parts = { element = \"element\" }\n");
    rig.erase(rig.find("model = \"gas.restriction\"\n"), 26);
    write("rigs/box.toml", rig);
    write("s.toml", "rig = \"rigs/box.toml\"\n" + head +
                        "[variant.good]\n[variant.bad.set]\n\"filter.model\" = \"test.makes_nan\"\n");
}

/// A pull that takes minutes: the demo's rig held at one speed for an hour.
inline const char* const long_study = R"(rig = "scenarios/rigs/hillclimb-v6.toml"
[procedure]
longest = "3600 s"
[variant.a.set]
"load.model" = "load.locked"
[variant.b.set]
"load.model" = "load.locked"
)";

}  // namespace command_line
