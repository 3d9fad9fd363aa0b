#include "token.hpp"

#include <fmt/format.h>
#include <openssl/crypto.h>
#include <sys/random.h>

#include <array>
#include <cerrno>
#include <system_error>

namespace pullcast {

std::string new_token() {
    std::array<unsigned char, 24> bits;
    if (getrandom(bits.data(), bits.size(), 0) != static_cast<ssize_t>(bits.size()))
        throw std::system_error(errno, std::generic_category(), "getrandom");
    std::string text;
    for (const auto b : bits) text += fmt::format("{:02x}", b);
    return text;
}

bool same_token(std::string_view given, std::string_view token) {
    return given.size() == token.size() && CRYPTO_memcmp(given.data(), token.data(), token.size()) == 0;
}

}  // namespace pullcast
