#include <fmt/format.h>
#include <xxhash.h>

#include <array>
#include <pullcast/scenario/content_hash.hpp>

namespace pullcast {

std::string content_hash(const std::vector<Source>& files) {
    const std::unique_ptr<XXH3_state_t, decltype(&XXH3_freeState)> state(XXH3_createState(), &XXH3_freeState);
    if (!state) throw std::bad_alloc();
    XXH3_128bits_reset(state.get());
    for (const auto& f : files) {
        std::array<unsigned char, 8> length;
        for (std::size_t i = 0; i < length.size(); ++i)
            length[i] = static_cast<unsigned char>(std::uint64_t{f->text.size()} >> (8 * i));
        XXH3_128bits_update(state.get(), length.data(), length.size());
        XXH3_128bits_update(state.get(), f->text.data(), f->text.size());
    }
    XXH128_canonical_t canonical;
    XXH128_canonicalFromHash(&canonical, XXH3_128bits_digest(state.get()));
    return fmt::format("{:02x}", fmt::join(canonical.digest, ""));
}

}  // namespace pullcast
