/// Knock limit and margin from the temperature and pressure of the end gas. Neither stores nor transports; publishes
/// the limit where a calibration wants it, and judges the pull when it is over.
///
///   one closed cycle at each operating point (cycle.hpp) of what is trapped there (trapped.hpp)
///   ON_required = 100 (s I)^(1/3.402)     I: knock integral at octane number 100; knocks where ON_required > ON_fuel
///   ON_fuel = RON - K (RON - MON)         octane index
///   limited_spark: spark at which ON_required = ON_fuel (limit.hpp);   margin = limited_spark - spark
///   headroom: kelvins that the charge could be hotter at the same manifold pressure and spark
///   per_temperature, per_pressure, per_octane: exact derivatives of the margin
///   limit = limited_spark from a table learned once (limit_table.hpp), held below 89 degrees; 90 in spark_mode `table`
///
/// The temperature exponent of the delay carries the gain g = temperature_gain around 850 K: with g = 1.2 the cycle
/// asks for one octane number per 7 K of intake air, as SAE 960497 (abstract) does, at 120 kPa, 2000 rpm, 50 degC,
/// r 9.5, lambda 0.87 and 95 octane; spark and pressure then follow within a third of its rules without further tuning
/// (README: what does not). Taken alone the delay lets the limit rise by 4 to 9 degrees per 1000 rpm, far more than
/// engines show; speed_gain, an exponent of speed on the rate of ignition around 2000 rpm, brings that down to about 2
/// (common practice, no source). s sets the level: 1 (`correlation`), or such that the reference point is at its limit
/// there (`reference_point`), a point to be replaced by something known of the engine. The octane rules start from the
/// same point.
///
/// Operating points of a pull are judged wherever one of speed (3 %), pressure (3 kPa), temperature (1.5 K), spark
/// (half a degree), lambda (0.01), back pressure (4 kPa) or coolant (2 K) has moved; straight lines join them. Sources:
/// see cycle.hpp and trapped.hpp; octane index: SAE 2017-01-0666 (abstract); k_estimate: Kalghatgi, SAE 2005-01-0239,
/// from memory. Validity: petrol-like fuels and alcohols, lambda 0.7 to 1.2; octane numbers beyond 80 to 100, the range
/// of the delay, are an extrapolation. One cylinder stands for all. A simulated knock margin is not permission to add
/// boost or spark.
#include <pullcast/media/fuel.hpp>

#include "components.hpp"
#include "limit_table.hpp"
#include "model.hpp"

namespace {
using namespace knock_family;

constexpr double gain_anchor = 850, not_given = 90 * degree;
constexpr double slowest = 30;  // rad/s: below, a cycle at that speed stands for all

struct EndGas : Model {
    double bore, stroke, rod_ratio, inlet_closes, exhaust_opens, crank_step;
    double fuel_afr, fuel_lhv, latent_heat, hydrogen, oxygen, vapour_density;
    double realised_evaporation, wall_heating, residual_temperature, wall_excess;
    double burn_duration, duration_speed, duration_pressure, duration_mixture, temperature_gain, speed_gain,
        heard_until;
    double reference_speed;
    std::int32_t level, spark_mode;  // 0 reference_point; 0 table
    Output peak_pressure, k_estimate, level_scale;
    double log_scale;
    knock::LimitTable table;

