// The parser reaches assert() and unreachable() on some typos: the asserts are switched off, the compiler is told not
// to trap (CMakeLists.txt), and `Precheck` keeps away what would get there.
#define TOML_ASSERT(expr) static_assert(true)
#include <toml++/toml.h>

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <fstream>
#include <pullcast/scenario/toml_document.hpp>
#include <sstream>
#include <tuple>

namespace pullcast {
namespace {

constexpr std::size_t largest_file = 4u << 20;  // bytes
constexpr int deepest_key = 16, deepest_nesting = 16;
constexpr const char* quote_hint = "put values with units in quotes: \"31 degC\"";

/// Walks the text once, aware of strings and comments only.
class Precheck {
public:
    Precheck(const Source& source, Diagnostics& diagnostics)
        : source_(source), diagnostics_(diagnostics), text_(source->text) {}

    bool passes() {
        if (text_.size() > largest_file) return fail("the file is larger than 4 MiB");
        if (text_.substr(0, 3) == "\xEF\xBB\xBF") at_ = 3;
        while (ok_ && at_ < text_.size()) step();
        return ok_;
    }

private:
    void step() {
        const char c = text_[at_];
        if (c == '\n')
            ++line_, line_start_ = at_ + 1, dots_ = 0, ++at_;
        else if (c == '#')
            at_ = std::min(text_.find('\n', at_), text_.size());
        else if (c == '"' || c == '\'')
            skip_string(c);
        else
            plain(c), ++at_;
    }
    void plain(char c) {
        if (static_cast<unsigned char>(c) >= 0x80)
            fail("a character outside quotes that is not plain ASCII", quote_hint);
        if (c == '.' && ++dots_ >= deepest_key) fail(fmt::format("more than {} dots in a line", deepest_key - 1));
        if ((c == '[' || c == '{') && ++nesting_ > deepest_nesting)
            fail(fmt::format("brackets nested deeper than {}", deepest_nesting));
        if ((c == ']' || c == '}') && nesting_ > 0) --nesting_;
        if (c == '=' || c == ',') dots_ = 0;
    }
    void skip_string(char quote) {
        const std::string_view fence = text_.substr(at_, 3);
        const auto start = std::tuple(at_, line_, line_start_);
        const bool long_string = fence.size() == 3 && fence[1] == quote && fence[2] == quote;
        for (at_ += long_string ? 3 : 1; at_ < text_.size(); ++at_) {
            if (text_[at_] == '\n') {
                if (!long_string) break;
                ++line_, line_start_ = at_ + 1;
            } else if (text_[at_] == '\\' && quote == '"') {
                if (at_ + 1 < text_.size() && text_[at_ + 1] != '\n') ++at_;
            } else if (text_[at_] == quote && (!long_string || text_.substr(at_, 3) == fence)) {
                at_ += long_string ? 3 : 1;
                return;
            }
        }
        std::tie(at_, line_, line_start_) = start;
        fail("this quote is not closed");
    }
    bool fail(std::string message, std::string hint = {}) {
        if (!ok_) return false;
        auto column = 1u;
        for (std::size_t i = line_start_; i < at_; ++i)
            column += (static_cast<unsigned char>(text_[i]) & 0xC0) != 0x80;
        diagnostics_.error({source_, at_ ? line_ : 0, column, 1}, std::move(message), std::move(hint));
        return ok_ = false;
    }

    const Source& source_;
    Diagnostics& diagnostics_;
    std::string_view text_;
    std::size_t at_ = 0, line_start_ = 0;
    std::uint32_t line_ = 1;
    int dots_ = 0, nesting_ = 0;
    bool ok_ = true;
};

class Converter {
public:
    Converter(const Source& source, Diagnostics& diagnostics) : source_(source), diagnostics_(diagnostics) {}

    Value convert(const toml::node& n) const {
        Value v{place(n.source()), false};
        if (const auto* t = n.as_table()) v.data = table(*t);
        else if (const auto* a = n.as_array()) v.data = array(*a);
        else if (const auto* s = n.as_string()) v.data = s->get();
        else if (const auto* i = n.as_integer()) v.data = i->get();
        else if (const auto* b = n.as_boolean()) v.data = b->get();
        else if (const auto* f = n.as_floating_point()) v.data = finite(f->get(), v.place);
        else diagnostics_.error(v.place, "dates and times are not used here", "put it in quotes if it is a text");
        return v;
    }

private:
    Place place(const toml::source_region& r) const {
        const bool one_line = r.begin.line == r.end.line && r.end.column > r.begin.column;
        return {source_, r.begin.line, r.begin.column, one_line ? r.end.column - r.begin.column : 1};
    }
    Table table(const toml::table& t) const {
        Table out;
        for (const auto& [key, node] : t) out.push_back({std::string(key.str()), place(key.source()), convert(node)});
        std::stable_sort(out.begin(), out.end(), [](const Entry& a, const Entry& b) {
            return std::pair(a.place.line, a.place.column) < std::pair(b.place.line, b.place.column);
        });
        return out;
    }
    std::vector<Value> array(const toml::array& a) const {
        std::vector<Value> out;
        for (const auto& node : a) out.push_back(convert(node));
        return out;
    }
    double finite(double x, const Place& at) const {
        if (std::isfinite(x)) return x;
        diagnostics_.error(at, fmt::format("{} is not a number to work with", x));
        return 0;
    }

