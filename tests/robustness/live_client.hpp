/// HTTP by hand, so that tests can say what no well-behaved client would.
#pragma once
#include <arpa/inet.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <map>
#include <optional>
#include <string>

namespace live {

struct Answer {
    int status = 0;                              // 0: none came
    std::map<std::string, std::string> headers;  // by their names in lower case
    std::string body;
    std::string header(const std::string& name) const {
        const auto at = headers.find(name);
        return at == headers.end() ? "" : at->second;
    }
};

/// One connection to an IPv4 address.
class Line {
public:
    explicit Line(int port, const char* address = "127.0.0.1") : socket_(::socket(AF_INET, SOCK_STREAM, 0)) {
        sockaddr_in to{};
        to.sin_family = AF_INET;
        to.sin_port = htons(static_cast<std::uint16_t>(port));
        inet_pton(AF_INET, address, &to.sin_addr);
        const int yes = 1;
        setsockopt(socket_, IPPROTO_TCP, TCP_NODELAY, &yes, sizeof yes);
        connected_ = connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) == 0;
    }
    Line(const Line&) = delete;
    Line& operator=(const Line&) = delete;
    ~Line() { close(socket_); }
    bool connected() const { return connected_; }

    bool say(const std::string& text) const {
        for (std::size_t k = 0; k < text.size();) {
            const auto n = send(socket_, text.data() + k, text.size() - k, MSG_NOSIGNAL);
            if (n <= 0) return false;
            k += static_cast<std::size_t>(n);
        }
        return true;
    }

    /// The next answer; status 0 where the connection ends, or nothing comes for `seconds`.
    Answer hear(int seconds = 60, bool head_only = false) {
        std::size_t end;
        while ((end = heard_.find("\r\n\r\n")) == heard_.npos)
            if (!more(seconds)) return {};
        Answer a;
        std::string head = heard_.substr(0, end + 2);
        heard_.erase(0, end + 4);
        a.status = std::stoi(head.substr(9, 3));
        for (std::size_t k = head.find("\r\n") + 2; k < head.size();) {
            const auto colon = head.find(": ", k), stop = head.find("\r\n", k);
            std::string name = head.substr(k, colon - k);
            std::transform(name.begin(), name.end(), name.begin(), [](unsigned char c) { return std::tolower(c); });
            a.headers[name] = head.substr(colon + 2, stop - colon - 2);
            k = stop + 2;
        }
        const auto size = head_only ? 0 : std::stoul(a.header("content-length"));
        while (heard_.size() < size)
            if (!more(seconds)) return {};
        a.body = heard_.substr(0, size);
        heard_.erase(0, size);
        return a;
    }
    /// Whether the other side ends the connection within `seconds`.
    bool ends(int seconds = 20) {
        while (more(seconds)) continue;
        return ended_;
    }

private:
    bool more(int seconds) {
        pollfd one{socket_, POLLIN, 0};
        if (poll(&one, 1, 1000 * seconds) <= 0) return false;
        char text[65536];
        const auto n = recv(socket_, text, sizeof text, 0);
        ended_ = n <= 0;
        if (n > 0) heard_.append(text, static_cast<std::size_t>(n));
        return n > 0;
    }

    int socket_;
    bool connected_ = false, ended_ = false;
    std::string heard_;
};

/// A request as our page would send it; tests change one thing of it. A header set to nothing is left out.
struct Request {
    std::string method = "POST", path = "/run", body;
    std::map<std::string, std::optional<std::string>> headers;

    std::string text() const {
        std::string out = method + " " + path + " HTTP/1.1\r\n";
        for (const auto& [name, value] : headers)
            if (value) out += name + ": " + *value + "\r\n";
        return out + "\r\n" + body;
    }
};

}  // namespace live
