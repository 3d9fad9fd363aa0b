// Which requests are answered: each rule alone, from requests that are sound but for one thing.
#include <ifaddrs.h>
#include <netdb.h>

#include "live_page.hpp"

namespace live_server_guard_tests {

using namespace live;
using LiveServerGuard = Page;

TEST_F(LiveServerGuard, OurOwnPageIsAnswered) {
    EXPECT_EQ(ask(open_page()).status, 200);
    EXPECT_EQ(ask(run(1)).status, 200);
    for (const std::string name : {"127.0.0.1", "localhost"}) {
        auto r = run(1, {}, name == "localhost" ? "b" : "c");
        r.headers["Host"] = name + ":" + std::to_string(port);
        r.headers["Origin"] = "http://" + *r.headers["Host"];
        EXPECT_EQ(ask(r).status, 200) << name;
    }
}

// What no browser sends, a script on this machine may: the token lets it in.
TEST_F(LiveServerGuard, AClientWithoutBrowserHeadersIsAnswered) {
    auto r = run(1);
    r.headers.erase("Origin"), r.headers.erase("Sec-Fetch-Site");
    EXPECT_EQ(ask(r).status, 200);
}

TEST_F(LiveServerGuard, ThePageNeedsItsToken) {
    auto r = open_page();
    r.path = "/";
    auto a = ask(r);
    EXPECT_EQ(a.status, 403);
    EXPECT_EQ(a.body, "the token is missing: open the address that the program printed\n");
    EXPECT_EQ(a.header("content-type"), "text/plain; charset=utf-8");
    for (const std::string& wrong : {std::string("x"), token.substr(1), token + "0", std::string(token.size(), '0')}) {
        r.path = "/?token=" + wrong;
        a = ask(r);
        EXPECT_EQ(a.status, 403) << wrong;
        EXPECT_EQ(a.body, "the token is wrong: open the address that the program printed\n");
    }
}

TEST_F(LiveServerGuard, RequestsNeedTheTokenInTheirHeader) {
    for (const char* path : {"/run", "/study", "/report"}) {
        auto r = post(path, wish(1));
        r.headers["X-Pullcast-Token"] = std::nullopt;
        EXPECT_EQ(refused(r), "403 the token is missing: open the address that the program printed");
        r.headers["X-Pullcast-Token"] = std::string(token.size(), 'a');
        EXPECT_EQ(refused(r), "403 the token is wrong: open the address that the program printed");
        r.path += "?token=" + token;
        EXPECT_EQ(refused(r), "403 the token is wrong: open the address that the program printed");
    }
}

TEST_F(LiveServerGuard, TokensAreLongAndNeverTheSame) {
    pullcast::LiveSession other_session(registry(), folder.study, {});
    pullcast::LiveServer other(other_session);
    other.start();
    EXPECT_EQ(token.size(), 48u);  // 192 bits
    EXPECT_EQ(token.find_first_not_of("0123456789abcdef"), token.npos);
    EXPECT_NE(other.url().substr(other.url().find('=') + 1), token);
}

// A name of a foreign page that leads to this machine (DNS rebinding).
TEST_F(LiveServerGuard, ForeignHostsAreRefused) {
    const auto p = std::to_string(port);
    const std::string text = "403 this page answers as 127.0.0.1:" + p + " or localhost:" + p + " only";
    for (const std::string& foreign :
         {"example.com:" + p, std::string("example.com"), std::string("127.0.0.1"), std::string("localhost:1"),
          "127.0.0.1:" + p + ".example.com", "127.0.0.2:" + p, "0.0.0.0:" + p, "[::1]:" + p, "localhost:" + p + "@x",
          "x127.0.0.1:" + p, std::string("null")}) {
        auto r = run(1);
        r.headers["Host"] = foreign;
        EXPECT_EQ(refused(r), text) << foreign;
        auto page = open_page();
        page.headers["Host"] = foreign;
        EXPECT_EQ(ask(page).status, 403) << foreign;
    }
    auto r = run(1);
    r.headers["Host"] = std::nullopt;
    EXPECT_EQ(refused(r), text);
}

TEST_F(LiveServerGuard, ForeignOriginsAreRefused) {
    const auto p = std::to_string(port);
    for (const std::string& foreign :
         {std::string("http://example.com"), "http://example.com:" + p, std::string("null"),
          std::string("http://127.0.0.1"), std::string("http://localhost:1"), "https://127.0.0.1:" + p,
          "http://127.0.0.1:" + p + "/", std::string("file://"), "http://127.0.0.1:" + p + "0", "127.0.0.1:" + p}) {
        auto r = run(1);
        r.headers["Origin"] = foreign;
        EXPECT_EQ(refused(r), "403 another page may not ask this") << foreign;
    }
}

TEST_F(LiveServerGuard, RequestsFromOtherSitesAreRefused) {
    for (const char* site : {"cross-site", "same-site", "none", "SAME-ORIGIN", "same-origin x"}) {
        auto r = run(1);
        r.headers["Sec-Fetch-Site"] = site;
        EXPECT_EQ(refused(r), "403 another site may not ask this") << site;
    }
}

// What decides is not there twice, one for us and one for somebody else.
TEST_F(LiveServerGuard, HeadersThatDecideStandThereOnce) {
    for (const std::string name :
         {"Host", "Origin", "Sec-Fetch-Site", "X-Pullcast-Token", "Content-Type", "Content-Length"}) {
        auto r = run(1);
        std::string twice = name;
        twice[0] = static_cast<char>(std::tolower(twice[0]));
        r.headers[twice] = r.headers[name];
        EXPECT_EQ(refused(r), "400 header " + name + " stands there twice");
    }
}

TEST_F(LiveServerGuard, OnlyJsonIsRead) {
    const auto with_type = [&](std::optional<std::string> type) {
        auto r = run(1);
        r.headers["Content-Type"] = std::move(type);
        return r;
    };
    for (const char* type : {"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x",
                             "text/plain; application/json", "application/jsonp", ""})
        EXPECT_EQ(refused(with_type(type)), "415 the request must be application/json") << type;
    EXPECT_EQ(refused(with_type(std::nullopt)), "415 the request must be application/json");
    EXPECT_EQ(ask(with_type("Application/JSON ; charset=utf-8")).status, 200);
    auto r = run(1);
    r.headers["Content-Encoding"] = "gzip";
    EXPECT_EQ(refused(r), "415 the request must not be compressed");
}

TEST_F(LiveServerGuard, RequestsAreAtMost64KiB) {
    const auto padded = [&](std::size_t size) {
        auto text = wish(1);
        return post("/run", text + std::string(size - text.size(), ' '));
    };
    EXPECT_EQ(ask(padded(65536)).status, 200);
    EXPECT_EQ(refused(padded(65537)), "413 the request is larger than 65536 bytes");
    EXPECT_EQ(refused(padded(500000)), "413 the request is larger than 65536 bytes");
    auto said = run(1);  // says more than it sends
    said.headers["Content-Length"] = "99999999999999999999999";
    EXPECT_EQ(refused(said), "413 the request is larger than 65536 bytes");
    for (const char* bad : {"-1", "abc", "1x", ""}) {
        said.headers["Content-Length"] = bad;
        EXPECT_NE(ask(said).status, 200) << bad;
    }
    said.headers["Content-Length"] = std::nullopt;
    EXPECT_EQ(refused(said), "411 the request must say its length");
}

TEST_F(LiveServerGuard, RequestsInChunksAreAtMost64KiBToo) {
    const auto chunked = [&](const std::string& body, std::size_t chunk) {
        auto r = post("/run", "");
        for (std::size_t k = 0; k < body.size(); k += chunk) {
            const auto part = body.substr(k, chunk);
            char size[32];
            std::snprintf(size, sizeof size, "%zx\r\n", part.size());
            r.body += size + part + "\r\n";
        }
        r.body += "0\r\n\r\n";
        r.headers["Content-Length"] = std::nullopt;
        r.headers["Transfer-Encoding"] = "chunked";
        return r;
    };
    EXPECT_EQ(ask(chunked(wish(1), 7)).status, 200);
    const std::string large(70000, ' ');
    EXPECT_EQ(refused(chunked(large, 1000)), "413 the request is larger than 65536 bytes");
    EXPECT_EQ(refused(chunked(large, 100000)), "413 the request is larger than 65536 bytes");
    EXPECT_EQ(refused(chunked(std::string(60000, ' '), 1)), "400 the request did not come whole");  // wasteful
    auto both = chunked(wish(2), 100);
    both.headers["Content-Length"] = "5";
    EXPECT_EQ(refused(both), "400 the length of the request is not clear");
    both.headers["Content-Length"] = std::nullopt;
    both.headers["Transfer-Encoding"] = "gzip, chunked";
    EXPECT_EQ(refused(both), "400 the length of the request is not clear");
}

TEST_F(LiveServerGuard, OtherAddressesAndMethodsAreTold) {
    for (const char* path :
         {"/favicon.ico", "/run/", "/study/../run", "/..%2f..%2fetc/passwd", "//", "/page.js", "/RUN"}) {
        auto r = open_page();
        r.path = std::string(path) + "?token=" + token;
        EXPECT_EQ(refused(r), "404 there is nothing at this address") << path;
    }
    for (const char* method : {"GET", "PUT", "DELETE", "OPTIONS", "PATCH", "HEAD"}) {
        auto r = run(1);
        r.method = method;
        const auto a = ask(r);
        EXPECT_EQ(a.status, 405) << method;
        EXPECT_EQ(a.header("allow"), "POST") << method;
    }
    auto r = open_page();
    r.method = "POST";
    EXPECT_EQ(ask(r).header("allow"), "GET, HEAD");
    r.method = "HEAD";
    const auto head = ask(r), page = ask(open_page());
    EXPECT_EQ(head.status, 200);
    EXPECT_EQ(head.header("content-length"), std::to_string(page.body.size()));
}

TEST_F(LiveServerGuard, WhatIsNoHttpIsTold) {
    for (const std::string text :
         {"hello\r\n\r\n", "GET /\r\n\r\n", "BREW / HTTP/1.1\r\n\r\n", "GET / HTTP/3\r\n\r\n"}) {
        Line line(port);
        line.say(text);
        const auto a = line.hear();
        EXPECT_EQ(a.status, 400) << text;
        EXPECT_EQ(error(a), "the request cannot be read");
        EXPECT_TRUE(line.ends()) << text;
    }
    auto r = open_page();
    r.path += std::string(9000, 'a');
    EXPECT_EQ(ask(r).status, 414);
}

// Rules: Fetch, CSP 3, RFC 9110; one line each of OWASP's list of secure headers.
TEST_F(LiveServerGuard, EveryAnswerTellsTheBrowserToKeepToItself) {
    auto foreign = run(2);
    foreign.headers["Host"] = "example.com";
    auto nowhere = open_page();
    nowhere.path = "/nowhere";
    for (const auto& request : {open_page(), run(1), post("/study", wish(0)), post("/run", "{"), foreign, nowhere}) {
        const auto a = ask(request);
        EXPECT_EQ(a.header("x-content-type-options"), "nosniff") << request.path;
        EXPECT_EQ(a.header("referrer-policy"), "no-referrer");
        EXPECT_EQ(a.header("cache-control"), "no-store");
        EXPECT_EQ(a.header("cross-origin-resource-policy"), "same-origin");
        EXPECT_EQ(a.header("x-frame-options"), "DENY");
        const auto policy = a.header("content-security-policy");
        for (const char* part :
             {"default-src 'none'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'"})
            EXPECT_NE(policy.find(part), policy.npos) << part << " is not in: " << policy;
        EXPECT_EQ(policy.find("unsafe"), policy.npos);
        for (const auto& [name, value] : a.headers) EXPECT_FALSE(name.starts_with("access-control-")) << name;
    }
}

TEST_F(LiveServerGuard, ThePageMayRunItsOwnScriptAndTalkToItsServer) {
    const auto a = ask(open_page());
    const auto policy = a.header("content-security-policy");
    for (const char* part : {"script-src 'sha256-", "style-src 'sha256-", "connect-src 'self'", "img-src data:"})
        EXPECT_NE(policy.find(part), policy.npos) << part;
    EXPECT_EQ(a.header("content-type"), "text/html; charset=utf-8");
}

/// This machine's other IPv4 addresses.
std::vector<std::string> other_addresses() {
    std::vector<std::string> all;
    ifaddrs* first = nullptr;
    if (getifaddrs(&first) != 0) return all;
    for (auto* i = first; i; i = i->ifa_next) {
        if (!i->ifa_addr || i->ifa_addr->sa_family != AF_INET) continue;
        char text[NI_MAXHOST];
        getnameinfo(i->ifa_addr, sizeof(sockaddr_in), text, sizeof text, nullptr, 0, NI_NUMERICHOST);
        if (std::string(text) != "127.0.0.1") all.emplace_back(text);
    }
    freeifaddrs(first);
    return all;
}

TEST_F(LiveServerGuard, NoOtherAddressOfThisMachineAnswers) {
    EXPECT_TRUE(Line(port).connected());
    EXPECT_FALSE(Line(port, "127.0.0.2").connected());
    for (const auto& address : other_addresses()) EXPECT_FALSE(Line(port, address.c_str()).connected()) << address;
}

}  // namespace live_server_guard_tests
