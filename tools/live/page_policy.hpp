/// What the browser lets the live page do: run its own script and style, and talk to the program that served it.
#pragma once
#include <bundle.hpp>
#include <initializer_list>
#include <string>

namespace pullcast {

/// A Content-Security-Policy that allows the inline scripts and styles of these bundles, by their hashes.
std::string page_policy(std::initializer_list<Bundle> bundles);

/// One that allows nothing: for all other answers.
inline constexpr const char* closed_policy =
    "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

}  // namespace pullcast
