#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <pullcast/scenario/diagnostics.hpp>
#include <tuple>

namespace pullcast {
namespace {

constexpr std::size_t widest_quote = 120;  // characters of a source line that are shown

/// Byte offsets at which the characters of UTF-8 text start, and its length as the last one.
std::vector<std::size_t> character_starts(std::string_view text) {
    std::vector<std::size_t> starts;
    for (std::size_t i = 0; i < text.size(); ++i)
        if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) starts.push_back(i);
    starts.push_back(text.size());
    return starts;
}

/// The quoted line, cut to the characters around `column` if it is long, and the column within the cut.
struct Quote {
    std::string text;
    std::size_t column, room;  // characters from the column to the end of the text
};
Quote quote(std::string_view line, std::size_t column) {
    const auto starts = character_starts(line);
    const std::size_t n = starts.size() - 1, at = std::min(column, n);
    const std::size_t first = n > widest_quote && at > widest_quote / 2 ? at - widest_quote / 2 : 0;
    const std::size_t last = std::min(n, first + widest_quote);
    std::string text(line.substr(starts[first], starts[last] - starts[first]));
    for (char& c : text)
        if (static_cast<unsigned char>(c) < ' ' || c == 0x7F) c = ' ';
    const std::size_t front = first > 0 ? 4 : 0;
    if (front) text = "... " + text;
    if (last < n) text += " ...";
    return {text, at - first + front, last - at};
}

struct Style {
    const char *strong, *mark, *end;
};
Style style(Severity s, bool colour) {
    if (!colour) return {"", "", ""};
    return {"\x1b[1m",
            s == Severity::error     ? "\x1b[1;31m"
            : s == Severity::warning ? "\x1b[1;33m"
                                     : "\x1b[1;36m",
            "\x1b[0m"};
}

std::string headline(const Diagnostic& d, const Style& s) {
    static constexpr const char* words[] = {"error", "warning", "note"};
    std::string place = d.place.source ? d.place.source->name : "";
    if (d.place.line) place += fmt::format(":{}:{}", d.place.line, d.place.column);
    if (!place.empty()) place += ": ";
    return fmt::format("{}{}{}{}{}:{} {}\n", s.strong, place, s.end, s.mark, words[static_cast<int>(d.severity)], s.end,
                       d.message);
}

std::string excerpt(const Diagnostic& d, const Style& s) {
    const auto& p = d.place;
    const auto q = quote(p.source->line(p.line), p.column ? p.column - 1 : 0);
    const std::size_t run = std::clamp<std::size_t>(p.length, 1, std::max<std::size_t>(q.room, 1));
    const std::string hint = d.hint.empty() ? "" : " " + d.hint;
    return fmt::format("{:>5} | {}\n      | {:{}}{}{}{}{}\n", p.line, q.text, "", q.column, s.mark,
                       std::string(run, '^'), s.end, hint);
}

bool same(const Diagnostic& a, const Diagnostic& b) {
    const auto file = [](const Diagnostic& d) { return d.place.source ? std::string_view(d.place.source->name) : ""; };
    return file(a) == file(b) && a.place.line == b.place.line && a.place.column == b.place.column &&
           a.message == b.message;
}

}  // namespace

std::string_view SourceFile::line(std::uint32_t number) const {
    std::string_view rest = text;
    for (; number > 1; --number) {
        const auto end = rest.find('\n');
        if (end == rest.npos) return {};
        rest.remove_prefix(end + 1);
    }
    rest = rest.substr(0, rest.find('\n'));
    if (!rest.empty() && rest.back() == '\r') rest.remove_suffix(1);
    return rest;
}

std::string render(const Diagnostic& d, bool colour) {
    const auto s = style(d.severity, colour);
    std::string text = headline(d, s);
    if (d.place.source && d.place.line)
        text += excerpt(d, s);
    else if (!d.hint.empty())
        text += fmt::format("      {}\n", d.hint);
    for (const auto& note : d.notes) text += render(note, colour);
    return text;
}

std::string render(const std::vector<Diagnostic>& all, bool colour) {
    std::vector<const Diagnostic*> sorted;
    for (const auto& d : all) sorted.push_back(&d);
    const auto key = [](const Diagnostic* d) {
        return std::tuple(d->place.source ? std::string_view(d->place.source->name) : "", d->place.line,
                          d->place.column);
    };
    std::stable_sort(sorted.begin(), sorted.end(), [&](auto a, auto b) { return key(a) < key(b); });
    std::string text;
    for (const auto* d : sorted) text += render(*d, colour);
    return text;
}

ScenarioError::ScenarioError(std::vector<Diagnostic> all) : std::runtime_error(render(all)), all_(std::move(all)) {}

ScenarioError::ScenarioError(const Place& at, std::string message, std::string hint)
    : ScenarioError(std::vector<Diagnostic>{{Severity::error, at, std::move(message), std::move(hint), {}}}) {}

Diagnostic& Diagnostics::error(const Place& at, std::string message, std::string hint) {
    failed_ = true;
    return add(Severity::error, at, std::move(message), std::move(hint));
}

Source Diagnostics::kept(std::string_view name) const {
    const auto at = std::find_if(files_.begin(), files_.end(), [&](const Source& f) { return f->name == name; });
    return at == files_.end() ? nullptr : *at;
}

Diagnostic& Diagnostics::warning(const Place& at, std::string message, std::string hint) {
    return add(Severity::warning, at, std::move(message), std::move(hint));
}

Diagnostic& Diagnostics::add(Severity severity, const Place& at, std::string message, std::string hint) {
    Diagnostic d{severity, at, std::move(message), std::move(hint), {}};
    for (auto& known : all_)
        if (same(known, d)) return known.notes.clear(), known;
    return all_.emplace_back(std::move(d));
}

void Diagnostics::throw_if_failed() const {
    if (!failed_) return;
    std::vector<Diagnostic> errors;
    std::copy_if(all_.begin(), all_.end(), std::back_inserter(errors),
                 [](const auto& d) { return d.severity == Severity::error; });
    throw ScenarioError(std::move(errors));
}

}  // namespace pullcast
