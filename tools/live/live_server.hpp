/// The live page over HTTP, on this machine alone.
///
///     GET /?token=...     the page
///     POST /run           RunRequest -> RunReply or DayReply     (tools/page/src/data.ts)
///     POST /study         RunRequest -> the study file's text with what was turned
///     POST /report        RunRequest -> the report as HTML
///
/// Further pages stand below, each with its requests: /1/?token=..., /1/run, ..., /2/?token=...
///
/// POST carries the token in X-Pullcast-Token. Errors are ErrorReply: 400 no request, 403 not from our page, 404, 405,
/// 409 superseded, 411, 413 too large, 415 not JSON, 422 bad values, 500, 503 no place now.
#pragma once
#include <atomic>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace pullcast {

class LivePage;

/// The server cannot be had: which port, and why.
struct ServerError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

struct ServerOptions {
    int port = 0;  // 0: any that is free
};

class LiveServer {
public:
    /// `first` stands at "/", the others at "/1/", "/2/", ...; they must outlive the server, and serve no other one.
    explicit LiveServer(LivePage& first, const ServerOptions& options = {}, const std::vector<LivePage*>& others = {});
    LiveServer(const LiveServer&) = delete;
    LiveServer& operator=(const LiveServer&) = delete;
    ~LiveServer();  ///< stops

    /// Answers from now on, in threads of its own. Throws ServerError where the port is in use or not allowed.
    void start();
    /// "http://127.0.0.1:PORT/?token=...": the address to open.
    const std::string& url() const;
    /// Returns once `interrupt` is set, after stop(). Throws ServerError where the server ended by itself.
    void wait(const std::atomic<bool>& interrupt);
    /// Interrupts the simulations and ends all connections.
    void stop();

private:
    class Impl;
    std::unique_ptr<Impl> impl_;
};

}  // namespace pullcast
