/// The results folder of a study: summary.json (SI, schema-versioned), notes.txt, one CSV a variant, and what
/// the caller adds, such as a report.
#pragma once
#include <filesystem>
#include <functional>
#include <map>
#include <pullcast/study/words.hpp>

namespace pullcast {

inline constexpr const char* summary_schema = "pullcast.study";
/// Goes up when a member goes or changes its meaning. New members, like new figures, do not raise it.
inline constexpr int summary_schema_version = 1;

/// What makes a folder that of an explanation (explain_words.hpp), as summary.json makes one that of results.
inline constexpr const char* explanation_file = "explain.json";
inline constexpr const char* measured_file = "measured.json";  // that of measured pulls
inline constexpr const char* session_file = "session.json";    // that of a session
inline constexpr const char* choice_file = "choice.json";      // that of a choice of parts

/// One line: which path, and why it cannot be written.
struct OutputError : std::runtime_error {
    using std::runtime_error::runtime_error;
};

/// Throws OutputError if the folder cannot be made there, or if something is there that may not be replaced: anything
/// at all, or, with `replace`, anything but an empty folder or earlier results. Makes nothing.
void check_destination(const std::filesystem::path& folder, bool replace);

/// Takes the name of a file and its text.
using FileWriter = std::function<void(const std::string&, const std::string&)>;
/// Lets `fill` write files into a hidden folder beside the destination and renames it at the end, so that all are there
/// or none. The next run to the same destination clears away what a killed one left.
void write_folder(const std::filesystem::path& folder, bool replace,
                  const std::function<void(const FileWriter&)>& fill);

/// The results of a study, and `further` texts by file name.
void write_results(const Study& study, const std::vector<VariantResult>& results, const std::filesystem::path& folder,
                   UnitSystem system, bool replace, const std::map<std::string, std::string>& further = {});

/// The summary as JSON text.
std::string summary_json(const Study& study, const std::vector<VariantResult>& results);
/// The notes as plain text: figures, what changed, warnings, corrections, models, cautions.
std::string notes_text(const Study& study, const std::vector<VariantResult>& results, UnitSystem system);
/// All channels of one pull over time.
std::string channels_csv(const VariantResult& result, UnitSystem system);

}  // namespace pullcast