    const Source& source_;
    Diagnostics& diagnostics_;
};

/// "volume = 3 L": a number followed by letters, not in quotes.
bool looks_like_unquoted_unit(std::string_view line) {
    auto at = line.find('=');
    if (at == line.npos) return false;
    const auto skip = [&](std::string_view set) { at = std::min(line.find_first_not_of(set, at), line.size()); };
    skip("= \t[");
    const auto number = at;
    skip("+-.0123456789eE");
    if (at == number) return false;
    skip(" \t");
    return at < line.size() && (std::isalpha(static_cast<unsigned char>(line[at])) || line[at] == '%');
}

/// The parser's message without its "Error while parsing ...: ".
std::string what_failed(std::string_view message) {
    const auto colon = message.starts_with("Error while parsing") ? message.find(": ") : message.npos;
    return std::string(colon == message.npos ? message : message.substr(colon + 2));
}

std::string join(std::vector<std::string> parts, const char* open, const char* close) {
    if (parts.size() > 6) parts.resize(5), parts.emplace_back("...");
    return fmt::format("{}{}{}", open, fmt::join(parts, ", "), close);
}

}  // namespace

const char* kind_of(const Value& v) {
    static constexpr const char* names[] = {"a boolean", "an integer", "a decimal number",
                                            "a string",  "an array",   "a table"};
    return names[v.data.index()];
}

std::string to_text(const Value& v) {
    if (const auto* b = v.as<bool>()) return *b ? "true" : "false";
    if (const auto* i = v.as<std::int64_t>()) return fmt::format("{}", *i);
    if (const auto* f = v.as<double>()) return fmt::format("{}", *f);
    if (const auto* s = v.text()) return fmt::format("\"{}\"", s->size() > 60 ? s->substr(0, 57) + "..." : *s);
    std::vector<std::string> parts;
    if (const auto* a = v.as<std::vector<Value>>()) {
        for (const auto& x : *a) parts.push_back(to_text(x));
        return join(std::move(parts), "[", "]");
    }
    for (const auto& e : *v.table()) parts.push_back(e.key + " = " + to_text(e.value));
    return join(std::move(parts), "{", "}");
}

std::string toml_string(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        if (c == '"' || c == '\\') out += '\\', out += c;
        else if (code < ' ' || code == 0x7f) out += fmt::format("\\u{:04X}", code);
        else out += c;
    }
    return out + '"';
}

Source read_source(const std::filesystem::path& file, const Place& named_at, Diagnostics& diagnostics) {
    auto source = std::make_shared<SourceFile>();
    source->name = file.lexically_normal().string();
    if (auto known = diagnostics.kept(source->name)) return known;
    const Place at = named_at.source ? named_at : Place{source};
    // Named by another file: the message names it. Named by the user: it stands before the message.
    const auto fail = [&](const char* what, const char* which) {
        diagnostics.error(at, named_at.source ? fmt::format(fmt::runtime(which), source->name) : what);
        return nullptr;
    };
    std::error_code failure;
    if (!std::filesystem::exists(file, failure)) return fail("no such file", "no such file: {}");
    if (std::filesystem::is_directory(file, failure))
        return fail("is a folder, not a file", "{} is a folder, not a file");
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    if (!std::filesystem::is_regular_file(file, failure) || !in || !(in.peek() == EOF || text << in.rdbuf()))
        return fail("cannot be read", "cannot read {}");
    source->text = std::move(text).str();
    diagnostics.keep(source);
    return source;
}

std::optional<Value> parse_toml(const Source& source, Diagnostics& diagnostics) {
    if (!Precheck(source, diagnostics).passes()) return {};
    const auto before = diagnostics.all().size();
    try {
        const toml::table tree = toml::parse(std::string_view(source->text), std::string_view(source->name));
        auto root = Converter(source, diagnostics).convert(tree);
        root.place = {source};
        if (diagnostics.all().size() > before) return {};
        return root;
    } catch (const toml::parse_error& e) {
        const auto at = e.source().begin;
        const bool unit = looks_like_unquoted_unit(source->line(at.line));
        diagnostics.error({source, at.line, at.column, 1}, "not valid TOML: " + what_failed(e.description()),
                          unit ? quote_hint : "");
    }
    return {};
}

}  // namespace pullcast
