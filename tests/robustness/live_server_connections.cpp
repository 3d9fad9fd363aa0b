// Connections: in use, slow, many, and gone.
#include <future>
#include <thread>

#include "live_page.hpp"

namespace live_server_connections_tests {

using namespace live;
using namespace std::chrono_literals;
using LiveServerConnections = Page;

TEST_F(LiveServerConnections, OneConnectionTakesManyRequests) {
    Line line(port);
    for (std::uint64_t k = 1; k <= 20; ++k) {
        ASSERT_TRUE(line.say(run(k).text()));
        ASSERT_EQ(line.hear().status, 200) << k;
    }
    line.say(run(21).text() + open_page().text());  // the second without waiting
    EXPECT_EQ(line.hear().status, 200);
    EXPECT_EQ(line.hear().header("content-type"), "text/html; charset=utf-8");
}

TEST_F(LiveServerConnections, ABodyThatIsRefusedIsNotTakenForARequest) {
    auto refused = post("/run", run(1).text());
    refused.headers["Content-Type"] = "text/plain";
    Line line(port);
    line.say(refused.text());
    const auto a = line.hear();
    EXPECT_EQ(a.status, 415);
    EXPECT_EQ(a.header("connection"), "close");
    EXPECT_EQ(line.hear().status, 0);
    EXPECT_TRUE(line.ends());
}

TEST_F(LiveServerConnections, AWrongRequestLeavesTheConnectionInUse) {
    Line line(port);
    line.say(post("/run", "{}").text());
    EXPECT_EQ(line.hear().status, 400);
    line.say(run(1).text());
    EXPECT_EQ(line.hear().status, 200);
}

TEST_F(LiveServerConnections, AnswersAreNotCompressed) {
    auto r = open_page();
    r.headers["Accept-Encoding"] = "gzip, deflate, br";
    const auto a = ask(r);
    EXPECT_EQ(a.header("content-encoding"), "");
    EXPECT_TRUE(a.body.starts_with("<!doctype html>"));
}

TEST_F(LiveServerConnections, PartsOfAnAnswerCannotBeAskedFor) {
    auto r = open_page();
    r.headers["Range"] = "bytes=0-9,5-20";
    const auto a = ask(r);
    EXPECT_EQ(a.status, 200);
    EXPECT_EQ(a.body, ask(open_page()).body);
}

// More slow ones than there are threads would make others wait for some seconds, not for good: see the next test.
TEST_F(LiveServerConnections, SlowClientsDoNotHoldUpOthers) {
    std::vector<std::unique_ptr<Line>> slow;
    const auto text = run(1).text();
    for (std::size_t k = 0; k < 20; ++k) {
        slow.push_back(std::make_unique<Line>(port));
        ASSERT_TRUE(slow.back()->say(text.substr(0, 1 + k * text.size() / 20)));
    }
    Line quick(port);
    quick.say(run(1).text());
    EXPECT_EQ(quick.hear(5).status, 200);
}

TEST_F(LiveServerConnections, ARequestThatNeverEndsIsGivenUpThoughItTrickles) {
    Line line(port);
    const auto begin = std::chrono::steady_clock::now();
    line.say("POST /run HTTP/1.1\r\nHost: ");
    for (int k = 0; k < 150 && line.say("x"); ++k) std::this_thread::sleep_for(100ms);
    EXPECT_TRUE(line.ends(2));
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 16s);
}

TEST_F(LiveServerConnections, AHeadWithoutEndIsGivenUp) {
    Line line(port);
    line.say("GET / HTTP/1.1\r\n");
    const std::string more = "X-More: " + std::string(1000, 'x') + "\r\n";
    const auto begin = std::chrono::steady_clock::now();
    bool taken = true;
    while (taken && std::chrono::steady_clock::now() - begin < 9s) taken = line.say(more);
    EXPECT_FALSE(taken) << "by its size, before its time is up";
}

TEST_F(LiveServerConnections, APortInUseIsToldAndNotShared) {
    pullcast::LiveSession other_session(registry(), folder.study, {});
    pullcast::LiveServer other(other_session, {.port = port});
    try {
        other.start();
        FAIL() << "two servers on one port";
    } catch (const pullcast::ServerError& e) {
        EXPECT_EQ(e.what(), "port " + std::to_string(port) +
                                " of 127.0.0.1 is in use; name another port, or none to get a free one");
    }
    EXPECT_EQ(ask(run(1)).status, 200);
}

TEST_F(LiveServerConnections, APortIsFreeAgainAfterwards) {
    Line open(port);
    server.stop();
    pullcast::LiveSession other_session(registry(), folder.study, {});
    pullcast::LiveServer other(other_session, {.port = port});
    EXPECT_NO_THROW(other.start());
    EXPECT_TRUE(other.url().starts_with("http://127.0.0.1:" + std::to_string(port) + "/?token="));
}

TEST_F(LiveServerConnections, NothingAnswersAfterTheStop) {
    Line open(port), idle(port);
    open.say(run(1).text());
    EXPECT_EQ(open.hear().status, 200);
    const auto begin = std::chrono::steady_clock::now();
    server.stop();
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 2s) << "waited for idle connections";
    EXPECT_TRUE(open.ends(2));
    EXPECT_TRUE(idle.ends(2));
    EXPECT_FALSE(Line(port).connected());
    server.stop();  // again does nothing
}

TEST_F(LiveServerConnections, TheStopEndsARunningSimulation) {
    Line line(port);
    line.say(endless_run(1).text());
    std::this_thread::sleep_for(300ms);
    const auto begin = std::chrono::steady_clock::now();
    auto stopped = std::async(std::launch::async, [&] { server.stop(); });
    const auto a = line.hear();
    EXPECT_EQ(a.status, 503);
    EXPECT_EQ(error(a), "the program is ending");
    stopped.get();
    EXPECT_LT(std::chrono::steady_clock::now() - begin, 5s);
}

TEST_F(LiveServerConnections, WaitingEndsWithTheInterrupt) {
    std::atomic<bool> interrupt = false;
    auto waits = std::async(std::launch::async, [&] { server.wait(interrupt); });
    EXPECT_EQ(waits.wait_for(100ms), std::future_status::timeout);
    EXPECT_EQ(ask(run(1)).status, 200);
    interrupt = true;
    ASSERT_EQ(waits.wait_for(5s), std::future_status::ready);
    waits.get();
    EXPECT_FALSE(Line(port).connected());
}

}  // namespace live_server_connections_tests
