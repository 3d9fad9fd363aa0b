/// A few component types without physics, and scenario files in a folder of their own: what the tests of the scenario
/// reader need.
#pragma once
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <map>
#include <pullcast/scenario/scenario.hpp>
#include <pullcast/sdk.hpp>
#include <string>

namespace fake {

using namespace pullcast;

struct Ambient {
    double temperature, pressure;
    Node<Gas> air;
    Node<Heat> surroundings;
    static void describe(Schema<Ambient>& s) {
        s.role = "ambient", s.summary = "stores nothing", s.reference = "-", s.validity = "-";
        s.number(&Ambient::temperature, "temperature", "K", "air temperature").in(220, 340).preset(293.15);
        s.number(&Ambient::pressure, "pressure", "Pa", "air pressure").in(5e4, 1.2e5).preset(101325);
        s.node(&Ambient::air, "air", "outside air");
        s.node(&Ambient::surroundings, "surroundings", "what heat is lost to");
    }
    void publish(auto) const {}
};

struct Volume {
    double volume, start_temperature;
    Node<Gas> gas;
    Node<Heat> wall;
    static void describe(Schema<Volume>& s) {
        s.role = "volume", s.summary = "stores gas", s.reference = "-", s.validity = "-";
        s.number(&Volume::volume, "volume", "m^3", "inner volume").positive();
        s.number(&Volume::start_temperature, "start_temperature", "K", "gas at the start").in(200, 1500)
            .common("start_temperature").preset(293.15);
        s.node(&Volume::gas, "gas", "the gas");
        s.node(&Volume::wall, "wall", "the wall");
    }
    void publish(auto) const {}
};

struct Finned {
    double width, fin_pitch, glycol;
    std::int32_t rows, fin;
    End<Gas> from, to;
    End<Heat> surroundings;
    static void describe(Schema<Finned>& s) {
        s.role = "cooler", s.summary = "transports gas", s.reference = "-", s.validity = "-";
        s.number(&Finned::width, "width", "m", "core width").positive();
        s.number(&Finned::fin_pitch, "fin_pitch", "m", "distance of fins").in(5e-4, 0.01).preset(0.002);
        s.number(&Finned::glycol, "glycol", "1", "volume fraction of glycol").in(0, 0.6).common("glycol");
        s.integer(&Finned::rows, "rows", "rows of tubes").in(1, 20).preset(2);
        s.choice(&Finned::fin, "fin", "louver|offset strip", "kind of fin").preset(0);
        s.end(&Finned::from, "from", "charge in");
        s.end(&Finned::to, "to", "charge out");
        s.end(&Finned::surroundings, "surroundings", "where its case loses heat to").optional();
    }
    void flow(auto) const {}
};

struct Duct {
    double width;
    End<Gas> from, to;
    static void describe(Schema<Duct>& s) {
        s.role = "cooler", s.summary = "transports gas", s.reference = "-", s.validity = "-";
        s.number(&Duct::width, "width", "m", "duct width").positive();
        s.end(&Duct::from, "from", "charge in");
        s.end(&Duct::to, "to", "charge out");
    }
    void flow(auto) const {}
};

struct Blower {
    Map efficiency;
    Curve leakage;
    End<Gas> from, to;
    static void describe(Schema<Blower>& s) {
        s.role = "blower", s.summary = "transports gas", s.reference = "-", s.validity = "-";
        s.map(&Blower::efficiency, "efficiency", "1", "speed", "rad/s", "pressure_ratio", "1", "isentropic efficiency")
            .in(0, 1);
        s.curve(&Blower::leakage, "leakage", "kg/s", "pressure_rise", "Pa", "flow past the rotors").optional();
        s.end(&Blower::from, "from", "inlet");
        s.end(&Blower::to, "to", "outlet");
    }
    void flow(auto) const {}
};

inline const Registry& registry() {
    static const Registry all = [] {
        static const ComponentType* const types[] = {component<Ambient>("gas.ambient"), component<Volume>("gas.volume"),
                                                     component<Finned>("cooler.finned"), component<Duct>("cooler.duct"),
                                                     component<Blower>("blower.map")};
        const Manifest m{abi_version,
                         sizeof(Manifest),
                         sizeof(ComponentType),
                         sizeof(Field),
                         sizeof(Arena<double>),
                         sizeof(Arena<Dual>),
                         sizeof(Recorded),
                         "fake",
                         "1",
                         types,
                         std::size(types),
                         nullptr};
        Registry r;
        r.add(m, "built in");
        return r;
    }();
    return all;
}

using Files = std::map<std::string, std::string>;  // path -> text

/// Stands in an empty folder that holds the files of the test.
class Folder : public testing::Test {
protected:
    void SetUp() override {
        before_ = std::filesystem::current_path();
        const auto* test = testing::UnitTest::GetInstance()->current_test_info();
        std::string name = std::string("pullcast_") + test->test_suite_name() + "_" + test->name();
        std::replace(name.begin(), name.end(), '/', '_');
        folder_ = std::filesystem::temp_directory_path() / name;
        std::filesystem::remove_all(folder_);
        std::filesystem::create_directories(folder_);
        std::filesystem::current_path(folder_);
    }
    void TearDown() override {
        std::filesystem::current_path(before_);
        std::filesystem::remove_all(folder_);
    }

public:
    static void write(const Files& files) {
        for (const auto& [path, text] : files) {
            if (const auto folder = std::filesystem::path(path).parent_path(); !folder.empty())
                std::filesystem::create_directories(folder);
            std::ofstream(path, std::ios::binary) << text;
        }
    }
    static Study read(const std::string& file) { return read_study(file, registry()); }
    /// The whole text of the load's errors; "" if it loads.
    static std::string errors(const std::string& file) {
        try {
            read(file);
        } catch (const ScenarioError& e) {
            return e.what();
        }
        return "";
    }

private:
    std::filesystem::path before_, folder_;
};

/// A rig of every fake type, without a fault.
inline const char* const good_rig = R"(title = "Demo rig"
[common]
glycol = "50 %"
start_temperature = "25 degC"
[component.ambient]
model = "gas.ambient"
[component.duct]
model = "gas.volume"
volume = "4 L"
[component.manifold]
model = "gas.volume"
volume = "3 L"
[component.blower]
model = "blower.map"
from = "ambient"
to = "duct.gas"
[component.blower.efficiency]
"speed [rpm]" = [4000, 12000]
"pressure_ratio" = [1, 2, 3]
"efficiency [%]" = [[50, 60, 55], [52, 64, 60]]
[component.cooler]
model = "cooler.finned"
parts = { core = "core-a" }
from = "duct"
to = "manifold.gas"
surroundings = "ambient"
)";
inline const char* const core_a = R"(name = "Core A"
note = "invented"
price = "420 EUR"
role = "cooler"
[set]
width = "300 mm"
fin_pitch = "2 mm"
)";

}  // namespace fake
