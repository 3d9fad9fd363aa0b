#include "live_server.hpp"

#include <fmt/format.h>
#include <httplib.h>
#include <sys/eventfd.h>

#include <bundle.hpp>
#include <cerrno>
#include <cstring>
#include <map>
#include <nlohmann/json.hpp>
#include <system_error>
#include <thread>

#include "guard.hpp"
#include "live_page.hpp"
#include "page_policy.hpp"
#include "token.hpp"
#include "turns.hpp"
#include "wire.hpp"

namespace pullcast {
namespace {

constexpr const char* address = "127.0.0.1";
constexpr std::size_t workers = 32;          // connections at a time; further ones wait
constexpr std::size_t most_requests = 1000;  // of one connection
constexpr std::size_t largest_request = Wire::largest_head + 2 * largest_body;  // chunks take more than what they hold
constexpr std::chrono::milliseconds look_interval{50};

/// What every answer says. The page has a policy of its own.
const httplib::Headers always = {{"Content-Security-Policy", closed_policy},
                                 {"X-Content-Type-Options", "nosniff"},
                                 {"Referrer-Policy", "no-referrer"},
                                 {"Cache-Control", "no-store"},
                                 {"Cross-Origin-Resource-Policy", "same-origin"},
                                 {"X-Frame-Options", "DENY"}};

/// A connection as the library reads and writes it.
class WireStream : public httplib::Stream {
public:
    explicit WireStream(Wire& wire) : wire_(wire) {}
    bool is_readable() const override { return wire_.readable(); }
    bool is_writable() const override { return wire_.writable(); }
    ssize_t read(char* to, std::size_t size) override { return wire_.read(to, size); }
    ssize_t write(const char* from, std::size_t size) override { return wire_.write(from, size); }
    void get_remote_ip_and_port(std::string&, int&) const override {}  // always this machine
    void get_local_ip_and_port(std::string&, int&) const override {}
    socket_t socket() const override { return wire_.socket(); }

private:
    Wire& wire_;
};

RequestHead head_of(const httplib::Request& request) {
    return {request.method, request.path, request.get_param_value("token"), [&request](const char* name) {
                std::vector<std::string> all;
                const auto [first, last] = request.headers.equal_range(name);
                for (auto h = first; h != last; ++h) all.push_back(h->second);
                return all;
            }};
}

/// ErrorReply of data.ts.
void answer_error(httplib::Response& response, int status, const std::string& error, const std::string& text = "",
                  const std::string& knob = "") {
    using Json = nlohmann::ordered_json;
    response.status = status;
    const Json reply = {{"error", error}, {"text", text}, {"knob", knob}};
    response.set_content(reply.dump(-1, ' ', false, Json::error_handler_t::replace), "application/json");
}

/// The library's server with connections that end in time, and a decision before a body is read.
class HttpServer : public httplib::Server {
public:
    HttpServer() : stop_(eventfd(0, EFD_CLOEXEC)) {
        if (stop_ < 0) throw std::system_error(errno, std::generic_category(), "eventfd");
    }
    ~HttpServer() override { close(stop_); }
    void let_in(Gate gate) { gate_ = std::move(gate); }
    std::optional<Refusal> refusal_of(const httplib::Request& r) const { return refusal(head_of(r), gate_); }
    void end_connections() const { eventfd_write(stop_, 1); }
    /// The library lets five connections wait to be accepted; the next one would try again a second later.
    void let_more_wait() const { ::listen(svr_sock_, SOMAXCONN); }

private:
    bool process_and_close_socket(socket_t socket) override {
        Wire wire(socket, stop_);
        WireStream stream(wire);
        try {
            std::size_t left = most_requests;
            while (left-- > 0 && wire.next_request(largest_request) && one_request(stream)) continue;
        } catch (const std::exception&) {
            // Out of memory between requests: this connection ends, the others go on.
        }
        wire.end();
        close(socket);
        return true;
    }

    /// Whether another request may follow. What is left of a body that nobody read would be taken for one.
    bool one_request(WireStream& stream) {
        bool follows = false, closed = false;
        const auto prepare = [&](httplib::Request& r) {
            r.headers.erase("Accept-Encoding");  // compressing takes longer than the simulation
            r.ranges.clear();
            follows = !refusal_of(r) && !r.has_header("Transfer-Encoding");
            if (follows) return;
            r.headers.erase("Connection");
            r.headers.emplace("Connection", "close");
        };
        return process_request(stream, false, closed, prepare) && follows && !closed;
    }

