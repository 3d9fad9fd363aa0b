/// What a path of a knob leads to, found in a variant or in its rig's tree.
#pragma once
#include <pullcast/scenario/field_value.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

const ComponentSpec* component_of(const Variant& v, std::string_view name);
const Section* section_of(const RigTree& tree, std::string_view name);
std::optional<Field> key_of(const ComponentSpec* c, std::string_view key);
/// The field that a shared value fills, with the doc of the first component that takes it.
std::optional<Field> common_key(const Variant& v, const std::string& key);

}  // namespace pullcast
