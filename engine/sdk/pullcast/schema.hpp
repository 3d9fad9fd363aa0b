/// The single declaration of a component. From it come the TOML keys with their checks and hints, the `describe`
/// command, CSV headers with units, tolerances, the Jacobian's structure and the rig's drawing.
#pragma once
#include <cstdint>
#include <limits>
#include <pullcast/tables.hpp>
#include <pullcast/views.hpp>
#include <stdexcept>
#include <type_traits>
#include <vector>

namespace pullcast {

enum class Kind : std::uint8_t { number, integer, choice, curve, map, state, node, end, sees, reads, account, output };

/// What an account adds up; `meter` is an internal flow that the ledger shows but does not sum.
enum class Ledger : std::uint8_t { energy, gas, water, coolant, meter };

/// One named thing of a component. Plain data with static strings: it crosses the plugin boundary.
struct Field {
    Kind kind = Kind::number;
    std::uint8_t domain = 0;                   // of a node, end, sees or reads
    Ledger ledger = Ledger::meter;             // of an account
    bool optional = false;                     // of an end, sees or reads
    bool breakpoint = false;                   // the number is a time at which the component's behaviour jumps
    bool shape_preserving = false;             // of a table
    std::uint32_t offset = 0;                  // of the member in the component
    std::uint32_t count = unconnected;         // of a row of states: offset of the integer that sets its length
    const char *name = "", *unit = "1", *doc = "";
    const char* common = nullptr;              // key in the rig's [common] table that serves where the rig sets nothing
    const char *x_name = "", *x_unit = "1", *y_name = "", *y_unit = "1";  // axes of a table
    const char* choices = "";                  // "louver|offset strip"
    const char* warning = nullptr;             // of an output: said when it leaves warn_lo .. warn_hi
    double lo = -std::numeric_limits<double>::infinity(), hi = std::numeric_limits<double>::infinity();
    double preset = std::numeric_limits<double>::quiet_NaN();  // NaN: must be given. Of a state: its nominal size.
    double warn_lo = -std::numeric_limits<double>::infinity(), warn_hi = std::numeric_limits<double>::infinity();
};

/// Refines the field just declared.
class Tuning {
    Field& f_;

public:
    explicit Tuning(Field& f) : f_(f) {}
    Tuning in(double lo, double hi) { return f_.lo = lo, f_.hi = hi, *this; }
    Tuning positive() { return in(std::numeric_limits<double>::min(), f_.hi); }
    Tuning non_negative() { return in(0, f_.hi); }
    Tuning preset(double v) { return f_.preset = v, *this; }
    Tuning common(const char* key) { return f_.common = key, *this; }
    Tuning optional() { return f_.optional = true, *this; }
    Tuning breakpoint() { return f_.breakpoint = true, *this; }
    Tuning shape_preserving() { return f_.shape_preserving = true, *this; }
    Tuning warn_above(double hi, const char* text) { return f_.warn_hi = hi, f_.warning = text, *this; }
    Tuning warn_below(double lo, const char* text) { return f_.warn_lo = lo, f_.warning = text, *this; }
};

template <class C>
class Schema {
    std::vector<Field>& fields_;

    static std::uint32_t offset(auto C::* member) {
        alignas(C) static char raw[sizeof(C)];
        return static_cast<std::uint32_t>(reinterpret_cast<char*>(&(reinterpret_cast<C*>(raw)->*member)) - raw);
    }
    Tuning add(Kind kind, auto C::* member, const char* name, const char* unit, const char* doc) {
        Field f;
        f.kind = kind, f.offset = offset(member), f.name = name, f.unit = unit, f.doc = doc;
        fields_.push_back(f);
        return Tuning(fields_.back());
    }
    template <class D> Tuning attach(Kind kind, auto C::* member, const char* name, const char* doc) {
        const auto t = add(kind, member, name, "", doc);
        fields_.back().domain = D::id;
        return t;
    }

public:
    const char* role = "";  ///< what it can be swapped for: all types of a role share the names of their ends and nodes
    const char* summary = "";    ///< one line; starts with *stores* or *transports* where it does
    const char* reference = "";  ///< where the equations come from
    const char* validity = "";   ///< where they hold

    explicit Schema(std::vector<Field>& fields) : fields_(fields) {}

    Tuning number(double C::*m, const char* name, const char* unit, const char* doc) {
        return add(Kind::number, m, name, unit, doc);
    }
    Tuning integer(std::int32_t C::*m, const char* name, const char* doc) {
        return add(Kind::integer, m, name, "1", doc);
    }
    /// `choices` separated by '|'; the member holds the index of the chosen one.
    Tuning choice(std::int32_t C::* m, const char* name, const char* choices, const char* doc) {
        const auto t = add(Kind::choice, m, name, "1", doc);
        fields_.back().choices = choices;
        return t;
    }
    Tuning curve(Curve C::*m, const char* name, const char* unit, const char* x_name, const char* x_unit,
                 const char* doc) {
        const auto t = add(Kind::curve, m, name, unit, doc);
        fields_.back().x_name = x_name, fields_.back().x_unit = x_unit;
        return t;
    }
    Tuning map(Map C::*m, const char* name, const char* unit, const char* x_name, const char* x_unit,
               const char* y_name, const char* y_unit, const char* doc) {
        const auto t = curve_axes(add(Kind::map, m, name, unit, doc), x_name, x_unit);
        fields_.back().y_name = y_name, fields_.back().y_unit = y_unit;
        return t;
    }
    Tuning state(State C::* m, const char* name, const char* unit, double nominal, const char* doc) {
        return add(Kind::state, m, name, unit, doc).preset(nominal);
    }
    Tuning states(States C::*m, std::int32_t C::*count, const char* name, const char* unit, double nominal,
                  const char* doc) {
        const auto t = add(Kind::state, m, name, unit, doc).preset(nominal);
        fields_.back().count = offset(count);
        return t;
    }
    template <class D> Tuning node(Node<D> C::*m, const char* name, const char* doc) {
        return attach<D>(Kind::node, m, name, doc);
    }
    Tuning signal(Node<Signal> C::* m, const char* name, const char* unit, const char* doc) {
        const auto t = attach<Signal>(Kind::node, m, name, doc);
        fields_.back().unit = unit;
        return t;
    }
    /// An end and a reads (or sees) may share a name: one TOML key then fills both.
    template <class D> Tuning end(End<D> C::*m, const char* name, const char* doc) {
        return attach<D>(Kind::end, m, name, doc);
    }
    template <class D> Tuning sees(Sees<D> C::*m, const char* name, const char* doc) {
        return attach<D>(Kind::sees, m, name, doc);
    }
    template <class D> Tuning reads(Reads<D> C::*m, const char* name, const char* doc) {
        return attach<D>(Kind::reads, m, name, doc);
    }
    /// Positive rates flow into the rig from outside it (fuel, work of the dyno, air from ambient).
    Tuning account(Account C::* m, const char* name, Ledger ledger, const char* doc) {
        const auto t =
            add(Kind::account, m, name, ledger == Ledger::energy || ledger == Ledger::meter ? "J" : "kg", doc);
        fields_.back().ledger = ledger;
        return t;
    }
    Tuning output(Output C::*m, const char* name, const char* unit, const char* doc) {
        return add(Kind::output, m, name, unit, doc);
    }

private:
    Tuning curve_axes(Tuning t, const char* x_name, const char* x_unit) {
        fields_.back().x_name = x_name, fields_.back().x_unit = x_unit;
        return t;
    }
};

}  // namespace pullcast
