#include "wire.hpp"

#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace pullcast {

/// False once `until` has passed or everything is to stop.
bool Wire::wait(short events, Clock::time_point until) {
    for (;;) {
        const auto left = std::chrono::ceil<Time>(until - Clock::now()).count();
        if (left <= 0) return false;
        pollfd both[] = {{socket_, events, 0}, {stop_, POLLIN, 0}};
        const int ready = poll(both, 2, static_cast<int>(left));
        if (ready < 0 && errno != EINTR) return false;
        if (ready > 0 && both[0].revents) return true;  // an answer on its way is still written while all stops
        if (ready > 0) return false;
    }
}

/// More bytes for the buffer, which is empty. False at the end too.
bool Wire::fill(Clock::time_point until) {
    if (!wait(POLLIN, until)) return false;
    const auto n = recv(socket_, buffer_.data(), buffer_.size(), 0);
    if (n <= 0) return false;
    begin_ = 0, end_ = static_cast<std::size_t>(n);
    return true;
}

bool Wire::next_request(std::size_t bytes) {
    left_ = bytes;
    if (begin_ == end_ && !fill(Clock::now() + idles)) return false;
    until_ = Clock::now() + arrives;
    return true;
}

ssize_t Wire::read(char* to, std::size_t size) {
    if (left_ == 0) return -1;
    if (begin_ == end_ && !fill(until_)) return -1;
    const auto n = std::min({size, end_ - begin_, left_});
    std::memcpy(to, buffer_.data() + begin_, n);
    begin_ += n, left_ -= n;
    return static_cast<ssize_t>(n);
}

ssize_t Wire::write(const char* from, std::size_t size) {
    if (!wait(POLLOUT, Clock::now() + stalls)) return -1;
    return send(socket_, from, size, MSG_NOSIGNAL | MSG_DONTWAIT);
}

bool Wire::readable() { return begin_ != end_ || wait(POLLIN, until_); }
bool Wire::writable() { return wait(POLLOUT, Clock::now() + stalls); }

void Wire::end() {
    constexpr std::size_t most = 1 << 20;
    shutdown(socket_, SHUT_WR);
    const auto until = Clock::now() + std::chrono::seconds(1);
    for (std::size_t n = 0; n < most && fill(until); n += end_)
        ;
}

}  // namespace pullcast