    static void describe(Schema<EndGas>& s) {
        s.summary = "knock limit and margin from the end gas of a two-zone cycle";
        s.reference = "Livengood & Wu 1955; Douaud & Eyzat SAE 780080 and Woschni SAE 670931 (constants from memory)";
        s.validity =
            "trends of one warm cylinder, lambda 0.7 to 1.2; level set by a reference point; not permission to "
            "add boost or spark";
        describe_model(s, "the end-gas model says that this fuel would knock here");
        s.reads<Shaft>(&EndGas::crank, "crank", "crankshaft");
        describe_cylinder(s);
        describe_fuel(s);
        describe_cycle(s);
        describe_level(s);
    }
    static void describe_cylinder(Schema<EndGas>& s) {
        using C = EndGas;
        s.number(&C::bore, "bore", "m", "cylinder bore").positive().common("bore");
        s.number(&C::stroke, "stroke", "m", "stroke").positive().common("stroke");
        s.number(&C::rod_ratio, "rod_ratio", "1", "connecting rod over stroke").in(1, 4).preset(1.7);
        s.number(&C::inlet_closes, "inlet_closes", "rad", "inlet valve closes after bottom centre")
            .in(0, 110 * degree)
            .preset(50 * degree);
        s.number(&C::exhaust_opens, "exhaust_opens", "rad", "exhaust valve opens before bottom centre")
            .in(0, 110 * degree)
            .preset(50 * degree);
        s.number(&C::crank_step, "crank_step", "rad", "longest step of the cycle")
            .in(0.1 * degree, 1 * degree * (1 + 1e-9))
            .preset(degree);
    }
    static void describe_fuel(Schema<EndGas>& s) {
        using C = EndGas;
        s.number(&C::fuel_afr, "fuel_afr", "1", "stoichiometric air-fuel ratio")
            .positive()
            .common("fuel_afr")
            .preset(media::gasoline.stoichiometric_afr);
        s.number(&C::fuel_lhv, "fuel_lhv", "J/kg", "lower heating value")
            .positive()
            .common("fuel_lhv")
            .preset(media::gasoline.lhv);
        s.number(&C::latent_heat, "fuel_latent_heat", "J/kg", "heat of vaporisation of the fuel")
            .in(0, 2.5e6)
            .common("fuel_latent_heat")
            .preset(media::gasoline.latent_heat);
        s.number(&C::hydrogen, "fuel_hydrogen", "1", "atoms of hydrogen per atom of carbon")
            .in(0.5, 4)
            .common("fuel_hydrogen")
            .preset(media::gasoline.hydrogen);
        s.number(&C::oxygen, "fuel_oxygen", "1", "atoms of oxygen per atom of carbon")
            .in(0, 1.5)
            .common("fuel_oxygen")
            .preset(0);
        s.number(&C::vapour_density, "fuel_vapour_density", "1", "fuel vapour over air, by molar mass")
            .in(0.5, 10)
            .common("fuel_vapour_density")
            .preset(media::gasoline.vapour_density);
        s.number(&C::realised_evaporation, "realised_evaporation", "1", "share of the fuel that the charge evaporates")
            .in(0, 1)
            .common("realised_evaporation")
            .preset(0.25);
    }
    static void describe_cycle(Schema<EndGas>& s) {
        using C = EndGas;
        s.number(&C::wall_heating, "wall_heating", "1", "warming of the charge by the walls, of coolant less charge")
            .in(0, 0.9)
            .preset(0.2);
        s.number(&C::residual_temperature, "residual_temperature", "K", "burned gas that stays in the cylinder")
            .in(600, 1600)
            .preset(1050);
        s.number(&C::wall_excess, "wall_excess", "dK", "cylinder wall above coolant").in(0, 300).preset(80);
        s.number(&C::burn_duration, "burn_duration", "rad", "from spark to burned, at 3000 rpm and 100 kPa")
            .in(20 * degree, 120 * degree)
            .preset(66 * degree);
        s.number(&C::duration_speed, "duration_speed", "1", "its exponent over speed").in(0, 1).preset(0.3);
        s.number(&C::duration_pressure, "duration_pressure", "1", "its exponent over pressure, downwards")
            .in(0, 0.6)
            .preset(0.15);
        s.number(&C::duration_mixture, "duration_mixture", "1", "its growth with the square of lambda less 0.9")
            .in(0, 10)
            .preset(3);
        s.number(&C::temperature_gain, "temperature_gain", "1", "on the temperature exponent of the ignition delay")
            .in(0.1, 3)
            .preset(1.2);
        s.number(&C::speed_gain, "speed_gain", "1", "exponent of speed on the rate of ignition; 0: the delay alone")
            .in(0, 1.5)
            .preset(0.9);
        s.number(&C::heard_until, "heard_until", "1", "burned share after which autoignition is not heard")
            .in(0.3, 0.99)
            .preset(0.8);
    }
    static void describe_level(Schema<EndGas>& s) {
        using C = EndGas;
        s.choice(&C::level, "level", "reference_point|correlation", "what sets the level of octane required").preset(0);
        s.number(&C::reference_speed, "reference_speed", "rad/s", "crank speed there").in(50, 1500).preset(314.159265);
        s.choice(&C::spark_mode, "spark_mode", "table|held_back|at_limit",
                 "how the calibration uses the limit: in `table` it is not worked out")
            .common("spark_mode")
            .preset(0);
        s.output(&C::peak_pressure, "peak_pressure", "Pa", "highest cylinder pressure");
        s.output(&C::k_estimate, "k_estimate", "1", "K of the octane index by the gas temperature at 15 bar; not used");
        s.output(&C::level_scale, "level_scale", "1", "how much faster the end gas ignites than by the correlation");
    }

