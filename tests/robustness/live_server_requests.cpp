// What is read as a request, and what is said of everything else.
#include <gtest/gtest.h>

#include <run_request.hpp>

namespace live_server_requests_tests {

using pullcast::read_run_request;

std::string said(const std::string& json) {
    try {
        read_run_request(json);
    } catch (const pullcast::BadRequest& e) {
        return e.what();
    }
    return "read";
}

TEST(LiveServerRequests, ARequestIsRead) {
    const auto r = read_run_request(
        R"({"client": "0aF-_9", "sequence": 12, "start": "as-is", "knobs": {"weather": "31 degC", "pulley": "pulley-80"}})");
    EXPECT_EQ(r.client, "0aF-_9");
    EXPECT_EQ(r.sequence, 12u);
    EXPECT_EQ(r.start, "as-is");
    EXPECT_EQ(r.knobs, (std::map<std::string, std::string>{{"pulley", "pulley-80"}, {"weather", "31 degC"}}));
}

/// A sound request with one member replaced.
std::string with(const std::string& member, const std::string& value) {
    std::string out = "{";
    for (const auto& [name, usual] : std::map<std::string, std::string>{
             {"client", "\"a\""}, {"sequence", "1"}, {"start", "\"as-is\""}, {"knobs", "{}"}})
        if (name != member) out += "\"" + name + "\":" + usual + ",";
    if (value.empty()) out.pop_back();
    else out += "\"" + member + "\":" + value;
    return out + "}";
}

TEST(LiveServerRequests, WhatIsNoJsonIsToldWithItsPlace) {
    EXPECT_EQ(said(""), "the request is not JSON (character 1)");
    EXPECT_EQ(said("client=a"), "the request is not JSON (character 1)");
    EXPECT_EQ(said("{\"client\": \"\xff\"}"), "the request is not JSON (character 13)");
    const auto whole = with("sequence", "1");
    EXPECT_EQ(said(whole + "x"), "the request is not JSON (character " + std::to_string(whole.size() + 1) + ")");
    EXPECT_EQ(said(with("sequence", "1e999")), "the request holds a number that is too large");
}

TEST(LiveServerRequests, NestingEndsAtTheKnobs) {
    EXPECT_EQ(said(with("knobs", R"({"a": ["b"]})")), "the request is nested deeper than 2 levels");
    EXPECT_EQ(said(with("knobs", R"({"a": {}})")), "the request is nested deeper than 2 levels");
    EXPECT_EQ(said(std::string(60000, '[')), "the request is nested deeper than 2 levels");
    std::string objects;
    for (int k = 0; k < 10000; ++k) objects += "{\"a\":";
    EXPECT_EQ(said(objects), "the request is nested deeper than 2 levels");
}

TEST(LiveServerRequests, EveryMemberMustBeThereAndNoOther) {
    for (const std::string name : {"client", "sequence", "start", "knobs"})
        EXPECT_EQ(said(with(name, "")), "the request has no '" + name + "'");
    EXPECT_EQ(said(with("path", "\"/etc/passwd\"")), "the request has more than client, sequence, start and knobs");
    EXPECT_EQ(said("[]"), "the request must be an object");
    EXPECT_EQ(said("null"), "the request must be an object");
}

TEST(LiveServerRequests, WrongTypesAreToldByName) {
    const std::string client = "'client' must be 1 to 64 letters, digits, '-' or '_'";
    EXPECT_EQ(said(with("client", "7")), "'client' must be a text");
    EXPECT_EQ(said(with("client", "\"\"")), client);
    EXPECT_EQ(said(with("client", "\"../a\"")), client);
    EXPECT_EQ(said(with("client", "\"" + std::string(65, 'a') + "\"")), client);
    const std::string sequence = "'sequence' must be a whole number from 0 to 9007199254740992";
    for (const char* bad : {"-1", "1.5", "\"1\"", "null", "true", "9007199254740993", "18446744073709551616"})
        EXPECT_EQ(said(with("sequence", bad)), sequence) << bad;
    EXPECT_EQ(said(with("start", "null")), "'start' must be a text");
    EXPECT_EQ(said(with("start", "\"" + std::string(1001, 'a') + "\"")), "'start' is longer than 1000 characters");
    EXPECT_EQ(said(with("knobs", "[]")), "'knobs' must be an object of texts");
    EXPECT_EQ(said(with("knobs", "\"weather\"")), "'knobs' must be an object of texts");
    EXPECT_EQ(said(with("knobs", R"({"weather": 31})")), "knob 'weather' must be a text");
    EXPECT_EQ(said(with("knobs", R"({"weather": null})")), "knob 'weather' must be a text");
    EXPECT_EQ(said(with("knobs", R"({"weather": ")" + std::string(1001, '3') + R"("})")),
              "knob 'weather' is longer than 1000 characters");
    std::string many = "{";
    for (int k = 0; k < 201; ++k) many += (k ? ",\"k" : "\"k") + std::to_string(k) + "\":\"1\"";
    EXPECT_EQ(said(with("knobs", many + "}")), "'knobs' has more than 200 entries");
}

}  // namespace live_server_requests_tests
