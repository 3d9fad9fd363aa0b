// From a file to lines of text.
#include <fmt/format.h>

#include <algorithm>
#include <pullcast/scenario/toml_document.hpp>

#include "log_form.hpp"

namespace pullcast::measure {
namespace {

constexpr std::size_t longest_line = 1u << 20;
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

const char* other_encoding(std::string_view text) {
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF")) return "is UTF-16 text";
    const auto last = text.find_last_not_of('\0');
    if (text.substr(0, std::min<std::size_t>(4096, last)).find('\0') != text.npos)
        return "is no text file: there are NUL bytes in its first 4096";
    return nullptr;
}

/// Zeros at the end of the text, as a logger leaves them that lost its power.
std::string_view without_zeros(std::string_view text, Repairs& repairs) {
    const auto last = text.find_last_not_of('\0');
    const auto kept = last == text.npos ? 0 : last + 1;
    if (kept == text.size()) return text;
    const auto line = static_cast<std::uint32_t>(std::count(text.begin(), text.begin() + kept, '\n') + 1);
    repairs.add("NUL bytes at the end of the file: cut off", line, 0, fmt::format("{} bytes", text.size() - kept));
    return text.substr(0, kept);
}

/// The same text with line feeds, where carriage returns alone end its lines.
Source with_line_feeds(const Source& source, Repairs& repairs) {
    const auto& text = source->text;
    if (text.find('\n') != text.npos || text.find('\r') == text.npos) return source;
    auto plain = std::make_shared<SourceFile>(*source);
    std::replace(plain->text.begin(), plain->text.end(), '\r', '\n');
    repairs.add("lines ended by carriage returns alone: read as line breaks", 1);
    return plain;
}

}  // namespace

Source read_log_source(const std::filesystem::path& file, Diagnostics& diagnostics, std::uintmax_t largest) {
    std::error_code failure;
    const auto size = std::filesystem::is_regular_file(file, failure) ? std::filesystem::file_size(file, failure) : 0;
    if (failure || size <= largest) return read_source(file, {}, diagnostics);
    auto source = std::make_shared<SourceFile>();
    source->name = file.lexically_normal().string();
    diagnostics.error({source},
                      fmt::format("a log of {} MiB; at most {} MiB are read", (size >> 20) + 1, largest >> 20),
                      "cut it at the sessions");
    return nullptr;
}

std::optional<LogText> text_of(const Source& source, Repairs& repairs, Diagnostics& diagnostics) {
    if (const char* what = other_encoding(source->text)) {
        diagnostics.error({source}, what, "export the log as CSV in UTF-8");
        return {};
    }
    LogText t{with_line_feeds(source, repairs), {}, true};
    std::string_view text = t.source->text;
    if (text.starts_with(byte_order_mark)) {
        text.remove_prefix(byte_order_mark.size());
        repairs.add("byte-order mark at the start of the file: passed over", 1);
    }
    text = without_zeros(text, repairs);
    t.ends_with_break = text.ends_with('\n');
    t.lines = lines_of(text);
    const auto longest =
        std::max_element(t.lines.begin(), t.lines.end(), [](auto a, auto b) { return a.size() < b.size(); });
    if (longest != t.lines.end() && longest->size() > longest_line) {
        const auto number = static_cast<std::uint32_t>(longest - t.lines.begin() + 1);
        diagnostics.error({t.source, number, 1, 1},
                          fmt::format("a line of {} bytes; at most {} are read", longest->size(), longest_line));
        return {};
    }
    if (std::all_of(t.lines.begin(), t.lines.end(), is_blank)) {
        diagnostics.error({source}, "is empty", "a log needs a header and rows of numbers");
        return {};
    }
    return t;
}

}  // namespace pullcast::measure
