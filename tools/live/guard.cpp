#include "guard.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

#include "token.hpp"

namespace pullcast {
namespace {

using Verdict = std::optional<Refusal>;
constexpr const char* names[] = {"127.0.0.1", "localhost"};
constexpr int usual_port = 80;  // left out of addresses

/// Whether `text` is `prefix`, one of our names, and our port.
bool is_ours(std::string_view text, std::string_view prefix, int port) {
    if (!text.starts_with(prefix)) return false;
    text.remove_prefix(prefix.size());
    return std::any_of(std::begin(names), std::end(names), [&](const char* name) {
        return text == fmt::format("{}:{}", name, port) || (port == usual_port && text == name);
    });
}

/// A header that may stand there once.
std::string only(const RequestHead& r, const char* name) {
    const auto all = r.header(name);
    return all.empty() ? "" : all.front();
}
Verdict check_single(const RequestHead& r) {
    for (const char* name : {"Host", "Origin", "Sec-Fetch-Site", "X-Pullcast-Token", "Content-Type", "Content-Length",
                             "Transfer-Encoding", "Content-Encoding"})
        if (r.header(name).size() > 1) return Refusal{400, fmt::format("header {} stands there twice", name)};
    return {};
}

Verdict check_host(const RequestHead& r, const Gate& gate) {
    if (is_ours(only(r, "Host"), "", gate.port)) return {};
    return Refusal{403, fmt::format("this page answers as 127.0.0.1:{0} or localhost:{0} only", gate.port)};
}

/// What can be asked, and how.
Verdict check_route(const RequestHead& r, const Gate& gate) {
    constexpr std::array posts = {"run", "study", "report"};
    const auto route = route_of(r.path);
    const bool post = std::find(posts.begin(), posts.end(), route.request) != posts.end();
    const bool known = std::find(gate.folders.begin(), gate.folders.end(), route.folder) != gate.folders.end();
    if (!known || (!post && !route.request.empty())) return Refusal{404, "there is nothing at this address"};
    const char* const allow = post ? "POST" : "GET, HEAD";
    if (post ? r.method == "POST" : r.method == "GET" || r.method == "HEAD") return {};
    return Refusal{405, fmt::format("only {} is answered here", allow), allow};
}

/// Whether it was our own page that asked, as far as the browser tells.
Verdict check_origin(const RequestHead& r, const Gate& gate) {
    const auto origins = r.header("Origin"), sites = r.header("Sec-Fetch-Site");
    if (!origins.empty() && !is_ours(origins.front(), "http://", gate.port))
        return Refusal{403, "another page may not ask this"};
    if (!sites.empty() && sites.front() != "same-origin") return Refusal{403, "another site may not ask this"};
    return {};
}

Verdict check_token(const std::string& given, const Gate& gate) {
    if (same_token(given, gate.token)) return {};
    return Refusal{403, given.empty() ? "the token is missing: open the address that the program printed"
                                      : "the token is wrong: open the address that the program printed"};
}

bool is_json(std::string_view type) {
    const auto end = type.find(';');
    std::string kind(type.substr(0, end));
    while (!kind.empty() && kind.back() == ' ') kind.pop_back();
    std::transform(kind.begin(), kind.end(), kind.begin(), [](unsigned char c) { return std::tolower(c); });
    return kind == "application/json";
}

Verdict check_body(const RequestHead& r) {
    if (!is_json(only(r, "Content-Type"))) return Refusal{415, "the request must be application/json"};
    if (!r.header("Content-Encoding").empty()) return Refusal{415, "the request must not be compressed"};
    const auto length = only(r, "Content-Length"), coding = only(r, "Transfer-Encoding");
    if (!coding.empty())
        return coding == "chunked" && length.empty() ? Verdict{}
                                                     : Refusal{400, "the length of the request is not clear"};
    if (length.empty()) return Refusal{411, "the request must say its length"};
    std::size_t bytes = 0;
    const auto [end, error] = std::from_chars(length.data(), length.data() + length.size(), bytes);
    if (error == std::errc::invalid_argument || end != length.data() + length.size())
        return Refusal{400, "Content-Length must be a whole number"};
    if (error != std::errc() || bytes > largest_body)
        return Refusal{413, fmt::format("the request is larger than {} bytes", largest_body)};
    return {};
}

}  // namespace

Route route_of(const std::string& path) {
    const auto below = path.rfind('/') + 1;  // npos + 1 is 0: no folder at all
    return {path.substr(0, below), path.substr(below)};
}

std::optional<Refusal> refusal(const RequestHead& r, const Gate& gate) {
    if (auto no = check_single(r)) return no;
    if (auto no = check_host(r, gate)) return no;
    if (auto no = check_route(r, gate)) return no;
    if (r.method != "POST") return check_token(r.token_in_address, gate);
    if (auto no = check_origin(r, gate)) return no;
    if (auto no = check_token(only(r, "X-Pullcast-Token"), gate)) return no;
    return check_body(r);
}

}  // namespace pullcast
