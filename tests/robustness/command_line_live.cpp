// The program with a page: what it prints, that it answers, and how it ends.
#include <arpa/inet.h>
#include <sys/socket.h>

#include "command_line.hpp"

namespace command_line_live_tests {

using namespace command_line;

class Live : public CommandLine {
protected:
    void SetUp() override {
        write(
            "s.toml",
            "rig = \"scenarios/rigs/hillclimb-v6.toml\"\n[variant.a]\n[knob.ambient]\nsets = \"ambient.temperature\"\n"
            "from = \"5 degC\"\nto = \"40 degC\"\n");
    }

    pid_t start_live(std::vector<std::string> args) const {
        fs::remove(streams / "out");
        return start(std::move(args));
    }

    /// The address, once the program has printed it whole.
    std::string address() const {
        using namespace std::chrono_literals;
        for (int k = 0; k < 3000; ++k, std::this_thread::sleep_for(10ms))
            if (const auto text = content(streams / "out"); text.ends_with("\n")) return text;
        return "";
    }
};

int port_of(const std::string& address) {
    const auto colon = address.rfind(':');
    return std::atoi(address.c_str() + colon + 1);
}

TEST_F(Live, PrintsItsAddressAndEndsWithCtrlC) {
    for (const int signal : {SIGINT, SIGTERM}) {
        const pid_t child = start_live({"live", "s.toml"});
        EXPECT_TRUE(address().starts_with("http://127.0.0.1:")) << address();
        EXPECT_NE(address().find("/?token="), std::string::npos);
        kill(child, signal);
        const auto ended = wait(child);
        EXPECT_EQ(ended.code, 0);
        EXPECT_EQ(ended.err, "s.toml: open this address in a browser on this machine; Ctrl-C ends it\n");
        EXPECT_EQ(names(), "s.toml");
    }
}

TEST_F(Live, SaysWhenItsPortIsTaken) {
    const int taken = socket(AF_INET, SOCK_STREAM, 0);
    sockaddr_in at{};
    at.sin_family = AF_INET, at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    socklen_t size = sizeof at;
    ASSERT_EQ(bind(taken, reinterpret_cast<sockaddr*>(&at), size), 0);
    ASSERT_EQ(listen(taken, 1), 0);
    ASSERT_EQ(getsockname(taken, reinterpret_cast<sockaddr*>(&at), &size), 0);
    const auto port = std::to_string(ntohs(at.sin_port));
    const auto ended = run({"live", "s.toml", "--port", port});
    EXPECT_EQ(ended.err,
              "error: port " + port + " of 127.0.0.1 is in use; name another port, or none to get a free one\n");
    EXPECT_EQ(ended.code, 7);
    EXPECT_EQ(ended.out, "");
    close(taken);
}

TEST_F(Live, TakesThePortThatIsAskedFor) {
    pid_t child = start_live({"live", "s.toml"});
    const int free = port_of(address());
    kill(child, SIGINT);
    wait(child);
    child = start_live({"live", "s.toml", "--port", std::to_string(free)});
    EXPECT_EQ(port_of(address()), free);
    kill(child, SIGINT);
    EXPECT_EQ(wait(child).code, 0);
}

}  // namespace command_line_live_tests
