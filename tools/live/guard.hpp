/// Which requests are answered at all, decided before a body is read. The page listens on this machine only, yet every
/// page in the user's browser can reach it: Host keeps foreign names that lead here out (DNS rebinding), Origin and
/// Sec-Fetch-Site keep foreign pages out, the token keeps everyone else out.
#pragma once
#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace pullcast {

inline constexpr std::size_t largest_body = 64 * 1024;  // bytes

struct RequestHead {
    std::string method, path, token_in_address;
    /// All values of a header, by its name in any case.
    std::function<std::vector<std::string>(const char* name)> header;
};

/// What the server lets in.
struct Gate {
    int port;
    std::string token;
    std::vector<std::string> folders = {"/"};  // where a page stands, and its requests below it
};

/// "/2/run" as the folder "/2/" and the request "run".
struct Route {
    std::string folder, request;
};
Route route_of(const std::string& path);

struct Refusal {
    int status;
    std::string text, allow{};  // allow: the methods of a 405
};

/// Nothing where the request may be answered.
std::optional<Refusal> refusal(const RequestHead& request, const Gate& gate);

}  // namespace pullcast
