/// What crosses the shared-object boundary: plain data and function pointers behind one C symbol. A plugin lists its
/// component types in PULLCAST_PLUGIN; everything else here is between the SDK and the engine.
#pragma once
#include <cstdint>
#include <concepts>
#include <cstdio>
#include <exception>
#include <new>
#include <pullcast/schema.hpp>

namespace pullcast {

inline constexpr std::uint32_t abi_version = 3;

/// A parameter combination that no component can work with: which parameter, and why. `why == nullptr` means none.
struct Problem {
    const char *parameter = nullptr, *why = nullptr;
};

template <class S> using Sweep = void (*)(const void* first, std::uint32_t n, std::uint32_t id, Arena<S>*);

struct ComponentType {
    const char *name, *role, *summary, *reference, *validity;
    const Field* fields;
    std::uint32_t field_count, size, align;
    void (*construct)(void*);
    Problem (*prepare)(void*);                         // derived constants, after the parameters are set; may be null
    void (*start)(const void*, double* x);             // initial states; may be null
    Stock (*stored)(const void*, const double* x);     // may be null: holds nothing
    void (*review)(const void*, const Recorded*);      // outputs that take the whole pull; may be null
    Sweep<double> publish, flow, balance;              // null where the component has no such sweep
    Sweep<Dual> publish_dual, flow_dual, balance_dual; // null in a plugin built for doubles only
};

struct Manifest {
    std::uint32_t abi, manifest_size, type_size, field_size, arena_size, dual_arena_size, recorded_size;
    const char *plugin, *version;
    const ComponentType* const* types;
    std::uint32_t type_count;
    const char* problem;  // set where the plugin's own declaration threw
};

namespace detail {

template <class C, template <class> class V, class S, void (*call)(const C&, V<S>)>
void sweep(const void* first, std::uint32_t n, std::uint32_t id, Arena<S>* a) {
    const V<S> view(*a);
    for (auto c = static_cast<const C*>(first); n--; ++c) {
        a->component = id++;
        call(*c, view);
    }
}
template <class C, class S> void publish(const C& c, Publish<S> v) { c.publish(v); }
template <class C, class S> void flow(const C& c, Flow<S> v) { c.flow(v); }
template <class C, class S> void balance(const C& c, Balance<S> v) { c.balance(v); }

}  // namespace detail

/// The type description of component `C`. C is a trivially copyable struct with `static void describe(Schema<C>&)`,
/// any of the sweeps `publish`, `flow`, `balance` (generic: `void flow(auto v) const`), and, where it has states,
/// `void start(Start) const`; where those hold mass or energy, `Stock stored(Held) const`; where it derives constants
/// from parameters or checks them, `Problem prepare()` (attachments are filled in by then, states and outputs are not);
/// where outputs take the whole pull, `void review(Review) const`.
template <class C>
const ComponentType* component(const char* name) {
    static_assert(std::is_trivially_copyable_v<C>,
                  "a component is parameters, handles and derived constants, nothing else");
    constexpr bool publishes = requires(const C& c, Publish<double> v) { c.publish(v); };
    constexpr bool flows = requires(const C& c, Flow<double> v) { c.flow(v); };
    constexpr bool balances = requires(const C& c, Balance<double> v) { c.balance(v); };
    static_assert(publishes || flows, "a component publishes a node, computes a flow, or both");

    static std::vector<Field> fields;
    static ComponentType t{};
    fields.clear();
    Schema<C> s(fields);
    C::describe(s);
    t.name = name, t.role = s.role, t.summary = s.summary, t.reference = s.reference, t.validity = s.validity;
    t.fields = fields.data(), t.field_count = static_cast<std::uint32_t>(fields.size());
    t.size = sizeof(C), t.align = alignof(C);
    t.construct = [](void* at) { new (at) C{}; };
    if constexpr (requires(C& c) { { c.prepare() } -> std::same_as<Problem>; })
        t.prepare = [](void* c) { return static_cast<C*>(c)->prepare(); };
    if constexpr (requires(const C& c, Start v) { c.start(v); })
        t.start = [](const void* c, double* x) { static_cast<const C*>(c)->start(Start(x)); };
    if constexpr (requires(const C& c, Held v) { c.stored(v); })
        t.stored = [](const void* c, const double* x) -> Stock { return static_cast<const C*>(c)->stored(Held(x)); };
    if constexpr (requires(const C& c, Review v) { c.review(v); })
        t.review = [](const void* c, const Recorded* r) { static_cast<const C*>(c)->review(Review(*r)); };
    if constexpr (publishes) {
        t.publish = detail::sweep<C, Publish, double, detail::publish<C, double>>;
        t.publish_dual = detail::sweep<C, Publish, Dual, detail::publish<C, Dual>>;
    }
    if constexpr (flows) {
        t.flow = detail::sweep<C, Flow, double, detail::flow<C, double>>;
        t.flow_dual = detail::sweep<C, Flow, Dual, detail::flow<C, Dual>>;
    }
    if constexpr (balances) {
        t.balance = detail::sweep<C, Balance, double, detail::balance<C, double>>;
        t.balance_dual = detail::sweep<C, Balance, Dual, detail::balance<C, Dual>>;
    }
    return &t;
}

}  // namespace pullcast

/// Declares the plugin NAME (an identifier) with its version string and its component types. Defines the C symbol
/// `pullcast_manifest` that the loader looks up, and `pullcast_manifest_NAME` for static linking.
#define PULLCAST_PLUGIN(NAME, VERSION, ...)                                                                           \
    extern "C" __attribute__((visibility("default"))) const ::pullcast::Manifest* pullcast_manifest_##NAME() {        \
        using namespace ::pullcast;                                                                                   \
        static Manifest m{abi_version,           sizeof(Manifest),    sizeof(ComponentType), sizeof(Field),           \
                          sizeof(Arena<double>), sizeof(Arena<Dual>), sizeof(Recorded),      #NAME,                   \
                          VERSION,               nullptr,             0,                     nullptr};                \
        try {                                                                                                         \
            static const ComponentType* const types[] = {__VA_ARGS__};                                                \
            m.types = types, m.type_count = sizeof types / sizeof *types;                                             \
        } catch (const std::exception& e) {                                                                           \
            static char text[256];                                                                                    \
            std::snprintf(text, sizeof text, "%s", e.what());                                                    \
            m.problem = text;                                                                                         \
        } catch (...) {                                                                                               \
            m.problem = "threw something that is not a std::exception";                                               \
        }                                                                                                             \
        return &m;                                                                                                    \
    }                                                                                                                 \
    extern "C" __attribute__((visibility("default"), weak)) const ::pullcast::Manifest* pullcast_manifest() {         \
        return pullcast_manifest_##NAME();                                                                            \
    }                                                                                                                 \
    static_assert(true)
