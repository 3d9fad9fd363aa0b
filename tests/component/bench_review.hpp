/// A pull on the bench: report points put down one by one, then judged by the component's `review`.
///
///     Recording pull(b);
///     for (...) b.gas("manifold") = ..., b.evaluate(), pull.add(time);
///     pull.review();
///     pull.output("margin", 3);   // at one point; without a number: at all
#pragma once
#include <cstdint>
#include <string>
#include <vector>

#include "bench.hpp"

namespace pullcast::test {

class Recording {
public:
    static constexpr double untouched = -7.25e77;  // in columns that belong to others
    static constexpr std::size_t foreign = 3;      // outputs of others, numbered after the component's own

    explicit Recording(Bench& b) : b_(b) {
        for (auto& c : node_column_) c.assign(b.nodes().size(), 0);
        for (const auto& n : b.nodes()) {
            node_column_[n.domain][n.index] = channels_;
            channels_ += static_cast<std::uint32_t>(domain_layout[n.domain].potentials);
        }
        first_output_ = channels_;
        for (std::size_t k = 0; k < b.output_names().size() + foreign; ++k) output_column_.push_back(channels_++);
    }

    /// The bench as it stands becomes a report point.
    void add(double time) {
        time_.push_back(time);
        values_.resize(values_.size() + channels_, untouched);
        for (const auto& n : b_.nodes()) {
            const auto column = node_column_[n.domain][n.index];
            std::copy_n(potentials(n), domain_layout[n.domain].potentials,
                        &values_[values_.size() - channels_ + column]);
        }
        for (const auto& name : b_.output_names()) at(name, points() - 1) = b_.output(name);
    }
    void review() {
        Recorded r;
        r.points = static_cast<std::uint32_t>(points()), r.channels = channels_;
        r.time = time_.data(), r.values = values_.data();
        for (int d = 0; d < domain_count; ++d) r.node_column[d] = node_column_[d].data();
        r.output_column = output_column_.data();
        b_.type().review(b_.body(), &r);
    }

    std::size_t points() const { return time_.size(); }
    double time(std::size_t point) const { return time_[point]; }
    double output(const std::string& name, std::size_t point) const { return values_[place(name, point)]; }
    std::vector<double> output(const std::string& name) const {
        std::vector<double> all;
        for (std::size_t k = 0; k < points(); ++k) all.push_back(output(name, k));
        return all;
    }
    /// Row by row: potentials of nodes, own outputs, outputs of others.
    const std::vector<double>& values() const { return values_; }
    bool is_own_output(std::size_t value) const {
        const auto column = value % channels_;
        return first_output_ <= column && column < channels_ - foreign;
    }

    std::string name_of(std::size_t value) const {
        const auto column = value % channels_;
        if (column < first_output_) return "a node";
        return is_own_output(value) ? "'" + b_.output_names()[column - first_output_] + "'" : "an output of another";
    }

private:
    std::size_t place(const std::string& name, std::size_t point) const {
        return point * channels_ + output_column_[Derivatives::index(b_.output_names(), name)];
    }
    double& at(const std::string& name, std::size_t point) { return values_[place(name, point)]; }
    const double* potentials(const Bench::NodeOf& n) {
        const auto first = [&](auto& potential) { return reinterpret_cast<const double*>(&potential); };
        switch (n.domain) {
            case Gas::id:
                return first(b_.gas(n.name));
            case Coolant::id:
                return first(b_.coolant(n.name));
            case Heat::id:
                return first(b_.heat(n.name));
            case Shaft::id:
                return first(b_.shaft(n.name));
            default:
                return first(b_.signal(n.name));
        }
    }

    Bench& b_;
    std::uint32_t channels_ = 0, first_output_ = 0;
    std::array<std::vector<std::uint32_t>, domain_count> node_column_;
    std::vector<std::uint32_t> output_column_;
    std::vector<double> time_, values_;
};

}  // namespace pullcast::test
