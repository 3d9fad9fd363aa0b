#include <fmt/format.h>

#include <algorithm>
#include <pullcast/measure/repairs.hpp>

namespace pullcast::measure {
namespace {

constexpr std::size_t longest_example = 40;

/// Printable, and short.
std::string shown(std::string_view text) {
    std::string out(text.substr(0, longest_example));
    while (!out.empty() && out.size() < text.size() && (static_cast<unsigned char>(text[out.size()]) & 0xC0) == 0x80)
        out.pop_back();
    for (auto& c : out)
        if (static_cast<unsigned char>(c) < ' ' || c == 0x7F) c = ' ';
    return out.size() < text.size() ? out + "..." : out;
}

void append(std::vector<Lines>& lines, std::uint32_t line) {
    if (!lines.empty() && lines.back().last + 1 == line) lines.back().last = line;
    else if (lines.empty() || lines.back().last != line) lines.push_back({line, line});
}

}  // namespace

std::string to_text(const std::vector<Lines>& lines, std::size_t most) {
    std::string text;
    const auto n = std::min(lines.size(), most);
    for (std::size_t k = 0; k < n; ++k) {
        const auto [first, last] = lines[k];
        text += fmt::format("{}{}", k ? ", " : "", first);
        if (last > first) text += fmt::format("-{}", last);
    }
    return lines.size() > n ? text + fmt::format(" and {} more", lines.size() - n) : text;
}

Repair& Repairs::entry(const char* what, std::uint32_t column, bool left_out, std::string_view example) {
    const auto [at, fresh] = index_.try_emplace({column, what}, all_.size());
    if (fresh) all_.push_back({what, shown(example), column, left_out, 0, {}});
    auto& repair = all_[at->second];
    ++repair.count;
    return repair;
}

void Repairs::add(const char* what, std::uint32_t line, std::uint32_t column, std::string_view example) {
    append(entry(what, column, false, example).lines, line);
}

void Repairs::leave_out(const char* what, std::uint32_t line, std::string_view example) {
    append(entry(what, 0, true, example).lines, line);
    ++left_out_;
}

}  // namespace pullcast::measure
