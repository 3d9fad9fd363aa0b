/// One connection: reads and writes that end in time, and no more bytes for a request than one may have.
#pragma once
#include <sys/types.h>

#include <array>
#include <chrono>
#include <cstddef>

namespace pullcast {

class Wire {
public:
    using Time = std::chrono::milliseconds;
    static constexpr Time arrives{10000};  // a request from its first byte to its last
    static constexpr Time idles{5000};     // between requests
    static constexpr Time stalls{10000};   // a reader that takes nothing of the answer
    static constexpr std::size_t largest_head = 32 * 1024;

    /// Both must outlive the wire. `stop` becomes readable when all connections are to end.
    Wire(int socket, int stop) : socket_(socket), stop_(stop) {}

    /// Waits for the first byte of a request, which may then have `bytes` in all. False: none came.
    bool next_request(std::size_t bytes);

    /// As read(2), but -1 at the end too, and where the time or the bytes of the request are used up.
    ssize_t read(char* to, std::size_t size);
    /// As write(2): -1 where nothing was taken for a while.
    ssize_t write(const char* from, std::size_t size);
    bool readable();
    bool writable();
    int socket() const { return socket_; }

    /// Ends the connection so that the other side can still read the answer though it may be sending.
    void end();

private:
    using Clock = std::chrono::steady_clock;
    bool wait(short events, Clock::time_point until);
    bool fill(Clock::time_point until);

    int socket_, stop_;
    std::array<char, 4096> buffer_{};
    std::size_t begin_ = 0, end_ = 0;  // what is read and not yet asked for
    std::size_t left_ = 0;             // bytes that the request may still have
    Clock::time_point until_{};        // by when they must be there
};

}  // namespace pullcast
