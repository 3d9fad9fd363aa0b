#include "page_policy.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>

#include <array>
#include <stdexcept>

namespace pullcast {
namespace {

std::string sha256_base64(std::string_view text) {
    std::array<unsigned char, 32> hash;
    if (!EVP_Digest(text.data(), text.size(), hash.data(), nullptr, EVP_sha256(), nullptr))
        throw std::runtime_error("SHA-256 is not available");
    std::array<unsigned char, 45> encoded;  // 44 characters and the end
    const int size = EVP_EncodeBlock(encoded.data(), hash.data(), hash.size());
    return {encoded.begin(), encoded.begin() + size};
}

}  // namespace

std::string page_policy(std::initializer_list<Bundle> bundles) {
    std::string scripts, styles;
    for (const auto& b : bundles) {
        scripts += fmt::format(" 'sha256-{}'", sha256_base64(b.script));
        styles += fmt::format(" 'sha256-{}'", sha256_base64(b.style));
    }
    return fmt::format("{}; script-src{}; style-src{}; connect-src 'self'; img-src data:", closed_policy, scripts,
                       styles);
}

}  // namespace pullcast
