/// Errors of a user's files: where, what, which value and which limit, and what to try. All errors of a load are
/// collected and told at once:
///
///     rigs/v6.toml:41:10: error: manifold.volume = "-3 L" must be greater than 0 (inner volume)
///        41 | volume = "-3 L"
///           |          ^^^^^^ a hint, where there is one
#pragma once
#include <cstdint>
#include <memory>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace pullcast {

/// A text file as it was read, kept for the lines that diagnostics quote.
struct SourceFile {
    std::string name;  // path as the user would type it
    std::string text;
    std::string_view line(std::uint32_t number) const;  // from 1; without its line break; "" beyond the end
};
using Source = std::shared_ptr<const SourceFile>;

/// A run of characters in a file. Line and column count from 1, columns in characters; line 0 means the whole file.
struct Place {
    Source source;
    std::uint32_t line = 0, column = 0, length = 0;
};

enum class Severity : std::uint8_t { error, warning, note };

struct Diagnostic {
    Severity severity = Severity::error;
    Place place;
    std::string message, hint;
    std::vector<Diagnostic> notes;  // further places that belong to it: the other side of a conflict
};

/// A diagnostic as text, every line ended by '\n'.
std::string render(const Diagnostic& d, bool colour = false);
/// Sorted by file and line; files in the order of their names.
std::string render(const std::vector<Diagnostic>& all, bool colour = false);

/// The load failed. what() is the plain text of all diagnostics.
class ScenarioError : public std::runtime_error {
public:
    explicit ScenarioError(std::vector<Diagnostic> all);
    ScenarioError(const Place& at, std::string message, std::string hint);  // one error
    const std::vector<Diagnostic>& diagnostics() const { return all_; }

private:
    std::vector<Diagnostic> all_;
};

/// Collects what a load finds: its diagnostics, and the files that it read, each once. A repetition (the same fault met
/// by several variants) is kept once.
class Diagnostics {
public:
    Diagnostic& error(const Place& at, std::string message, std::string hint = {});
    Diagnostic& warning(const Place& at, std::string message, std::string hint = {});
    bool failed() const { return failed_; }
    const std::vector<Diagnostic>& all() const { return all_; }
    void throw_if_failed() const;  // ScenarioError with the errors; warnings wait until there are none

    void keep(Source file) { files_.push_back(std::move(file)); }
    Source kept(std::string_view name) const;                    // null if no file of that name was read
    const std::vector<Source>& files() const { return files_; }  // in the order of reading

private:
    Diagnostic& add(Severity severity, const Place& at, std::string message, std::string hint);
    std::vector<Diagnostic> all_;
    std::vector<Source> files_;
    bool failed_ = false;
};

}  // namespace pullcast
