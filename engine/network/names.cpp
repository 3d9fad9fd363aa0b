#include <algorithm>
#include <pullcast/network/names.hpp>

namespace pullcast {
namespace {

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) last[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (a[i - 1] != b[j - 1])});
            if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                row[j] = std::min(row[j], before[j - 2] + 1);
        }
        before.swap(last);
        last.swap(row);
    }
    return last[b.size()];
}

}  // namespace

std::string nearest_name(std::string_view name, const std::vector<std::string>& candidates) {
    std::string best;
    std::size_t least = std::max<std::size_t>(2, name.size() / 3) + 1;
    for (const auto& c : candidates)
        if (const auto d = edit_distance(name, c); d < least) least = d, best = c;
    return best;
}

}  // namespace pullcast
