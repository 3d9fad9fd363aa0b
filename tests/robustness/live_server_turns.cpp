// Who may simulate: one a client, the newest request of each, so many at a time.
#include <gtest/gtest.h>

#include <future>
#include <thread>
#include <turns.hpp>

namespace live_server_turns_tests {

using pullcast::Busy;
using pullcast::Superseded;
using pullcast::Turns;
using namespace std::chrono_literals;

std::string said(const auto& call) {
    try {
        call();
    } catch (const std::exception& e) {
        return e.what();
    }
    return "nothing thrown";
}

TEST(LiveServerTurns, ALaterRequestInterruptsTheEarlierOfItsClientAlone) {
    Turns turns({.at_a_time = 3});
    const auto first = turns.take("a", 1), other = turns.take("b", 1);
    EXPECT_FALSE(first.interrupt());
    const auto second = turns.take("a", 2);
    EXPECT_TRUE(first.interrupt());
    EXPECT_FALSE(second.interrupt());
    EXPECT_FALSE(other.interrupt());
}

TEST(LiveServerTurns, AnEqualOrEarlierSequenceIsRefusedAndDisturbsNothing) {
    Turns turns({.at_a_time = 2});
    const auto running = turns.take("a", 7);
    EXPECT_THROW(turns.take("a", 7), Superseded);
    EXPECT_THROW(turns.take("a", 6), Superseded);
    EXPECT_FALSE(running.interrupt());
    EXPECT_NO_THROW(turns.take("a", 8));
}

TEST(LiveServerTurns, SequencesMayStartAtZeroAndLeaveGaps) {
    Turns turns({});
    EXPECT_NO_THROW(turns.take("a", 0));
    EXPECT_THROW(turns.take("a", 0), Superseded);
    EXPECT_NO_THROW(turns.take("a", 1000));
}

TEST(LiveServerTurns, OneThatWaitsGivesWayToALaterOneOfItsClient) {
    Turns turns({.at_a_time = 1});
    std::optional<Turns::Turn> running(turns.take("other", 1));
    auto waits = std::async(std::launch::async, [&] { turns.take("a", 1); });
    std::this_thread::sleep_for(20ms);
    auto later = std::async(std::launch::async, [&] { turns.take("a", 2); });
    EXPECT_THROW(waits.get(), Superseded);
    EXPECT_EQ(later.wait_for(20ms), std::future_status::timeout);
    running.reset();
    EXPECT_NO_THROW(later.get());
}

TEST(LiveServerTurns, NoMoreRunAtATimeThanAllowed) {
    Turns turns({.at_a_time = 2, .clients = 16});
    std::atomic<int> running = 0, most = 0;
    {
        std::vector<std::jthread> all;
        for (int k = 0; k < 12; ++k)
            all.emplace_back([&, k] {
                const auto turn = turns.take("client" + std::to_string(k), 1);
                most = std::max(most.load(), ++running);
                std::this_thread::sleep_for(2ms);
                --running;
            });
    }
    EXPECT_EQ(most, 2);
}

TEST(LiveServerTurns, WhoWaitsTooLongIsToldSo) {
    Turns turns({.at_a_time = 1, .patience = 10ms});
    const auto running = turns.take();
    EXPECT_EQ(said([&] { turns.take("a", 1); }), "1 other simulation runs for long now; try again later");
    EXPECT_THROW(turns.take(), Busy);
}

TEST(LiveServerTurns, TheLongestIdleClientIsForgottenFirst) {
    Turns turns({.clients = 2});
    turns.take("a", 5);
    turns.take("b", 5);
    turns.take("a", 6);
    turns.take("c", 1);                            // in the place of b
    EXPECT_THROW(turns.take("a", 6), Superseded);  // still known
    EXPECT_NO_THROW(turns.take("b", 1));           // new again
}

TEST(LiveServerTurns, ClientsThatSimulateAreNotForgotten) {
    Turns turns({.at_a_time = 4, .clients = 2});
    const auto a = turns.take("a", 1), b = turns.take("b", 1);
    EXPECT_EQ(said([&] { turns.take("c", 1); }),
              "2 pages have simulations running; close one of them, or try again later");
    EXPECT_FALSE(a.interrupt() || b.interrupt());
}

TEST(LiveServerTurns, ClosingInterruptsAllAndRefusesTheRest) {
    Turns turns({.at_a_time = 2});
    const auto page = turns.take("a", 1), exported = turns.take();
    auto waits = std::async(std::launch::async, [&] { turns.take("b", 1); });
    std::this_thread::sleep_for(20ms);
    turns.close();
    EXPECT_TRUE(page.interrupt());
    EXPECT_TRUE(exported.interrupt());
    EXPECT_EQ(said([&] { waits.get(); }), "the program is ending");
    EXPECT_EQ(said([&] { turns.take("a", 2); }), "the program is ending");
    EXPECT_EQ(said([&] { turns.throw_why_interrupted(); }), "the program is ending");
}

TEST(LiveServerTurns, AnExportIsNotInterruptedByRequestsOfPages) {
    Turns turns({.at_a_time = 3});
    const auto exported = turns.take();
    turns.take("a", 1), turns.take("a", 2);
    EXPECT_FALSE(exported.interrupt());
}

}  // namespace live_server_turns_tests
