// SHA-256, salts and hexadecimal digits, by way of libsodium. Pure functions; thread-safe.
#pragma once

#include "toprail/receipt.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace toprail {

/// Readies libsodium. Every function that needs more than hashing calls it first.
void need_sodium();

std::string to_hex(std::span<const std::uint8_t> bytes);

/// Exactly `size` bytes from twice as many lower-case hexadecimal digits; empty otherwise.
std::optional<std::string> from_hex(std::string_view digits, std::size_t size);

/// SHA-256 of the text, in hexadecimal digits.
std::string digest_of(std::string_view text);

/// False for all zeros, from which the salts are made where there is no seed: everybody knows them.
bool is_secret(const Seed& seed);

/// The salt of one entry of a receipt, 32 raw bytes.
std::string salt_of(const Seed& seed, std::size_t entry);

inline constexpr std::size_t digest_digits = 64;
inline constexpr std::size_t salt_bytes = 32;

}  // namespace toprail
