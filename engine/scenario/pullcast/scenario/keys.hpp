/// Reads the fixed keys of a TOML table: each key is taken by name and type, and what is left over is an error.
#pragma once
#include <pullcast/scenario/toml_document.hpp>
#include <set>

namespace pullcast {

/// "did you mean 'x'?", or "one of: a, b, c" where no candidate is near, or "" where there are no candidates.
std::string suggestion(std::string_view name, const std::vector<std::string>& candidates);

class Keys {
public:
    /// `where` names the table in messages: "[variant.small]", "this file".
    Keys(const Value& table, std::string where, Diagnostics& diagnostics);

    const Entry* find(const std::string& key);      // any type
    const Entry* text(const std::string& key);      // a string; a wrong type is an error and counts as absent
    const Entry* table(const std::string& key);
    std::string text_or(const std::string& key, std::string otherwise = {});
    const Entry* required_text(const std::string& key, const char* doc);

    /// Every key that nobody asked for is an error. `hint` is told where no key is near to it.
    void finish(const char* hint = nullptr);

private:
    template <class T> const Entry* typed(const std::string& key, const char* wanted);

    const Value& value_;
    std::string where_;
    Diagnostics& diagnostics_;
    std::set<std::string> asked_;
};

}  // namespace pullcast
