/// The [variant.NAME] tables of a study: what each changes, on top of the variant that it is `like`.
#pragma once
#include <pullcast/scenario/rig_file.hpp>
#include <pullcast/scenario/scenario.hpp>

namespace pullcast {

class VariantTable {
public:
    /// `variants` must outlive it.
    VariantTable(const Entry& variants, Diagnostics& d);

    std::vector<std::string> names() const;  // in the order of the file

    /// Sets title and changes of a variant, and applies the changes to `rig` (of the conditions): those of what it is
    /// like first. False after an error that leaves unknown what it is.
    bool apply(const std::string& name, RigTree& rig, Variant& out);

private:
    struct Own {
        std::string name, title;
        const Entry *like = nullptr, *set = nullptr;
        Own* base = nullptr;  // what it is like
        bool broken = false;
    };
    Own read(const Entry& e) const;
    Own* find(std::string_view name);
    void find_base(Own& v);
    void find_circles();
    void report_circle(std::vector<Own*> circle) const;
    std::vector<const Own*> chain(const Own& v) const;  // v last; empty where one is broken

    Diagnostics& d_;
    std::vector<Own> all_;
};

}  // namespace pullcast
