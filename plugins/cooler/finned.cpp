/// A core from its geometry: flat tubes across the width, louver or offset strip fins between them, charge through the
/// depth, coolant along the tubes. Transports charge and coolant; stores the heat of metal and coolant.
///
///     Fl = H/n - Dm,  Ac = n W (Fl - df)(Fp - df)/Fp,  Af = 2 n (W/Fp) Fl Td,  At = 2 n W Td (1 - df/Fp)
///     h from j(Re) (fins.hpp), G = m / Ac;   eta_o = 1 - Af/(Af + At) (1 - eta(m Fl/2));   hAa = h eta_o (Af + At)
///     1/hAc = 1/(e Nu k/Dc A_wet) + t_wall/(k_wall A_wet),   Nu(Re, Pr) of a smooth tube, fully developed; e: dimples
///                                                              or inner fins; n/passes tubes side by side
///     dp rho = f (Af + At)/Ac G^2 / 2,   as m ~ (dp rho)^q through two points, 0.4 m0 and m0 (m0 = rated_flow);
///     f: Manglik & Bergles for strips; for louvers f = friction_ratio j (common practice, no source)
///     dp_c = passes (f W/Dc + 1.5) rho v^2/2 at the rated coolant flow, quadratic from there
///     segments and steady limit: segments.hpp. Passes lie above one another, so all meet fresh charge.
///
/// One pitch of tube and fins, repeated n times: side plates and end effects are left out. Fins conduct to mid-height.
/// Gas properties at the mean of inlet and wall temperature, coolant's at the mean of its ends.
#include "components.hpp"
#include "fins.hpp"
#include "segments.hpp"

namespace pullcast::cooler {
namespace {

enum Fin : std::int32_t { louver, strip };

struct Finned : Segments {
    double height, width, depth, fin_pitch, fin_thickness, louver_pitch, louver_angle, louver_length, strip_length;
    double tube_height, tube_wall, conductivity, density, specific_heat, extra_mass, extra_volume, friction_ratio;
    double ua_scale, coolant_enhancement;
    std::int32_t fin, tubes, passes;
    Output out_air_reynolds, out_coolant_reynolds, out_air_conductance, out_coolant_conductance;
    // derived: m, m^2
    Surface surface;
    double fin_height, length, flow_area, fin_area, tube_area, fin_mL, tube_diameter, tube_section, wetted, laminar;

