// A pressure link with one documented parameter; the bad plugins vary it.
#pragma once
#include <pullcast/sdk.hpp>
#include <stdexcept>

namespace {
using namespace pullcast;

enum class Fault { none, throws_in_describe, no_doc, makes_nan };

template <Fault fault>
struct Sample {
    double conductance;
    End<Gas> from, to;

    static void describe(Schema<Sample>& s) {
        s.role = "restriction";
        s.summary = "transports gas in proportion to pressure difference", s.reference = "none: for tests",
        s.validity = "tests";
        s.number(&Sample::conductance, "conductance", "kg/(s Pa)",
                 fault == Fault::no_doc ? "" : "flow over pressure difference")
            .positive()
            .preset(1e-5);
        s.end(&Sample::from, "from", "upstream node for positive flow");
        s.end(&Sample::to, "to", "downstream node for positive flow");
        if (fault == Fault::throws_in_describe) throw std::runtime_error("no licence for this part");
    }
    void flow(auto v) const {
        using std::sqrt;
        auto m = conductance * (v[from].p - v[to].p);
        if (fault == Fault::makes_nan && v.time() > 0.5) m = sqrt(-1 - m * m);
        v.transfer(from, to, carried(m, v[from], v[to]));
    }
};
}  // namespace