    knock::Trapping trapping() const {
        return {wall_heating,  realised_evaporation, residual_temperature, wall_excess,
                burn_duration, duration_speed,       duration_pressure,    duration_mixture};
    }
    knock::Fuel fuel() const { return {{hydrogen, oxygen, vapour_density}, fuel_afr, fuel_lhv, latent_heat}; }
    knock::Cylinder cylinder(double ratio) const {
        constexpr double bottom = 180 * degree;
        return {bore, stroke, ratio, rod_ratio * stroke, inlet_closes - bottom, bottom - exhaust_opens, crank_step};
    }
    knock::Engine engine(double ratio) const {
        return {knock::Chamber(cylinder(ratio)),
                trapping(),
                fuel(),
                {temperature_gain, gain_anchor, heard_until, speed_gain},
                octane(),
                log_scale};
    }

    Problem prepare() {
        if (const Problem p = check_octane(); p.why) return p;
        if (const Problem p = check_formula(); p.why) return p;
        log_scale = 0;
        const knock::Point<double> reference{reference_pressure, reference_temperature, 0.008,
                                             reference_speed,    reference_lambda,      reference_back_pressure,
                                             reference_coolant};
        if (level == 0) {
            const auto there = engine(reference_compression_ratio);
            log_scale = knock::delay_octane *
                        std::log(reference_octane / knock::required_at(there, reference, reference_spark));
        }
        if (spark_mode != 0) table.learn(engine(compression_ratio), reference);
        return {};
    }
    Problem check_formula() const {
        static thread_local char why[160];  // copied by who asked
        const double by_formula = media::stoichiometric_afr(hydrogen, oxygen);
        if (std::fabs(fuel_afr / by_formula - 1) < 0.05) return {};
        std::snprintf(why, sizeof why,
                      "fuel_afr = %g does not fit a fuel of %g H and %g O to an atom of C, which burns with %.3g",
                      fuel_afr, hydrogen, oxygen, by_formula);
        return {"fuel_afr", why};
    }

    void publish(auto v) const {
        using S = typename decltype(v)::Scalar;
        if (spark_mode == 0) return v(limit, {S(not_given)});
        const auto& g = v[manifold];
        const S omega = soft_max(v[crank].omega, S(slowest), 1.0);
        const knock::Point<S> at{
            g.p, g.T, g.w, omega, soft_max(v[lambda].value, S(0.3), 1e-4), v[exhaust_pressure].value, v[coolant].T};
        const auto c = cylinder(compression_ratio);
        const S limited = table(at, knock::fill(c, trapping(), fuel(), at).T, knock::residual_ratio(c, at));
        v(limit, {soft_min(soft_max(limited, S(knock::latest), 0.1 * degree), S(highest_limit), limit_rounding)});
    }

