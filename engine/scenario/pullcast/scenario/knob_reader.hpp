/// Reads [knob.NAME] tables (knobs.hpp) and tries every value of them on a study's base variant.
#pragma once
#include <pullcast/scenario/rig_binder.hpp>

namespace pullcast {

class KnobReader {
public:
    /// `trees` are the rigs of the study's variants with their changes, in the same order.
    KnobReader(const Registry& registry, PartShelf& shelf, const RigBinder::Roles& roles, const Study& study,
               const std::vector<RigTree>& trees, std::size_t base, Diagnostics& d);

    std::vector<Knob> read(const Entry& knobs);

private:
    enum class Turns { part, model, word, number, whole };
    /// What a path leads to. A path that leads nowhere has no kind: the binder knows what is wrong with it.
    struct Target {
        std::string path, owner, key;
        Place place;
        std::optional<Turns> turns;
        std::optional<Field> field;       // of a key; one without `turns` is nothing to turn
        std::string within;               // the path where it is tried: without "step.NAME.set."
        std::optional<std::size_t> step;  // of the session, which is turned
        bool broken = false;              // what is wrong with it is told
        bool is_length() const { return step && within.empty(); }
    };
    /// A [knob.NAME] as it stands in the file.
    struct Draft {
        std::string where;  // "[knob.pulley]"
        Place place;
        std::vector<Target> targets{};
        const Entry *list = nullptr, *from = nullptr, *to = nullptr, *step = nullptr;  // list: the choices
        std::vector<const Part*> parts{};                                              // of the choices
    };

    std::optional<Knob> read_knob(const Entry& e);
    std::vector<const Value*> texts(const Entry& list, const Draft& draft);
    Target target(const Value& path) const;
    Target step_target(const Value& path) const;
    void refuse(Target& t, const std::string& message, const std::string& hint) const;
    void resolve(Target& t) const;
    const Variant& variant_of(const Target& t, std::size_t variant) const;
    static std::string described(const Target& t);
    void claim(const Target& t, const std::string& knob);
    bool is_turnable(const Target& t);
    bool agree(const Draft& draft);
    bool has_form(const Draft& draft);
    bool fits_form(const Draft& draft);
    void read_choices(Draft& draft, Knob& knob);
    void read_range(const Draft& draft, Knob& knob);
    std::optional<double> end_of_range(const Draft& draft, const Entry& e);
    void read_step(const Draft& draft, Knob& knob);
    void turn(const Draft& draft, const Value& value);
    void tell(const Diagnostic& e, const Draft& draft, const Value& value);

    void find_starts(const Draft& draft, Knob& knob);
    std::optional<double> number_in(const Variant& v, const Target& t) const;
    std::optional<std::string> choice_in(std::size_t variant, const Draft& draft, const Knob& knob);

    PartShelf& shelf_;
    const RigBinder::Roles& roles_;
    const Study& study_;
    const std::vector<RigTree>& trees_;
    std::size_t base_;
    Diagnostics& d_;
    Diagnostics tried_;  // of values on the base variant; its warnings are of no variant of the study
    RigBinder binder_;
    std::map<std::string, std::pair<std::string, Place>> claimed_;  // path -> knob
};

}  // namespace pullcast
