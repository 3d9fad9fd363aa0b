/// The numbers of the reference rig, read from parameters.csv: the file that all its versions share.
#pragma once
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>

namespace pullcast::reference {

class Parameters {
    std::map<std::string, double> value_;

public:
    explicit Parameters(const std::string& file) {
        std::ifstream in(file);
        std::string line;
        if (!std::getline(in, line)) throw std::runtime_error("cannot read " + file);
        while (std::getline(in, line)) {
            const auto first = line.find(','), second = line.find(',', first + 1);
            value_[line.substr(0, first)] = std::stod(line.substr(first + 1, second - first - 1));
        }
    }
    double operator[](const std::string& name) const { return value_.at(name); }
};

}  // namespace pullcast::reference
