// Every way in which a plugin can be wrong ends in one line that names the file.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <pullcast/network/registry.hpp>

namespace plugin_errors_tests {

using namespace pullcast;

const std::string folder = PULLCAST_TEST_PLUGINS "/";

std::string message_of(const std::string& file, bool with_built_in = false) {
    Registry registry;
    if (with_built_in) registry.load_folder(PULLCAST_PLUGINS);
    try {
        registry.load(folder + file);
    } catch (const PluginError& e) {
        return std::string(e.what()).substr(folder.size());
    }
    return "loaded";
}

TEST(PluginErrors, MissingFile) { EXPECT_EQ(message_of("nothing_here.so"), "nothing_here.so: no such file"); }

TEST(PluginErrors, NotALibrary) {
    EXPECT_EQ(message_of("not_a_library.so"), "not_a_library.so: cannot be loaded: file too short");
}

TEST(PluginErrors, NoSymbol) {
    EXPECT_EQ(message_of("no_symbol.so"),
              "no_symbol.so: has no symbol 'pullcast_manifest'; declare the plugin with PULLCAST_PLUGIN");
}

TEST(PluginErrors, WrongAbi) {
    EXPECT_EQ(message_of("wrong_abi.so"),
              fmt::format("wrong_abi.so: built for ABI {}, this engine speaks ABI {}; rebuild the plugin",
                          abi_version + 1, abi_version));
}

TEST(PluginErrors, OtherSdk) {
    EXPECT_EQ(message_of("other_sdk.so"),
              fmt::format("other_sdk.so: built with another SDK (Field has 8 bytes there, {} here); rebuild the plugin",
                          sizeof(Field)));
}

TEST(PluginErrors, DuplicateType) {
    EXPECT_EQ(message_of("duplicate.so", true),
              "duplicate.so: type 'gas.restriction' is already registered by " PULLCAST_PLUGINS "/gas.so");
}

TEST(PluginErrors, TypeListedTwice) { EXPECT_EQ(message_of("twice.so"), "twice.so: lists type 'test.twice' twice"); }

TEST(PluginErrors, Undocumented) {
    EXPECT_EQ(message_of("undocumented.so"),
              "undocumented.so: type 'test.undocumented': field 'conductance' has no documentation");
}

TEST(PluginErrors, ThrowingDeclaration) {
    EXPECT_EQ(message_of("throws_describe.so"), "throws_describe.so: its declaration failed: no licence for this part");
}

TEST(PluginErrors, ThrowingConstructor) {
    EXPECT_EQ(message_of("throws_static.so"),
              "throws_static.so: ended its process while loading (signal 6); an exception in a static initialiser or "
              "in a constructor does this");
}

TEST(PluginErrors, EmptyFolder) {
    Registry registry;
    try {
        registry.load_folder(PULLCAST_SOURCE "/scenarios");
        FAIL();
    } catch (const PluginError& e) {
        EXPECT_EQ(e.what(), std::string(PULLCAST_SOURCE "/scenarios: holds no plugins (*.so)"));
    }
}

// A refused plugin leaves nothing behind.
TEST(PluginErrors, AllOrNothing) {
    Registry registry;
    EXPECT_THROW(registry.load(folder + "twice.so"), PluginError);
    EXPECT_TRUE(registry.types().empty());
}

}  // namespace plugin_errors_tests
