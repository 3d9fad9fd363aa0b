/// Front heat exchanger from its geometry: flat tubes with louvered fins between them. Transports and stores.
///
/// Air side, Chang & Wang (1997), Re_Lp = rho v_c Lp / mu, v_c = v / sigma:
///   j = Re_Lp^-0.49 (th/90)^0.27 (Fp/Lp)^-0.14 (Fl/Lp)^-0.29 (Td/Lp)^-0.23 (Ll/Lp)^0.68
///       (Tp/Lp)^-0.28 (df/Lp)^-0.05
///   h_a = j Re_Lp Pr^(1/3) k / Lp,   sigma = (Fl - df)(Fp - df) / ((Fl + Dm) Fp)
///   fin efficiency tanh(M)/M, M = (Fl/2) sqrt(2 h_a/(k_f df));   surface efficiency 1 - (A_f/A)(1 - fin efficiency)
/// Coolant side: laminar Nu = 8.235 (1 - 2.0421 a + 3.0853 a^2 - 2.4765 a^3 + 1.0578 a^4 - 0.1861 a^5), a = aspect
///   ratio (Shah & London), Gnielinski above Re 4000 with Petukhov's f, a smooth blend between Re 2300 and 4000.
///   1/UA = 1/(h_a A_a eta) + 1/(h_c A_c); wall conduction left out (aluminium, below 1 %)
///
/// Symbols: th louver angle, Fp fin pitch, Lp louver pitch, Fl fin height, Td depth, Ll louver length, Tp tube pitch,
/// Dm tube thickness, df fin thickness. The row of cells is in crossflow.hpp.
///
/// Reference: Chang & Wang, Int. J. Heat Mass Transfer 40(3) 1997, 533-544, as coded in the Modelica Standard Library
/// (kc_flatTube_KC); Gnielinski, Petukhov, Shah & London as in the open `ht` library. Validity: 100 < Re_Lp < 3000.
#include "components.hpp"
#include "crossflow.hpp"

namespace {
using namespace coolant_family;

// Aluminium, SI, handbook values from memory.
constexpr double aluminium_density = 2700, aluminium_heat = 900, aluminium_conductivity = 200;

struct FrontExchanger : Crossflow {
    double width, height, depth, fin_pitch, fin_height, fin_thickness, louver_pitch, louver_angle;
    double tube_thickness, tube_wall;
    std::int32_t passes;
    Output louver_reynolds, conductance;
    double j_factor, fin_share, air_area, coolant_area, sigma, channel_area, hydraulic_diameter, laminar_nusselt;

