#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/procedure.hpp>

namespace pullcast {
namespace {

void check_rows(const Procedure& p, const Section& settings, Diagnostics& d) {
    constexpr double most = 1e6;
    if (p.longest / p.output_step <= most) return;
    const auto* s = settings.find("output_step");
    d.error((s ? s : settings.find("longest"))->place,
            fmt::format("{:.3g} output rows in {:g} s; at most {:g}", p.longest / p.output_step, p.longest, most),
            "a larger output_step, or a smaller longest");
}

void check_keys(const Section& settings, Diagnostics& d) {
    std::vector<const Field*> all;
    for (const auto& f : procedure_fields()) all.push_back(&f);
    for (const auto& s : settings.settings) {
        if (std::any_of(all.begin(), all.end(), [&](const Field* f) { return s.key == f->name; })) continue;
        const char* prefix = s.where == "[procedure]" ? "" : "procedure.";
        d.error(s.place, fmt::format("unknown key '{}{}' in {}", prefix, s.key, s.where), field_suggestion(s.key, all));
    }
}

}  // namespace

void Procedure::describe(Schema<Procedure>& s) {
    s.number(&Procedure::settle, "settle", "s", "time at the start speed before the pull").in(0, 3600).preset(2);
    s.number(&Procedure::stop_speed, "stop_speed", "rad/s", "crank speed that ends the pull")
        .positive()
        .preset(680.678408277789);
    s.number(&Procedure::longest, "longest", "s", "the run ends here at the latest, from the pull's start")
        .in(0.001, 36000)
        .preset(60);
    s.number(&Procedure::output_step, "output_step", "s", "time between output rows").in(1e-5, 60).preset(0.02);
    s.number(&Procedure::tolerance, "tolerance", "1", "relative tolerance of the solution")
        .in(1e-10, 1e-3)
        .preset(1e-6);
}

std::span<const Field> procedure_fields() {
    static const std::vector<Field> all = [] {
        std::vector<Field> fields;
        Schema<Procedure> schema(fields);
        Procedure::describe(schema);
        return fields;
    }();
    return all;
}

Procedure read_procedure(const Section& settings, Diagnostics& d) {
    Procedure p{};
    bool complete = true;
    for (const auto& f : procedure_fields()) {
        const auto* s = settings.find(f.name);
        const auto value = s ? bind_value(f, "procedure", *s, d) : ParameterValue(f.preset);
        if (value) *reinterpret_cast<double*>(reinterpret_cast<std::byte*>(&p) + f.offset) = std::get<double>(*value);
        else complete = false;
    }
    check_keys(settings, d);
    if (complete) check_rows(p, settings, d);
    return p;
}

double value_of(const Procedure& p, const Field& field) {
    return *reinterpret_cast<const double*>(reinterpret_cast<const std::byte*>(&p) + field.offset);
}

}  // namespace pullcast