    static void describe(Schema<Finned>& s) {
        s.summary = "transports: charge cooled by coolant in a finned core; stores heat in metal and coolant";
        s.reference = "Chang & Wang 1997; Manglik & Bergles 1995; Gnielinski; Shah & London; README.md";
        s.validity = "louver 100 < Re < 3000, offset strip 300 < Re < 5000; scatter about 20 % on j";
        describe_path(s);
        describe_coolant(s, true);
        describe_surroundings(s);
        describe_core(s);
        describe_fins(s);
        s.number(&Finned::rated_flow, "rated_flow", "kg/s", "charge flow up to which the pressure drop law is fitted")
            .in(1e-3, 10).preset(0.35);
        s.number(&Finned::ua_scale, "ua_scale", "1", "factor on both sides' hA: fouling, or a fit to a measurement")
            .in(1e-3, 10).preset(1);
        describe_bypass(s);
        describe_segments(s, 6);
        describe_outputs(s);
        describe_coolant_flow(s);
        s.output(&Finned::out_air_reynolds, "air_reynolds", "1", "Reynolds number of the charge between the fins")
            .warn_above(5000, "the charge flows faster than the fin correlations reach");
        s.output(&Finned::out_coolant_reynolds, "coolant_reynolds", "1", "Reynolds number of the coolant in a tube");
        s.output(&Finned::out_air_conductance, "air_conductance", "W/K", "h A of the charge side, fins included");
        s.output(&Finned::out_coolant_conductance, "coolant_conductance", "W/K",
                 "h A of the coolant side, wall included");
    }
    static void describe_core(Schema<Finned>& s) {
        s.number(&Finned::height, "height", "m", "of the face, across the tubes").in(0.01, 2);
        s.number(&Finned::width, "width", "m", "of the face, along the tubes").in(0.01, 2);
        s.number(&Finned::depth, "depth", "m", "in the direction of the charge").in(0.005, 0.5);
        s.integer(&Finned::tubes, "tube_count", "flat tubes, one above the other").in(1, 500);
        s.number(&Finned::tube_height, "tube_height", "m", "outer height of a tube").in(5e-4, 0.05).preset(2.5e-3);
        s.number(&Finned::tube_wall, "tube_wall", "m", "wall thickness of a tube").in(1e-4, 5e-3).preset(3.5e-4);
        s.number(&Finned::coolant_enhancement, "coolant_enhancement", "1",
                 "Nusselt number of a dimpled or inner-finned tube over a smooth one")
            .in(0.5, 10).preset(1);
        s.integer(&Finned::passes, "passes", "times the coolant crosses the width").in(1, 20).preset(1);
        s.number(&Finned::conductivity, "conductivity", "W/(m K)", "of fins and tubes").in(1, 500).preset(180);
        s.number(&Finned::density, "density", "kg/m^3", "of fins and tubes").in(500, 2e4).preset(2700);
        s.number(&Finned::specific_heat, "specific_heat", "J/(kg K)", "of fins and tubes").in(100, 3000).preset(900);
        s.number(&Finned::extra_mass, "extra_mass", "kg", "headers and side plates that follow the core")
            .in(0, 50).preset(0.5);
        s.number(&Finned::extra_volume, "header_volume", "m^3", "coolant in the headers").in(0, 0.05).preset(2e-4);
    }
    static void describe_fins(Schema<Finned>& s) {
        s.choice(&Finned::fin, "fin", "louver|offset strip", "kind of fin").preset(louver);
        s.number(&Finned::fin_pitch, "fin_pitch", "m", "distance from fin to fin").in(3e-4, 0.02).preset(1.8e-3);
        s.number(&Finned::fin_thickness, "fin_thickness", "m", "sheet thickness").in(2e-5, 2e-3).preset(1e-4);
        s.number(&Finned::louver_pitch, "louver_pitch", "m", "louver fins: from louver to louver")
            .in(2e-4, 0.02).preset(1.4e-3);
        s.number(&Finned::louver_angle, "louver_angle", "rad", "louver fins").in(0.05, 1.5).preset(0.4712);
        s.number(&Finned::louver_length, "louver_length", "1", "louver fins: length over fin height")
            .in(0.1, 1).preset(0.85);
        s.number(&Finned::friction_ratio, "friction_ratio", "1", "louver fins: f over j").in(1, 20).preset(4);
        s.number(&Finned::strip_length, "strip_length", "m", "offset strip fins: length of a strip")
            .in(5e-4, 0.05).preset(3e-3);
    }

    Problem prepare() {
        fin_height = height / tubes - tube_height;
        if (!(fin_height > 2 * fin_thickness))
            return {"tube_count", "no room for fins: height / tube_count - tube_height"};
        if (!(fin_pitch > 2 * fin_thickness)) return {"fin_pitch", "must be more than twice fin_thickness"};
        const double channel = tube_height - 2 * tube_wall, channel_depth = depth - 2 * tube_wall;
        if (!(channel > 0)) return {"tube_wall", "leaves no channel: must be less than half of tube_height"};
        if (!(channel_depth > 0)) return {"tube_wall", "leaves no channel: must be less than half of depth"};
        if (passes > tubes) return {"passes", "must not exceed tube_count"};
        size_air_side();
        tube_section = channel * channel_depth, tube_diameter = 2 * tube_section / (channel + channel_depth);
        wetted = tubes * 2 * (channel + channel_depth) * width;
        laminar = laminar_nusselt(std::min(channel, channel_depth) / std::max(channel, channel_depth));
        const double fin_metal = 0.5 * fin_area * fin_thickness;
        const double tube_metal = tubes * width * (tube_height * depth - tube_section);
        fill(tubes * tube_section * width + extra_volume,
             specific_heat * (density * (fin_metal + tube_metal) + extra_mass));
        fit_air_drop();
        fit_coolant_drop();
        return {};
    }

    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        using std::sqrt, std::cbrt;
        const Air<S> a = air<S>(v);
        const S mc = coolant_flow<S>(v);
        const S film = 0.5 * (a.T + v[wall[static_cast<std::uint32_t>(segments / 2)]]);
        const S Re = a.core / flow_area * length / media::viscosity(film);
        const S h = surface.j(Re) * Re * cbrt(media::prandtl(film)) * media::conductivity(film) / length;
        const double area = fin_area + tube_area;
        const S overall = 1 - fin_area / area * (1 - fin_efficiency(S(fin_mL * sqrt(h))));
        const S hA_air = ua_scale * area * overall * h;

