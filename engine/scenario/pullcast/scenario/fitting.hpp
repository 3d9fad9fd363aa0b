/// Lays the parts of a component out: which setting of a key wins.
///
/// A later layer wins over an earlier one (what a rig extends, the rig, a study's conditions, its variant); a part
/// counts to the layer that names it. Within a layer a component's own key wins over a part's. Two parts that set the
/// same key are a conflict, unless the component's own key wins over both.
#pragma once
#include <pullcast/scenario/part_file.hpp>

namespace pullcast {

/// A component, or the shared values, with one setting for each key.
struct FittedSection {
    const Section* section = nullptr;
    std::vector<Setting> settings;
    std::vector<std::pair<const Setting*, const Part*>> parts;  // slot, part
    const ComponentType* type = nullptr;                        // null after an error, and of the shared values
    bool incomplete = false;                                    // a part could not be read

    const std::string& name() const { return section->name; }
    const Setting* find(std::string_view key) const;
};

FittedSection fit(const Section& section, PartShelf& shelf, Diagnostics& d);

}  // namespace pullcast
