/// Members that the documents of several pages have alike.
#pragma once
#include <nlohmann/json.hpp>
#include <pullcast/scenario/units.hpp>
#include <pullcast/study/curves.hpp>
#include <pullcast/study/figures.hpp>

namespace pullcast {

struct Study;
struct Variant;

/// What is not finite is null.
nlohmann::ordered_json exact(double v);
/// To six digits, what a plot can show and more: short in the file, since the quotient is the double nearest to the
/// short decimal.
nlohmann::ordered_json rounded(double v);

nlohmann::ordered_json figures_json();
nlohmann::ordered_json curves_json(std::span<const PullCurve> curves);
nlohmann::ordered_json charts_json(const std::vector<Chart>& charts);
nlohmann::ordered_json ledger_json(const LedgerLine& energy, const LedgerLine& gas, const LedgerLine& water,
                                   const LedgerLine& coolant);
nlohmann::ordered_json parts_json(const Variant& v);
nlohmann::ordered_json changes_json(const Variant& v);

/// What every page about a study begins with: schema, mode, program, study, and the system that it shows first.
nlohmann::ordered_json page_head(const char* mode, const Study& study, UnitSystem shown_first);

}  // namespace pullcast
