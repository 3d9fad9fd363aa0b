#include "conformance_subject.hpp"

#include <pullcast/media/coolant.hpp>
#include <pullcast/media/moist_air.hpp>

#include "conformance_values.hpp"

namespace pullcast::test {
namespace {

const media::CoolantMix& subject_coolant() {
    static const media::CoolantMix mix = media::coolant(subject_glycol);
    return mix;
}

std::vector<std::string> choices_of(const Field& f) {
    std::vector<std::string> all;
    for (std::string_view rest = f.choices; !rest.empty();) {
        const auto bar = rest.find('|');
        all.emplace_back(rest.substr(0, bar));
        rest = bar == std::string_view::npos ? "" : rest.substr(bar + 1);
    }
    return all;
}

[[noreturn]] void ask_author(const ComponentType& type, const std::string& name, const std::string& what) {
    throw std::runtime_error(std::string(type.name) + ": '" + name + "' has no preset and the suite no " + what +
                             " for it: add a row to tests/component/conformance_values.cpp");
}

void give(Bench& b, const std::string& name) {
    const ComponentType& type = b.type();
    for (const Field& f : b.fields()) {
        if (f.name != name || f.kind > Kind::map) continue;
        if (f.kind == Kind::choice) return;  // set by the variant
        if (f.kind == Kind::curve) {
            const auto* row = find_row(conformance_curves, type.name, name);
            row ? b.set_curve(name, row->x, row->y) : (ask_author(type, name, "curve"), b);
        } else if (f.kind == Kind::map) {
            const auto* row = find_row(conformance_maps, type.name, name);
            row ? b.set_map(name, row->x, row->y, row->values) : (ask_author(type, name, "map"), b);
        } else {
            const auto* row = find_row(conformance_numbers, type.name, name);
            row ? b.set(name, row->value) : (ask_author(type, name, "value"), b);
        }
        return;
    }
}

std::string chosen(const Field& f, int variant) {
    const auto all = choices_of(f);
    return all[static_cast<std::size_t>(variant / 2) % all.size()];
}

/// Whether a variant's choices need this optional end.
bool needs(const ComponentType& type, int variant, std::string_view end) {
    for (std::uint32_t i = 0; i < type.field_count; ++i)
        for (const NeedRow& row : conformance_needs)
            if (const Field& f = type.fields[i];
                f.kind == Kind::choice && row.parameter == f.name && row.end == end && row.choice == chosen(f, variant))
                return true;
    return false;
}

/// A state's random value. Flows and speeds run either way; what else starts at zero lies between 0 and nominal.
double drawn_state(const Field& f, double start, Random& r, Regime regime) {
    const bool is_flow = std::string_view(f.unit) == "kg/s" || std::string_view(f.unit) == "m^3/s";
    const bool is_speed = std::string_view(f.unit) == "rad/s";
    double x = std::fabs(start) < 1e-3 * f.preset ? r.between(0, 1) * f.preset : start * r.between(0.9, 1.1);
    if (is_flow || is_speed) {
        x = r.between(-1, 1) * std::max(f.preset, 1.5 * std::fabs(start));
        if (regime == Regime::near_rest) x *= 1e-6;
        if (regime == Regime::at_rest) x = 0;
    }
    return std::clamp(x, f.lo, f.hi);
}

double drawn_signal(const Bench& b, const std::string& name, Random& r) {
    for (const auto& row : conformance_signals)
        if (row.name == name) return r.between(row.lo, row.hi);
    ask_author(b.type(), name, "range of the signal");
}

/// Potentials of one attached node. At and near rest all pressures are (nearly) 1 bar and all speeds (nearly) zero.
void draw_potential(Bench& b, const Bench::NodeOf& n, Random& r, Regime regime) {
    const double small = regime == Regime::anywhere ? 1 : regime == Regime::near_rest ? 1e-6 : 0;
    const auto pressure = [&](double lo, double hi) {
        return small == 1 ? r.between(lo, hi) : 1e5 * (1 + small * r.between(-1, 1));
    };
    if (n.domain == Gas::id)
        b.gas(n.name) = media::gas_state(pressure(3e4, 2.5e5), r.between(260, 420), r.between(0, 0.02));
    if (n.domain == Coolant::id) {
        const double T = r.between(270, 365);
        b.coolant(n.name) = {pressure(8e4, 3e5), T, subject_coolant().h(T)};
    }
    if (n.domain == Heat::id) b.heat(n.name) = {r.between(260, 400)};
    if (n.domain == Shaft::id) b.shaft(n.name) = {small * r.between(-150, 1200)};
    if (n.domain == Signal::id) b.signal(n.name) = {drawn_signal(b, n.name, r)};
}

/// Flows that others put into a node which the component publishes.
void draw_injection(Bench& b, const Bench::NodeOf& n, Random& r, Regime regime) {
    const double size = regime == Regime::anywhere ? 1 : 0;
    const double m = size * r.between(-0.2, 0.2), T = r.between(270, 365), w = r.between(0, 0.02);
    if (n.domain == Gas::id) b.inject<Gas>(n.name) = {m, m * media::enthalpy(T, w), m * w};
    if (n.domain == Coolant::id) b.inject<Coolant>(n.name) = {m, m * subject_coolant().h(T)};
    if (n.domain == Heat::id) b.inject<Heat>(n.name) = {size * r.between(-500, 500)};
    if (n.domain == Shaft::id) b.inject<Shaft>(n.name) = {size * r.between(-30, 30)};
}

}  // namespace

int variant_count(const ComponentType& type) {
    std::size_t most = 1;
    for (std::uint32_t i = 0; i < type.field_count; ++i)
        if (type.fields[i].kind == Kind::choice) most = std::max(most, choices_of(type.fields[i]).size());
    return 2 * static_cast<int>(most);
}

Bench make_subject(const ComponentType& type, int variant) {
    Bench b(&type);
    for (const std::string& name : std::vector<std::string>(b.missing())) give(b, name);
    for (const Field& f : b.fields()) {
        if (f.kind == Kind::choice) b.set_choice(f.name, chosen(f, variant));
        if (f.optional && variant % 2 == 1 && !needs(type, variant, f.name)) b.disconnect(f.name);
    }
    if (const Problem p = b.prepare(); p.why)
        throw std::runtime_error(std::string(type.name) + ": " + p.parameter + " " + p.why +
                                 ": set it in tests/component/conformance_values.cpp");
    b.start();
    return b;
}

void draw(Bench& b, Random& r, Regime regime) {
    b.start();
    b.time = r.between(0, 1) < 0.3 ? -r.between(0, 3) : r.between(0, 8);
    for (const Field& f : b.fields()) {
        if (f.kind != Kind::state) continue;
        for (std::size_t k = 0; k < b.cells(f.name); ++k) {
            double& x = b.state(f.name, k);
            x = drawn_state(f, x, r, regime);
        }
    }
    for (const auto& n : b.nodes()) n.own ? draw_injection(b, n, r, regime) : draw_potential(b, n, r, regime);
}

void turn_forward(Bench& b) {
    for (auto& in : b.inputs())
        if (in.domain == Shaft::id && !in.injected) *in.at = std::fabs(*in.at);
    for (const Field& f : b.fields())
        if (f.kind == Kind::state && std::string_view(f.unit) == "rad/s")
            for (std::size_t k = 0; k < b.cells(f.name); ++k) b.state(f.name, k) = std::fabs(b.state(f.name, k));
}

double scale_of(const Bench::Input& input) {
    static constexpr double potentials[domain_count][5] = {
        {1e5, 300, 1e5, 1, 0.01}, {1e5, 300, 1e5}, {300}, {500}, {1}};
    static constexpr double flows[domain_count][3] = {{0.1, 3e4, 1e-3}, {0.1, 3e4}, {500}, {30}, {}};
    if (input.domain < 0) return std::max(input.nominal, std::fabs(*input.at));
    const DomainLayout& l = domain_layout[input.domain];
    if (input.injected) return flows[input.domain][input.position % l.flows];
    return std::max(potentials[input.domain][input.position % l.potentials], std::fabs(*input.at));
}

}  // namespace pullcast::test
