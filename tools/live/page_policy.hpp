/// What the browser lets the live page do: run its own script and style, and talk to the program that served it.
#pragma once
#include <string>
#include <string_view>

namespace pullcast {

/// A Content-Security-Policy that allows one inline script and one inline style, by their hashes.
std::string page_policy(std::string_view script, std::string_view style);

/// One that allows nothing: for all other answers.
inline constexpr const char* closed_policy =
    "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

}  // namespace pullcast