    // ---- after the pull ----
    struct Station {
        std::size_t row;
        knock::Point<double> at;
        double spark;
    };
    Station station(const Review& r, std::size_t row) const {
        const auto g = r.at(manifold, row);
        return {row,
                {g.p, g.T, g.w, std::fmax(slowest, r.at(crank, row).omega), std::fmax(0.3, r.at(lambda, row).value),
                 r.at(exhaust_pressure, row).value, r.at(coolant, row).T},
                r.at(spark, row).value};
    }
    static bool moved(const Station& a, const Station& b) {
        const auto apart = [](double x, double y, double least) { return std::fabs(x - y) > least; };
        return apart(b.at.omega, a.at.omega, 0.03 * a.at.omega) || apart(b.at.p, a.at.p, 3e3) ||
               apart(b.at.T, a.at.T, 1.5) || apart(b.spark, a.spark, 0.5 * degree) ||
               apart(b.at.lambda, a.at.lambda, 0.01) || apart(b.at.coolant, a.at.coolant, 2) ||
               apart(b.at.exhaust_pressure, a.at.exhaust_pressure, 4e3);
    }
    std::vector<Station> stations(const Review& r) const {
        std::vector<Station> all;
        for (std::size_t row = 0; row < r.points(); ++row) {
            const auto here = station(r, row);
            if (all.empty() || row + 1 == r.points() || moved(all.back(), here)) all.push_back(here);
        }
        return all;
    }
    void review(Review r) const {
        const auto e = engine(compression_ratio);
        const auto at = stations(r);
        for (std::size_t k = 0; k < at.size(); k += knock::Lanes::count)
            judge(r, e, std::span(at).subspan(k, std::min<std::size_t>(knock::Lanes::count, at.size() - k)),
                  !r.worst_only());
        for (std::size_t k = 1; k < at.size(); ++k) join(r, at[k - 1].row, at[k].row, std::span(&limited_spark, 1));
        for (std::size_t row = 0; row < r.points(); ++row) {
            r.output(margin, row) = r.output(limited_spark, row) - r.at(spark, row).value;
            r.output(fuel_octane, row) = octane();
            r.output(level_scale, row) = std::exp(log_scale);
        }
        join_answers(r, e, at);
    }
    std::array<Output, 8> answers() const {
        return {margin_octane, headroom, per_temperature, per_pressure,
                per_octane,    required, peak_pressure,   k_estimate};
    }
    /// Limits, and the other answers where they are wanted.
    void judge(const Review& r, const knock::Engine& e, std::span<const Station> at, bool in_full) const {
        std::vector<knock::Point<double>> points;
        std::vector<double> sparks;
        for (const auto& s : at) points.push_back(s.at), sparks.push_back(s.spark);
        const knock::Batch batch(e, points);
        for (std::size_t k = 0; k < at.size(); ++k)
            r.output(limited_spark, at[k].row) = batch.limit()[static_cast<int>(k)];
        if (!in_full) return;
        const auto all = batch.answer(sparks);
        for (std::size_t k = 0; k < at.size(); ++k) {
            const auto& a = all[k];
            const auto slope = batch.sensitivity(static_cast<int>(k));
            const double values[] = {e.octane - a.octane_required,
                                     a.headroom,
                                     slope.per_temperature,
                                     slope.per_pressure,
                                     slope.per_octane,
                                     a.octane_required,
                                     a.peak_pressure,
                                     a.k_estimate};
            for (std::size_t i = 0; i < std::size(values); ++i) r.output(answers()[i], at[k].row) = values[i];
        }
    }
    /// Answers between the stations; where only the worst point is asked about, first those beside it.
    void join_answers(const Review& r, const knock::Engine& e, std::span<const Station> at) const {
        if (r.worst_only() && !at.empty()) {
            const auto worst = r.least(margin);
            const auto after = std::find_if(at.begin(), at.end(), [&](const auto& s) { return s.row >= worst; });
            at = {after->row == worst ? after : after - 1, after + 1};
            judge(r, e, at, true);
        }
        for (std::size_t k = 1; k < at.size(); ++k) join(r, at[k - 1].row, at[k].row, answers());
    }
    /// Straight lines over time between two rows.
    static void join(const Review& r, std::size_t from, std::size_t to, std::span<const Output> outputs) {
        for (std::size_t row = from + 1; row < to; ++row) {
            const double share = (r.time(row) - r.time(from)) / (r.time(to) - r.time(from));
            for (const auto o : outputs) r.output(o, row) = (1 - share) * r.output(o, from) + share * r.output(o, to);
        }
    }
};

}  // namespace

const pullcast::ComponentType* knock_end_gas() { return component<EndGas>("knock.end_gas"); }
