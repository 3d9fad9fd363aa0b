/// Whose simulation runs now: one a client, the newest request of each, and no more at a time than the machine bears.
#pragma once
#include <atomic>
#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <map>
#include <memory>
#include <mutex>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast {

/// A newer request of the same client took the place of this one.
struct Superseded : std::runtime_error {
    using std::runtime_error::runtime_error;
};
/// No place for this request now: what one may do about it.
struct Busy : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Safe to use from several threads.
class Turns {
public:
    struct Limits {
        unsigned at_a_time = 1;                     // simulations
        std::size_t clients = 8;                    // remembered; the longest idle is forgotten first
        std::chrono::milliseconds patience{30000};  // how long a request waits for its turn
    };
    explicit Turns(const Limits& limits) : limits_(limits) {}

    /// A place to simulate in, given back at the end of its life.
    class Turn {
    public:
        Turn(Turn&& other) noexcept = default;
        Turn(const Turn&) = delete;
        Turn& operator=(const Turn&) = delete;
        Turn& operator=(Turn&&) = delete;
        ~Turn();
        /// Set once the simulation is no longer wanted.
        const std::atomic<bool>& interrupt() const { return *interrupt_; }

    private:
        friend class Turns;
        Turn(Turns& turns, std::shared_ptr<std::atomic<bool>> interrupt)
            : turns_(turns), interrupt_(std::move(interrupt)) {}
        Turns& turns_;
        std::shared_ptr<std::atomic<bool>> interrupt_;
    };

    /// Waits for a turn, and interrupts what the client asked for before. Throws Superseded where the client has asked
    /// for this sequence or a later one before, or asks for a later one while this one waits; Busy where there is no
    /// place.
    Turn take(const std::string& client, std::uint64_t sequence);
    /// A turn that belongs to no sequence: neither interrupts nor is interrupted by others.
    Turn take();

    /// Interrupts everything, and refuses what comes later.
    void close();
    /// Why a turn was interrupted.
    [[noreturn]] void throw_why_interrupted() const;

private:
    using Interrupt = std::shared_ptr<std::atomic<bool>>;
    struct Client {
        std::uint64_t newest = 0, used = 0;  // sequence; when it last asked, counted
        std::weak_ptr<std::atomic<bool>> asked;
        bool idle() const { return asked.expired(); }
    };

    void make_room();
    void refuse_if_closed() const;
    Turn wait(std::unique_lock<std::mutex> lock, Interrupt interrupt);
    void give_back(Interrupt& interrupt);

    const Limits limits_;
    mutable std::mutex mutex_;
    std::condition_variable changed_;
    std::map<std::string, Client> clients_;
    std::vector<std::weak_ptr<std::atomic<bool>>> exports_;  // turns without a client
    std::uint64_t asked_ = 0;
    unsigned running_ = 0;
    bool closed_ = false;
};

}  // namespace pullcast
