/// TOML as a small tree that knows where each thing stands. Only toml_document.cpp sees the parser's library.
#pragma once
#include <filesystem>
#include <optional>
#include <pullcast/scenario/diagnostics.hpp>
#include <variant>

namespace pullcast {

struct Entry;
using Table = std::vector<Entry>;  // in the order of the file

struct Value {
    Place place;
    std::variant<bool, std::int64_t, double, std::string, std::vector<Value>, Table> data;

    template <class T> const T* as() const { return std::get_if<T>(&data); }
    const std::string* text() const { return as<std::string>(); }
    const Table* table() const { return as<Table>(); }
};

struct Entry {
    std::string key;
    Place place;  // of the key
    Value value;
};

/// "a string", "an integer", "a table" ...: what a value is, for messages.
const char* kind_of(const Value& v);
/// A value in TOML's notation, shortened where it is long.
std::string to_text(const Value& v);

/// A text as a TOML string on one line.
std::string toml_string(std::string_view text);

/// The file's text, or an error at `named_at`, the place that names it (at the file itself if that has no source). It
/// is kept with the diagnostics: a file is read once in a load.
Source read_source(const std::filesystem::path& file, const Place& named_at, Diagnostics& diagnostics);

/// The tree of a file, or nothing and at least one error. Numbers are finite, dates and times are refused.
std::optional<Value> parse_toml(const Source& source, Diagnostics& diagnostics);

}  // namespace pullcast
