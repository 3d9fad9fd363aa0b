/// A measured pull made ready for a fit: its readings averaged over bins of crank speed, beside the channels of a rig,
/// and the conditions that its log tells.
///
/// Bins. The crank's readings in the pull are made rising (isotonic regression, which keeps their mean) and their range
/// is cut into `most_bins` equal bins; of each, the mean speed and the mean of the channel's usable readings count.
/// Readings before `boost_settles` (study/figures.hpp) and below the rig's own start speed are left out: how the
/// throttle opened is not known.
#pragma once
#include <memory>
#include <pullcast/measure/measured_log.hpp>
#include <pullcast/network/network.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast::measure {

inline constexpr std::size_t most_bins = 40;

/// A channel that logs and rigs both have.
struct ComparedChannel {
    const char *kind, *label, *quantity;  // name of the channel kind; for people; what chooses its unit
    int decimals;
    bool fitted;              // false: an input of the rig, which is only compared
    const char *role, *item;  // where the rig has it; role "manifold": the gas that the engine draws from
};
std::span<const ComparedChannel> compared_channels();
/// Its name in a rig, or nothing where the rig lacks it.
std::optional<std::string> channel_in(const Network& network, const ComparedChannel& channel);

struct BinnedChannel {
    const ComparedChannel* what = nullptr;
    const ChannelKind* kind = nullptr;
    std::string channel;               // in the rig
    std::vector<double> speed, value;  // by bin: rad/s, SI
    Accuracy accuracy;                 // of the sensor
};

/// Ambient state and readings when the pull began; NaN where the log does not know.
struct Condition {
    const char *label, *kind;
    bool at_start;         // else: mean over the pull
    const char* quantity;  // what chooses its unit
    int decimals;
    const char*
        key;  // of the ambient component, which takes it from the log; or the shared value that a rig starts from
};
std::span<const Condition> conditions();
/// What a variant has instead; NaN where it has no such thing.
double condition_of(const Variant& variant, const Condition& condition);

struct LoggedPull {
    std::string name, title, of;  // of: the variant's name
    StudyPull::File log;
    Variant variant;  // with the ambient state that the log tells
    std::shared_ptr<const MeasuredLog> readings;
    Pull range;
    std::vector<BinnedChannel> channels;  // in the order of compared_channels()
    std::vector<double> conditions;       // in the order of conditions(), SI

    const BinnedChannel* find(std::string_view kind) const;
    double condition(std::string_view kind) const;
    Lines lines() const { return readings->lines(range.first, range.last); }
};

/// Reads the logs of a study's pulls, each once; channels named in `without` are left aside. What is wrong goes to the
/// diagnostics. Throws ScenarioError where a pull's rig cannot be compiled.
std::vector<LoggedPull> load_pulls(const Study& study, const std::vector<std::string>& without,
                                   Diagnostics& diagnostics);

}  // namespace pullcast::measure
