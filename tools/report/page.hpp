/// The page that people look at: results as the JSON document that tools/page draws, and the one HTML file that holds
/// document, script and style. The document's type is `Page` in tools/page/src/data.ts.
#pragma once
#include <nlohmann/json_fwd.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/study_run.hpp>
#include <string>
#include <string_view>

namespace pullcast {

/// The document of a report. `shown_first`: the units that the page starts with (SI counts as metric).
nlohmann::ordered_json page_json(const Study& study, const std::vector<VariantResult>& results, UnitSystem shown_first);

/// How much of a pull stands in the document.
struct PageDetail {
    std::size_t instants = 41;  // at which heat flows and the values on the rig's drawing are kept; at least 2
    std::size_t every = 1;      // of the report points, for the curves; the last one always stands
};

/// One variant of it. Its rig is appended to `rigs` unless the same is there already.
nlohmann::ordered_json variant_json(const Study& study, const std::vector<VariantResult>& results, std::size_t variant,
                                    nlohmann::ordered_json& rigs, const PageDetail& detail = {});

/// "Pa|boost": how the document names what a number is shown in. `difference_key` is that of a difference of two.
std::string unit_key(std::string_view unit, std::string_view quantity);
std::string difference_key(std::string_view unit, std::string_view quantity);

/// Adds to `units` what every "unit|quantity" that stands anywhere in `part` is shown in.
void add_units(const nlohmann::ordered_json& part, nlohmann::ordered_json& units);

/// A file that opens from disk, needs no network and no other file. `plain_text` is what readers without script get.
std::string page_html(const nlohmann::ordered_json& page, const std::string& title, const std::string& plain_text);

/// The report of a study.
std::string report_html(const Study& study, const std::vector<VariantResult>& results, UnitSystem shown_first);

}  // namespace pullcast