        const S Tc = coolant_temperature<S>(v), mu = mix.mu(Tc), k = mix.k(Tc);
        const S Re_c = smooth_size(mc, coolant_flow_width) * passes / tubes * tube_diameter / (tube_section * mu);
        const S h_c = coolant_enhancement * tube_nusselt(Re_c, S(mu * mix.cp(Tc) / k), laminar) * k / tube_diameter;
        const S hA_coolant = ua_scale * wetted / (1 / h_c + tube_wall / conductivity);
        exchange(v, a, mc, hA_air, hA_coolant);
        if (!v.recording()) return;
        v.output(out_air_reynolds, Re), v.output(out_coolant_reynolds, Re_c);
        v.output(out_air_conductance, hA_air), v.output(out_coolant_conductance, hA_coolant);
    }

private:
    static constexpr double fit_temperature = 340, coolant_fit_temperature = 313.15;  // K, of the pressure drop laws

    OffsetStrip strips() const {
        return {fin_pitch - fin_thickness, fin_height - fin_thickness, strip_length, fin_thickness};
    }
    void size_air_side() {
        const double tube_pitch = height / tubes;
        if (fin == strip) surface = Surface(strips());
        else
            surface = Surface(Louver{louver_angle, fin_pitch, fin_height, depth, louver_length * fin_height, tube_pitch,
                                     fin_thickness, louver_pitch});
        length = fin == strip ? strips().hydraulic_diameter() : louver_pitch;
        flow_area = tubes * width * (fin_height - fin_thickness) * (fin_pitch - fin_thickness) / fin_pitch;
        fin_area = 2 * tubes * width / fin_pitch * fin_height * depth;
        tube_area = 2 * tubes * width * depth * (1 - fin_thickness / fin_pitch);
        fin_mL = 0.5 * fin_height * std::sqrt(2 / (conductivity * fin_thickness));
    }
    /// dp rho of the core at a flow.
    double drop_times_density(double m) const {
        const double G = m / flow_area, Re = G * length / media::viscosity(fit_temperature);
        const double f = fin == strip ? strips().f(Re) : friction_ratio * surface.j(Re);
        return f * (fin_area + tube_area) / flow_area * 0.5 * G * G;
    }
    void fit_air_drop() {
        constexpr double low = 0.4;
        const double core = (1 - bypass_fraction) * rated_flow;
        flow_exponent = std::log(low) / std::log(drop_times_density(low * core) / drop_times_density(core));
        rated_density = 1.6, rated_drop = drop_times_density(core) / rated_density;
    }
    void fit_coolant_drop() {
        const double rho = mix.rho(coolant_fit_temperature), section = tube_section * tubes / passes;
        const double speed = coolant_rated_flow / (rho * section);
        const double Re = rho * speed * tube_diameter / mix.mu(coolant_fit_temperature);
        const double f = Re < 2300 ? 64 / Re : petukhov(Re);
        coolant_rated_drop = passes * (f * width / tube_diameter + 1.5) * 0.5 * rho * speed * speed;
    }
};

}  // namespace
}  // namespace pullcast::cooler

const pullcast::ComponentType* cooler_finned() {
    return pullcast::component<pullcast::cooler::Finned>("cooler.finned");
}