    static void describe(Schema<FrontExchanger>& s) {
        using C = FrontExchanger;
        s.summary = "transports and stores: coolant to outside air, louvered fins and flat tubes, N cells in crossflow";
        s.reference = "Chang & Wang 1997 (air), Gnielinski and Shah & London (coolant), Incropera et al. (crossflow)";
        s.validity = "louver Reynolds number 100 to 3000";
        describe_crossflow(s);
        s.number(&C::width, "width", "m", "tube length across the face").positive().preset(0.6);
        s.number(&C::height, "height", "m", "face height over all tubes").positive().preset(0.3);
        s.number(&C::depth, "depth", "m", "depth in air direction").positive().preset(0.026);
        s.number(&C::fin_pitch, "fin_pitch", "m", "distance of fins").positive().preset(1.5e-3);
        s.number(&C::fin_height, "fin_height", "m", "fin height from tube to tube").positive().preset(8e-3);
        s.number(&C::fin_thickness, "fin_thickness", "m", "fin thickness").positive().preset(0.08e-3);
        s.number(&C::louver_pitch, "louver_pitch", "m", "louver pitch").positive().preset(1.2e-3);
        s.number(&C::louver_angle, "louver_angle", "rad", "louver angle").in(0.1, 0.8).preset(0.4712);
        s.number(&C::tube_thickness, "tube_thickness", "m", "outer thickness of a flat tube").positive().preset(2e-3);
        s.number(&C::tube_wall, "tube_wall", "m", "tube wall").positive().preset(0.3e-3);
        s.integer(&C::passes, "passes", "times the coolant crosses the face").in(1, 8).preset(1);
        s.output(&C::louver_reynolds, "louver_reynolds", "1", "air Reynolds number on the louver pitch")
            .warn_above(3000, "air side is beyond the range of its correlation");
        s.output(&C::conductance, "conductance", "W/K", "UA");
    }
    Problem prepare() {
        const double channel = tube_thickness - 2 * tube_wall, span = depth - 2 * tube_wall;
        const double tubes = std::floor(height / (fin_height + tube_thickness));
        if (channel <= 0) return {"tube_wall", "must be less than half of tube_thickness"};
        if (span <= channel) return {"depth", "must be larger than tube_thickness"};
        if (fin_pitch <= fin_thickness) return {"fin_pitch", "must be larger than fin_thickness"};
        if (tubes < passes) return {"height", "must hold at least one tube a pass"};
        air_side(tubes);
        coolant_side(tubes, channel, span);
        prepare_crossflow();
        return {};
    }
    void air_side(double tubes) {
        using std::pow;
        const double Lp = louver_pitch, louver_length = 0.85 * fin_height;
        const double fins = tubes * width / fin_pitch, fin_surface = fins * 2 * fin_height * depth;
        const double tube_surface = tubes * 2 * width * depth * (1 - fin_thickness / fin_pitch);
        face_area = width * height;
        air_area = fin_surface + tube_surface, fin_share = fin_surface / air_area;
        const double opening = (fin_height - fin_thickness) * (fin_pitch - fin_thickness);
        sigma = opening / ((fin_height + tube_thickness) * fin_pitch);
        j_factor = pow(louver_angle / (std::numbers::pi / 2), 0.27) * pow(fin_pitch / Lp, -0.14) *
                   pow(fin_height / Lp, -0.29) * pow(depth / Lp, -0.23) * pow(louver_length / Lp, 0.68) *
                   pow((fin_height + tube_thickness) / Lp, -0.28) * pow(fin_thickness / Lp, -0.05);
        const double tube_metal = tubes * width * 2 * (depth + tube_thickness) * tube_wall;
        metal_capacity = aluminium_density * aluminium_heat * (0.5 * fin_surface * fin_thickness + tube_metal);
    }
    void coolant_side(double tubes, double channel, double span) {
        const double a = channel / span;
        laminar_nusselt = 8.235 * (1 + a * (-2.0421 + a * (3.0853 + a * (-2.4765 + a * (1.0578 - 0.1861 * a)))));
        hydraulic_diameter = 2 * channel * span / (channel + span);
        channel_area = channel * span * tubes / passes;
        coolant_area = 2 * (channel + span) * width * tubes;
        coolant_volume = channel * span * width * tubes;
    }
    /// h_a A_a times the surface efficiency, at the velocity in the narrowest section.
    template <class S> S air_conductance(const S& Re, const S& T) const {
        using std::pow, std::sqrt, std::tanh;
        const S h = j_factor * pow(Re, 0.51) * pow(media::prandtl(T), 1.0 / 3) * media::conductivity(T) / louver_pitch;
        const S M = 0.5 * fin_height * sqrt(2 * h / (aluminium_conductivity * fin_thickness));
        return h * air_area * (1 - fin_share * (1 - tanh(M) / M));
    }
    template <class S> S coolant_conductance(const S& m, const S& T) const {
        using std::log, std::pow, std::sqrt;
        const S mu = mix.mu(T), k = mix.k(T), Pr = mu * mix.cp(T) / k;
        const S Re = relative_flow(m) * (rated_mass_flow * hydraulic_diameter / channel_area) / mu;
        S Nu(laminar_nusselt);
        if (value(Re) > 2300) {
            const S root = 0.790 * log(Re) - 1.64, f8 = 0.125 / (root * root);
            const S turbulent = f8 * (Re - 1000) * Pr / (1 + 12.7 * sqrt(f8) * (pow(Pr, 2.0 / 3) - 1));
            Nu += soft_step(Re, 2300, 4000) * (turbulent - Nu);
        }
        return Nu * k / hydraulic_diameter * coolant_area;
    }
    void flow(auto v) const {
        using S = typename decltype(v)::Scalar;
        const S m = coolant_flow(v);
        const auto a = air(v);
        const S Re = v[outside].rho * a.speed * (louver_pitch / sigma) / media::viscosity(a.T);
        const S dry = (1 - blocked_fraction) * air_conductance(Re, a.T);
        const S wet = coolant_conductance(m, S(0.5 * (v[from].T + v[to].T)));
        const S UA = dry * wet / (dry + wet);
        exchange(v, m, a, UA, wet);
        if (!v.recording()) return;
        v.output(louver_reynolds, Re);
        v.output(conductance, UA);
    }
};

}  // namespace

const pullcast::ComponentType* coolant_front_exchanger() {
    return component<FrontExchanger>("coolant.front_exchanger");
}
