#include "run_request.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>

namespace pullcast {
namespace {

using Json = nlohmann::ordered_json;

constexpr int deepest = 2;  // the request and its knobs
constexpr std::size_t longest_client = 64, longest_text = 1000, most_knobs = 200;
constexpr std::uint64_t largest_sequence = std::uint64_t{1} << 53;  // what a page's numbers count to exactly

Json parse(std::string_view text) {
    const auto check = [](int depth, Json::parse_event_t event, Json&) {
        const bool opens = event == Json::parse_event_t::object_start || event == Json::parse_event_t::array_start;
        if (opens && depth >= deepest)
            throw BadRequest(fmt::format("the request is nested deeper than {} levels", deepest));
        return true;
    };
    try {
        return Json::parse(text, check);
    } catch (const Json::parse_error& e) {
        throw BadRequest(fmt::format("the request is not JSON (character {})", e.byte));
    } catch (const Json::out_of_range&) {
        throw BadRequest("the request holds a number that is too large");
    }
}

const Json& member(const Json& request, const char* key) {
    const auto at = request.find(key);
    if (at == request.end()) throw BadRequest(fmt::format("the request has no '{}'", key));
    return *at;
}

std::string text(const Json& value, const std::string& what) {
    if (!value.is_string()) throw BadRequest(fmt::format("{} must be a text", what));
    auto out = value.get<std::string>();
    if (out.size() > longest_text) throw BadRequest(fmt::format("{} is longer than {} characters", what, longest_text));
    return out;
}

std::string client(const Json& value) {
    auto name = text(value, "'client'");
    const auto plain = [](unsigned char c) { return std::isalnum(c) || c == '-' || c == '_'; };
    if (name.empty() || name.size() > longest_client || !std::all_of(name.begin(), name.end(), plain))
        throw BadRequest(fmt::format("'client' must be 1 to {} letters, digits, '-' or '_'", longest_client));
    return name;
}

std::uint64_t sequence(const Json& value) {
    if (!value.is_number_unsigned() || value.get<std::uint64_t>() > largest_sequence)
        throw BadRequest(fmt::format("'sequence' must be a whole number from 0 to {}", largest_sequence));
    return value.get<std::uint64_t>();
}

std::map<std::string, std::string> knobs(const Json& value) {
    if (!value.is_object()) throw BadRequest("'knobs' must be an object of texts");
    if (value.size() > most_knobs) throw BadRequest(fmt::format("'knobs' has more than {} entries", most_knobs));
    std::map<std::string, std::string> out;
    for (const auto& [name, knob] : value.items())
        out.emplace(name, text(knob, fmt::format("knob '{}'", name.substr(0, longest_client))));
    return out;
}

}  // namespace

RunRequest read_run_request(std::string_view json) {
    const auto request = parse(json);
    if (!request.is_object()) throw BadRequest("the request must be an object");
    RunRequest out{client(member(request, "client")), sequence(member(request, "sequence")),
                   text(member(request, "start"), "'start'"), knobs(member(request, "knobs"))};
    if (request.size() > 4) throw BadRequest("the request has more than client, sequence, start and knobs");
    return out;
}

}  // namespace pullcast
