// Every component type of every built-in plugin, against every check of conformance_checks.hpp.
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <pullcast/network/registry.hpp>
#include <pullcast/scenario/units.hpp>
#include <set>
#include <sstream>

#include "allocation_count.hpp"
#include "conformance_checks.hpp"

namespace conformance_tests {

using namespace pullcast;
using namespace pullcast::test;

struct BuiltIn {
    Registry registry;
    std::string problem;
    BuiltIn() {
        for (const auto& file : std::filesystem::directory_iterator(PULLCAST_PLUGINS)) try {
                if (file.path().extension() == ".so") registry.load(file.path(), Registry::Trust::own);
            } catch (const PluginError& e) {
                problem += std::string(e.what()) + "\n";  // the other plugins are checked all the same
            }
    }
};
const BuiltIn& built_in() {
    static const BuiltIn all;
    return all;
}

std::string sentences(const Faults& faults) {
    std::string text;
    for (const auto& f : faults) text += "\n  " + f;
    return text;
}

class Conformance : public testing::TestWithParam<const ComponentType*> {
protected:
    void expect_none(Faults (*check)(const ComponentType&)) {
        Faults faults;
        ASSERT_NO_THROW(faults = check(*GetParam()));
        EXPECT_TRUE(faults.empty()) << GetParam()->name << ":" << sentences(faults);
    }
};

TEST_P(Conformance, conserves) { expect_none(conserves); }
TEST_P(Conformance, reverses) { expect_none(reverses); }
TEST_P(Conformance, finite) { expect_none(finite); }
TEST_P(Conformance, smooth) { expect_none(smooth); }
TEST_P(Conformance, reviews) { expect_none(reviews); }
TEST_P(Conformance, allocation_free) {
    if (!allocations_are_counted()) GTEST_SKIP() << "a sanitizer owns the allocator";
    expect_none(allocation_free);
}
TEST_P(Conformance, documented) { expect_none(documented); }

/// The family's README names the type, and the type's name starts with its family.
TEST_P(Conformance, has_a_row_in_its_readme) {
    const std::string name = GetParam()->name, family = built_in().registry.entries().at(name).plugin;
    EXPECT_EQ(name.substr(0, name.find('.')), family);
    std::ifstream in(std::string(PULLCAST_SOURCE) + "/plugins/" + family + "/README.md");
    std::stringstream text;
    text << in.rdbuf();
    EXPECT_NE(text.str().find(name), std::string::npos) << "plugins/" << family << "/README.md must mention " << name;
}

/// Every unit of the schema is one that people can write in files.
TEST_P(Conformance, units_are_known_to_the_reader) {
    for (std::uint32_t i = 0; i < GetParam()->field_count; ++i) {
        const Field& f = GetParam()->fields[i];
        for (const char* unit : {f.unit, f.x_unit, f.y_unit})
            EXPECT_TRUE(!*unit || std::holds_alternative<Unit>(parse_unit(unit))) << f.name << " in " << unit;
    }
}

std::string test_name(const testing::TestParamInfo<const ComponentType*>& info) {
    std::string name = info.param->name;
    std::replace_if(name.begin(), name.end(), [](char c) { return !std::isalnum(static_cast<unsigned char>(c)); }, '_');
    return name;
}
INSTANTIATE_TEST_SUITE_P(every, Conformance, testing::ValuesIn(built_in().registry.types()), test_name);
GTEST_ALLOW_UNINSTANTIATED_PARAMETERIZED_TEST(Conformance);

TEST(ConformanceOfTheSet, plugins_load) {
    EXPECT_EQ(built_in().problem, "");
    EXPECT_FALSE(built_in().registry.types().empty());
}

/// All types of a role publish the same nodes, and require only ends that the others know too: swapping is one line.
TEST(ConformanceOfTheSet, types_of_a_role_can_be_swapped) {
    struct Names {
        std::set<std::string> nodes, required, known;
    };
    std::map<std::string, std::map<std::string, Names>> roles;
    for (const ComponentType* t : built_in().registry.types()) {
        Names& n = roles[t->role][t->name];
        for (std::uint32_t i = 0; i < t->field_count; ++i) {
            const Field& f = t->fields[i];
            if (f.kind == Kind::node) n.nodes.insert(f.name);
            if (f.kind < Kind::end || f.kind > Kind::reads) continue;
            n.known.insert(f.name);
            if (!f.optional) n.required.insert(f.name);
        }
    }
    for (const auto& [role, types] : roles)
        for (const auto& [a, names_a] : types)
            for (const auto& [b, names_b] : types) {
                EXPECT_EQ(names_a.nodes, names_b.nodes) << "nodes of " << a << " and " << b;
                for (const auto& end : names_a.required)
                    EXPECT_TRUE(names_b.known.count(end)) << a << " requires '" << end << "', unknown to " << b;
            }
}

/// Each role has at least two models.
TEST(ConformanceOfTheSet, every_role_has_two_models) {
    std::map<std::string, int> models;
    for (const ComponentType* t : built_in().registry.types()) ++models[t->role];
    for (const auto& [role, count] : models) EXPECT_GE(count, 2) << "only one model for the role " << role;
}

}  // namespace conformance_tests
