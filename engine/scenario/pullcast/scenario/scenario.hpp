/// Scenarios as the engine runs them: a study with its variants, each a validated rig in SI. Read from a study file
///
///     title = "Two pulleys on a hot day"                 (optional: title, note)
///     question = "same pulley, larger core?"
///     rig = "../rigs/v6.toml"
///     base = "as-is"                                      the variant that others are compared with; first if left out
///     [conditions]                                        changes to every variant
///     "ambient.temperature" = "31 degC"
///     "common.glycol" = "40 %"
///     [procedure]
///     stop_speed = "6400 rpm"
///     [variant.as-is]
///     title = "75 mm pulley"
///     [variant.small.set]                                 changes to this variant: "component.key", "component.model",
///     "drive.parts.pulley" = "pulley-68"                     "component.parts.slot", "procedure.key"; quoted or nested
///     [variant.cool]
///     like = "small"                                      that variant's changes first, then its own
///     [variant.cool.set]
///     "procedure.settle" = "60 s"
///     [knob.ambient]                                      what is meant to be turned (knobs.hpp)
///     sets = "ambient.temperature"
///     from = "5 degC"
///     to = "40 degC"
///     [pull.spring-1]                                     a measured pull of a variant (optional: title, mapping,
///     variant = "as-is"                                      number); read and used by engine/measure
///     log = "../logs/spring.csv"
///     [pull.spring-1.set]                                 what else was different that day
///     "common.parts.fuel" = "pump-95"
///     [reference]                                         changes that bring every variant to the same conditions
///     "ambient.temperature" = "22 degC"
///     [fit.NAME], [match]                                 see engine/measure
///     [choose], [buy.NAME], [meet.NAME], [wish.NAME]      see engine/choose
///     [session], [step.NAME]                              a day of steps: see session_reader.hpp
///     [predict.NAME]                                      a question to answer before it is run: see predict_reader.hpp
///     [[turned]]                                          what was turned on top of all that: see turned_tables.hpp
///
/// or from a rig file alone (rig_file.hpp), which makes one variant.
#pragma once
#include <map>
#include <optional>
#include <pullcast/network/registry.hpp>
#include <pullcast/network/rig.hpp>
#include <pullcast/scenario/diagnostics.hpp>
#include <pullcast/scenario/knobs.hpp>
#include <pullcast/scenario/toml_document.hpp>

namespace pullcast {

struct Price {
    double amount = 0;
    std::string currency;  // "EUR"
};
std::string show_price(const Price& price);  ///< "390 EUR", "1.25 EUR"

/// A part as a variant uses it.
struct PartUse {
    std::string slot, component, name, file;  // component "common": a part of the shared values, such as a fuel
    std::optional<Price> price;
};

/// One change of a study. Texts as in the files; `before` is empty where the rig itself says nothing.
struct Change {
    std::string path, before, after;
    bool everywhere = false;  // stands in [conditions]
};

/// How a pull is run. The clock starts at pull_start - settle.
struct Procedure {
    double settle, stop_speed, longest, output_step, tolerance;
    static void describe(Schema<Procedure>& s);
};

struct Variant {
    std::string name, title;
    RigSpec rig;
    Procedure procedure{};
    std::vector<PartUse> parts;
    std::vector<Change> changes;
    std::map<std::string, double> common;  // shared values, SI
    std::map<std::string, Place> places;   // "manifold", "manifold.volume": where a component or a value of it stands
};

/// A measured pull, as [pull.NAME] tells it.
struct StudyPull {
    struct File {
        std::filesystem::path path;  // as it is reached; "": none
        Place place;
    };
    Variant variant;  // what was on the car, under this pull's own changes; name and title are the pull's
    std::string of;   // name of the variant that was on the car
    File log, mapping;
    std::size_t number = 0;  // which pull of the log, from 1; 0: the only one
    Place place, number_place;
};

/// What ends a step of a session: a channel ("sensor.reading") that passes a value, SI.
struct StepEnd {
    std::string channel;
    bool below;  // else above
    double value;
    Place place;
};

/// Steps of a session, as session_reader.hpp describes them.
struct SessionStep {
    enum class Kind { pull, held, idle };
    std::string name, title;
    Kind kind;
    double longest, report_step;  // s
    std::optional<StepEnd> until;
    std::vector<Variant> variants;  // those of the study under this step's settings
    Place place;
    std::optional<Entry> set{};  // these settings, as they stand
};
struct SessionTurn {
    std::vector<std::size_t> steps;
    std::size_t times = 1;
    std::optional<StepEnd> until;  // looked at after each time
};
struct Session {
    std::vector<SessionStep> steps;
    std::vector<SessionTurn> turns;
};

/// A figure of one pull of a session, as a question names it.
struct FigureOfPull {
    std::string figure;    // a key; which there are, engine/study knows (questions.hpp)
    std::size_t variant = 0;
    std::size_t pull = 1;  // from 1; 0: the last one
    Place place;           // of the key
};
/// What is to be answered before the session is run, as predict_reader.hpp describes it.
struct Question {
    std::string name, text;
    FigureOfPull of;
    std::optional<FigureOfPull> minus;  // then the answer is a difference
    std::optional<Entry> alike_within;  // a smaller difference is none
    Place place;
};

struct Study {
    std::string title, note, question, base, file;
    Procedure procedure{};            // of [procedure]; what each variant changes of it stands there
    std::vector<Variant> variants;    // in the order of the file
    std::vector<Knob> knobs;          // in the order of the file
    std::vector<StudyPull> pulls;     // in the order of the file
    std::vector<Variant> reference;   // the variants under [reference], in their order; empty without one
    std::optional<Session> session;
    std::vector<Question> questions;  // in the order of the file
    std::optional<Value> fit, match;  // tables for engine/measure, as they stand
    std::optional<Value> choose, buy, meet, wish;          // tables for engine/choose
    std::shared_ptr<const struct UnboundVariants> unbound;  // for a VariantMaker; null of a rig alone
    std::vector<std::string> notes;   // warnings of the load, rendered
    Source source;                    // the study file; of a rig alone, a small study that says the same
    std::vector<Source> files;        // all that were read, in the order of reading
    std::string hash;                 // of them (content_hash.hpp)
};

/// Reads a study file or a rig file. Throws ScenarioError with everything that is wrong in any of the files.
Study read_study(const std::filesystem::path& file, const Registry& registry);

/// The same of a text that stands at `text->name`, from whose folder paths start. With `only`, that variant alone is
/// bound, and is the base; the others, the knobs and the measured pulls, which a load of the whole study checks, are
/// left out.
Study read_study(const Source& text, const Registry& registry, const std::string& only = {});

/// What the network compiler found, with places in the variant's files.
ScenarioError locate(const RigError& error, const Variant& variant);

}  // namespace pullcast
