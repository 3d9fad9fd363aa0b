#include "turns.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace pullcast {
namespace {

constexpr const char* superseded = "superseded by a later request of the same page";
constexpr const char* ending = "the program is ending";

void set(const std::weak_ptr<std::atomic<bool>>& interrupt) {
    if (const auto alive = interrupt.lock()) *alive = true;
}

}  // namespace

Turns::Turn::~Turn() {
    if (interrupt_) turns_.give_back(interrupt_);
}

Turns::Turn Turns::take(const std::string& client, std::uint64_t sequence) {
    std::unique_lock lock(mutex_);
    refuse_if_closed();
    auto known = clients_.find(client);
    if (known == clients_.end()) {
        make_room();
        known = clients_.emplace(client, Client{}).first;
    } else if (sequence <= known->second.newest) {
        throw Superseded(superseded);
    }
    auto interrupt = std::make_shared<std::atomic<bool>>(false);
    Client& c = known->second;
    set(c.asked);
    c = {sequence, ++asked_, interrupt};
    changed_.notify_all();  // an older one of this client may wait for its turn
    return wait(std::move(lock), std::move(interrupt));
}

Turns::Turn Turns::take() {
    std::unique_lock lock(mutex_);
    refuse_if_closed();
    auto interrupt = std::make_shared<std::atomic<bool>>(false);
    std::erase_if(exports_, [](const auto& e) { return e.expired(); });
    exports_.push_back(interrupt);
    return wait(std::move(lock), std::move(interrupt));
}

void Turns::make_room() {
    if (clients_.size() < limits_.clients) return;
    auto oldest = clients_.end();
    for (auto c = clients_.begin(); c != clients_.end(); ++c)
        if (c->second.idle() && (oldest == clients_.end() || c->second.used < oldest->second.used)) oldest = c;
    if (oldest == clients_.end())
        throw Busy(
            fmt::format("{} pages have simulations running; close one of them, or try again later", clients_.size()));
    clients_.erase(oldest);
}

void Turns::refuse_if_closed() const {
    if (closed_) throw Busy(ending);
}

Turns::Turn Turns::wait(std::unique_lock<std::mutex> lock, Interrupt interrupt) {
    const bool decided =
        changed_.wait_for(lock, limits_.patience, [&] { return *interrupt || running_ < limits_.at_a_time; });
    if (*interrupt) {
        refuse_if_closed();
        throw Superseded(superseded);
    }
    if (!decided)
        throw Busy(fmt::format("{} other simulation{} run{} for long now; try again later", running_,
                               running_ == 1 ? "" : "s", running_ == 1 ? "s" : ""));
    ++running_;
    return {*this, std::move(interrupt)};
}

void Turns::give_back(Interrupt& interrupt) {
    const std::lock_guard lock(mutex_);
    interrupt.reset();  // under the lock: whether a client is idle is asked there
    --running_;
    changed_.notify_all();
}

void Turns::close() {
    const std::lock_guard lock(mutex_);
    closed_ = true;
    for (const auto& [name, client] : clients_) set(client.asked);
    for (const auto& e : exports_) set(e);
    changed_.notify_all();
}

void Turns::throw_why_interrupted() const {
    const std::lock_guard lock(mutex_);
    refuse_if_closed();
    throw Superseded(superseded);
}

}  // namespace pullcast
