// Two plugin families compiled into this program and registered by their manifests, with no loader in between. A rig of
// both must compile and give, bit for bit, the right-hand side that the shared objects of the same sources give.
#include <dlfcn.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cstring>
#include <pullcast/network/network.hpp>
#include <pullcast/network/registry.hpp>

extern "C" const pullcast::Manifest* pullcast_manifest_gas();
extern "C" const pullcast::Manifest* pullcast_manifest_sensor();

namespace {

using namespace pullcast;

Registry linked() {
    Registry registry;
    registry.add(*pullcast_manifest_gas(), "built in");
    registry.add(*pullcast_manifest_sensor(), "built in");
    return registry;
}

Registry loaded() {
    Registry registry;
    for (const char* name : {"gas.so", "sensor.so"})
        registry.load(std::filesystem::path(PULLCAST_PLUGINS) / name, Registry::Trust::own);
    return registry;
}

/// The program or shared object that holds a model's code.
std::string module_of(const Registry& registry, const char* model) {
    Dl_info info{};
    return dladdr(reinterpret_cast<void*>(registry.find(model)->construct), &info) ? info.dli_fname : "";
}

/// ambient -> filter -> box, a thermometer in the box
RigSpec rig(const Registry& registry) {
    RigSpec spec;
    const auto add = [&](const char* name, const char* model, std::map<std::string, ParameterValue> parameters,
                         std::map<std::string, std::string> connections) {
        spec.components.push_back({name, registry.find(model), std::move(parameters), std::move(connections)});
    };
    add("ambient", "gas.ambient", {{"pressure", 98000.0}, {"temperature", 303.15}}, {});
    add("filter", "gas.restriction", {{"rated_flow", 0.3}, {"rated_pressure_drop", 1600.0}},
        {{"from", "ambient.air"}, {"to", "box.gas"}});
    add("box", "gas.volume", {{"volume", 0.006}, {"start_pressure", 97000.0}, {"start_temperature", 320.0}}, {});
    add("thermometer", "sensor.lag", {{"time_constant", 1.5}}, {{"at", "box.gas"}});
    return spec;
}

std::vector<double> right_hand_side(const Registry& registry) {
    const Network network(rig(registry));
    Workspace<double> w(network);
    network.start(w.x.data());
    EXPECT_TRUE(network.evaluate(w));
    return w.dx;
}

TEST(static_link, manifests_register_without_a_loader) {
    const auto registry = linked();
    for (const char* name : {"gas.ambient", "gas.restriction", "gas.volume", "sensor.lag"}) {
        ASSERT_NE(registry.find(name), nullptr) << name;
        EXPECT_EQ(registry.entries().at(name).origin, "built in");
        EXPECT_TRUE(module_of(registry, name).ends_with("test_static_link")) << module_of(registry, name);
    }
    EXPECT_EQ(registry.types().size(), pullcast_manifest_gas()->type_count + pullcast_manifest_sensor()->type_count);
}

TEST(static_link, a_network_compiles_and_breathes_in) {
    const auto registry = linked();
    const Network network(rig(registry));
    EXPECT_TRUE(network.differentiable());
    const auto dx = right_hand_side(registry);
    const auto& names = network.names();
    const auto mass = std::find(names.begin(), names.end(), "box.mass");
    ASSERT_NE(mass, names.end());
    // By hand: vapour 0.5 x 4247 Pa (saturation at 30 degC, steam tables), so the outside air weighs
    //     95877 / (287.05 x 303.15) + 2123 / (461.5 x 303.15) = 1.1170 kg/m^3,
    // and 1 kPa over a filter rated 1.6 kPa at 0.3 kg/s and 1.2 kg/m^3 lets through
    //     0.3 sqrt(1000 / 1600) sqrt(1.1170 / 1.2) = 0.2288 kg/s.
    EXPECT_NEAR(dx[static_cast<std::size_t>(mass - names.begin())], 0.2288, 0.0001);
}

TEST(static_link, shared_objects_of_the_same_sources_give_the_same_bits) {
    EXPECT_TRUE(module_of(loaded(), "gas.volume").ends_with("gas.so"));
    EXPECT_TRUE(module_of(loaded(), "sensor.lag").ends_with("sensor.so"));
    const auto here = right_hand_side(linked()), there = right_hand_side(loaded());
    ASSERT_EQ(here.size(), there.size());
    EXPECT_EQ(std::memcmp(here.data(), there.data(), here.size() * sizeof(double)), 0);
}

TEST(static_link, a_family_cannot_come_twice) {
    auto registry = linked();
    EXPECT_THROW(registry.load(std::filesystem::path(PULLCAST_PLUGINS) / "gas.so", Registry::Trust::own), PluginError);
}

}  // namespace
