#include <pullcast/measure/measured_study.hpp>
#include <pullcast/scenario/content_hash.hpp>

namespace pullcast::measure {
namespace {

Source as_source(const std::string& text) { return std::make_shared<const SourceFile>(SourceFile{"", text}); }

std::string hash_of(const Study& study, const std::vector<LoggedPull>& pulls) {
    std::vector<Source> all{as_source(study.hash)};
    for (const auto& p : pulls) all.push_back(p.readings->table.source);
    return content_hash(all);
}

}  // namespace

MeasuredStudy read_measured_study(const std::filesystem::path& file, const Registry& registry,
                                  const std::vector<std::string>& without) {
    MeasuredStudy m{read_study(file, registry), {}, {}, {}};
    Diagnostics d;
    d.keep(m.study.source);
    if (m.study.pulls.empty())
        d.error({m.study.source}, "no measured pulls", "[pull.NAME] names a variant and the log of its pull");
    m.choices = read_fit_choices(m.study, d);
    m.match = read_match_choices(m.study, d);
    if (!d.failed()) m.pulls = load_pulls(m.study, without, d);
    d.throw_if_failed();
    for (const auto& w : d.all()) m.study.notes.push_back(render(w));
    m.study.hash = hash_of(m.study, m.pulls);
    return m;
}

}  // namespace pullcast::measure
