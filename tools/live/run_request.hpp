/// What a page asks for, read from JSON that anybody may have written. The type is `RunRequest` in
/// tools/page/src/data.ts.
#pragma once
#include <cstdint>
#include <map>
#include <stdexcept>
#include <string>
#include <string_view>

namespace pullcast {

struct RunRequest {
    std::string client;
    std::uint64_t sequence = 0;
    std::string start;                         // variant that the knobs start from
    std::map<std::string, std::string> knobs;  // texts as they would stand in the study file
};

/// The text is no request: what it should be.
struct BadRequest : std::runtime_error {
    using std::runtime_error::runtime_error;
};
RunRequest read_run_request(std::string_view json);

}  // namespace pullcast
