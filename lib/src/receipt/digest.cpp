// Entry points: digest_of, is_secret, salt_of, to_hex, from_hex, random_seed.
#include "receipt/digest.hpp"

#include <sodium.h>

#include <algorithm>
#include <stdexcept>

namespace toprail {
namespace {

const unsigned char* bytes_of(std::string_view text) {
    return reinterpret_cast<const unsigned char*>(text.data());
}

int digit(char c) {
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

}  // namespace

void need_sodium() {
    static const int ready = sodium_init();
    if (ready < 0) {
        throw std::runtime_error("libsodium cannot be used on this machine");
    }
}

std::string to_hex(std::span<const std::uint8_t> bytes) {
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    text.reserve(bytes.size() * 2);
    for (const std::uint8_t byte : bytes) {
        text += digits[byte >> 4U];
        text += digits[byte & 0x0FU];
    }
    return text;
}

std::optional<std::string> from_hex(std::string_view digits, std::size_t size) {
    if (digits.size() != size * 2) {
        return std::nullopt;
    }
    std::string bytes;
    bytes.reserve(size);
    for (std::size_t i = 0; i < digits.size(); i += 2) {
        const int high = digit(digits[i]);
        const int low = digit(digits[i + 1]);
        if (high < 0 || low < 0) {
            return std::nullopt;
        }
        bytes += static_cast<char>(high * 16 + low);
    }
    return bytes;
}

std::string digest_of(std::string_view text) {
    std::array<std::uint8_t, crypto_hash_sha256_BYTES> hash{};
    crypto_hash_sha256(hash.data(), bytes_of(text), text.size());
    return to_hex(hash);
}

bool is_secret(const Seed& seed) {
    return std::any_of(seed.begin(), seed.end(), [](std::uint8_t byte) { return byte != 0; });
}

std::string salt_of(const Seed& seed, std::size_t entry) {
    static_assert(crypto_auth_hmacsha256_KEYBYTES == std::tuple_size_v<Seed>);
    static_assert(crypto_auth_hmacsha256_BYTES == salt_bytes);
    const std::string name = "told/" + std::to_string(entry);
    std::string salt(salt_bytes, '\0');
    crypto_auth_hmacsha256(reinterpret_cast<unsigned char*>(salt.data()), bytes_of(name),
                           name.size(), seed.data());
    return salt;
}

Seed random_seed() {
    need_sodium();
    Seed seed{};
    randombytes_buf(seed.data(), seed.size());
    return seed;
}

}  // namespace toprail