    int stop_;
    Gate gate_{};
};

}  // namespace

class LiveServer::Impl {
public:
    Impl(LivePage& first, const ServerOptions& options, const std::vector<LivePage*>& others) : options_(options) {
        stand_.emplace("/", Stand{&first, {}});
        for (std::size_t k = 0; k < others.size(); ++k)
            stand_.emplace(fmt::format("/{}/", k + 1), Stand{others[k], {}});
        http_.new_task_queue = [] { return new httplib::ThreadPool(workers); };
        http_.set_tcp_nodelay(true);
        // The library would share the port with other programs (SO_REUSEPORT).
        http_.set_socket_options([](socket_t s) {
            const int yes = 1;
            setsockopt(s, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
        });
        http_.set_keep_alive_max_count(most_requests);
        http_.set_default_headers(always);
        route();
    }

    void start() {
        const int port = bind();
        http_.let_more_wait();
        const auto token = new_token();
        Gate gate{port, token, {}};
        for (auto& [folder, stand] : stand_) {
            gate.folders.push_back(folder);
            stand.html = stand.page->page(token);
        }
        http_.let_in(std::move(gate));
        url_ = fmt::format("http://{}:{}/?token={}", address, port, token);
        policy_ = page_policy({page_bundle(), more_bundle()});
        listener_ = std::thread([this] {
            http_.listen_after_bind();
            ended_ = true;
        });
        while (!http_.is_running() && !ended_) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }

    void stop() {
        for (auto& [folder, stand] : stand_) stand.page->close();
        http_.end_connections();
        http_.stop();
        if (listener_.joinable()) listener_.join();
    }

    void wait(const std::atomic<bool>& interrupt) {
        while (!interrupt && !ended_) std::this_thread::sleep_for(look_interval);
        const bool failed = !interrupt;
        stop();
        if (failed) throw ServerError(fmt::format("{}: no longer accepts connections", url_));
    }

    const std::string& url() const { return url_; }

private:
    int bind() {
        errno = 0;
        const int port = options_.port ? (http_.bind_to_port(address, options_.port) ? options_.port : -1)
                                       : http_.bind_to_any_port(address);
        if (port > 0) return port;
        const int why = errno;
        const auto what = options_.port ? fmt::format("port {}", options_.port) : std::string("a free port");
        if (why == EADDRINUSE)
            throw ServerError(
                fmt::format("{} of {} is in use; name another port, or none to get a free one", what, address));
        throw ServerError(fmt::format("{} of {}: {}", what, address, why ? std::strerror(why) : "not available"));
    }

    void route() {
        using Taken = httplib::Server::HandlerResponse;
        http_.set_pre_routing_handler([this](const httplib::Request& request, httplib::Response& response) {
            const auto no = http_.refusal_of(request);
            if (!no) return Taken::Unhandled;
            answer_error(response, no->status, no->text);
            if (!no->allow.empty()) response.set_header("Allow", no->allow);
            if (stand_.count(request.path)) response.set_content(no->text + "\n", "text/plain; charset=utf-8");
            return Taken::Handled;
        });
        http_.Get("/.*", [this](const httplib::Request& request, httplib::Response& response) {
            response.headers.erase("Content-Security-Policy");
            response.set_header("Content-Security-Policy", policy_);
            response.set_content(stand_.at(request.path).html, "text/html; charset=utf-8");
        });
        post("run", "application/json", &LivePage::run);
        post("study", "text/plain; charset=utf-8", &LivePage::study_text);
        post("report", "text/html; charset=utf-8", &LivePage::report);
        // What the library itself refuses: no HTTP, an address without end.
        http_.set_error_handler([](const httplib::Request&, httplib::Response& response) {
            if (response.body.empty()) answer_error(response, response.status, "the request cannot be read");
        });
    }

    void post(const char* name, const char* type, std::string (LivePage::*answer)(const RunRequest&)) {
        http_.Post(fmt::format("/(?:.*/)?{}", name),
                   [=, this](const httplib::Request& request, httplib::Response& response,
                             const httplib::ContentReader& read) {
                       try {
                           auto& page = *stand_.at(route_of(request.path).folder).page;
                           response.set_content((page.*answer)(read_run_request(body_of(read))), type);
                           response.status = 200;
                       } catch (const HttpError& e) {
                           answer_error(response, e.status, e.what());
                       } catch (const BadRequest& e) {
                           answer_error(response, 400, e.what());
                       } catch (const BadValues& e) {
                           answer_error(response, 422, e.what(), e.text, e.knob);
                       } catch (const Superseded& e) {
                           answer_error(response, 409, e.what());
                       } catch (const Busy& e) {
                           answer_error(response, 503, e.what());
                       } catch (const std::exception& e) {
                           answer_error(response, 500, fmt::format("internal error: {}", e.what()));
                       }
                   });
    }

    struct HttpError : std::runtime_error {
        int status;
        HttpError(int s, const std::string& what) : std::runtime_error(what), status(s) {}
    };

    static std::string body_of(const httplib::ContentReader& read) {
        std::string body;
        bool too_large = false;
        const bool whole = read([&](const char* data, std::size_t size) {
            too_large = body.size() + size > largest_body;
            if (!too_large) body.append(data, size);
            return !too_large;
        });
        if (too_large) throw HttpError(413, fmt::format("the request is larger than {} bytes", largest_body));
        if (!whole) throw HttpError(400, "the request did not come whole");
        return body;
    }

    struct Stand {
        LivePage* page;
        std::string html;
    };
    std::map<std::string, Stand> stand_;  // by folder
    const ServerOptions options_;
    HttpServer http_;
    std::string url_, policy_;
    std::thread listener_;
    std::atomic<bool> ended_ = false;
};

LiveServer::LiveServer(LivePage& first, const ServerOptions& options, const std::vector<LivePage*>& others)
    : impl_(std::make_unique<Impl>(first, options, others)) {}
LiveServer::~LiveServer() { stop(); }
void LiveServer::start() { impl_->start(); }
const std::string& LiveServer::url() const { return impl_->url(); }
void LiveServer::wait(const std::atomic<bool>& interrupt) { impl_->wait(interrupt); }
void LiveServer::stop() { impl_->stop(); }

}  // namespace pullcast
