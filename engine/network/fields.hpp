/// A type's fields, and the members of an object that they describe.
#pragma once
#include <cstddef>
#include <cstring>
#include <pullcast/plugin.hpp>
#include <span>

namespace pullcast {

inline std::span<const Field> fields(const ComponentType& t) { return {t.fields, t.field_count}; }
inline bool attaches(Kind k) { return k == Kind::end || k == Kind::sees || k == Kind::reads; }
inline bool parameter(Kind k) { return k <= Kind::map; }

template <class T>
void write(std::byte* object, std::uint32_t offset, const T& v) {
    std::memcpy(object + offset, &v, sizeof v);
}
template <class T>
T read(const std::byte* object, std::uint32_t offset) {
    T v;
    std::memcpy(&v, object + offset, sizeof v);
    return v;
}

}  // namespace pullcast
