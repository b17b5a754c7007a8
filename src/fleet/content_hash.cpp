// SPDX-License-Identifier: Apache-2.0
// XXH64: four lanes over stripes of 32 bytes, then the tail, then an avalanche.
#include "fleet/content_hash.hpp"

#include <algorithm>
#include <bit>
#include <cstring>

#include <fmt/core.h>

namespace coolband {

namespace {

constexpr std::uint64_t k_prime_1 = 0x9E3779B185EBCA87ULL;
constexpr std::uint64_t k_prime_2 = 0xC2B2AE3D27D4EB4FULL;
constexpr std::uint64_t k_prime_3 = 0x165667B19E3779F9ULL;
constexpr std::uint64_t k_prime_4 = 0x85EBCA77C2B2AE63ULL;
constexpr std::uint64_t k_prime_5 = 0x27D4EB2F165667C5ULL;

template <class Word>
Word word_at(const char* bytes) {
  static_assert(std::endian::native == std::endian::little, "words are read as they lie");
  Word word{};
  std::memcpy(&word, bytes, sizeof word);
  return word;
}

std::uint64_t round_of(std::uint64_t lane, std::uint64_t input) {
  return std::rotl(lane + input * k_prime_2, 31) * k_prime_1;
}

std::uint64_t merged(std::uint64_t hash, std::uint64_t lane) {
  return (hash ^ round_of(0, lane)) * k_prime_1 + k_prime_4;
}

std::uint64_t with_tail(std::uint64_t hash, std::string_view tail) {
  for (; tail.size() >= 8; tail.remove_prefix(8)) {
    hash ^= round_of(0, word_at<std::uint64_t>(tail.data()));
    hash = std::rotl(hash, 27) * k_prime_1 + k_prime_4;
  }
  if (tail.size() >= 4) {
    hash ^= word_at<std::uint32_t>(tail.data()) * k_prime_1;
    hash = std::rotl(hash, 23) * k_prime_2 + k_prime_3;
    tail.remove_prefix(4);
  }
  for (const char byte : tail) {
    hash ^= static_cast<unsigned char>(byte) * k_prime_5;
    hash = std::rotl(hash, 11) * k_prime_1;
  }
  return hash;
}

std::uint64_t avalanche(std::uint64_t hash) {
  hash = (hash ^ (hash >> 33U)) * k_prime_2;
  hash = (hash ^ (hash >> 29U)) * k_prime_3;
  return hash ^ (hash >> 32U);
}

} // namespace

void ContentHash::take_stripe(const char* bytes) {
  for (std::size_t i = 0; i < lanes_.size(); ++i)
    lanes_[i] = round_of(lanes_[i], word_at<std::uint64_t>(bytes + 8 * i));
}

void ContentHash::add(std::string_view bytes) {
  total_ += bytes.size();
  if (rest_size_ > 0) {
    const std::size_t count = std::min(k_stripe - rest_size_, bytes.size());
    if (count > 0) std::memcpy(rest_.data() + rest_size_, bytes.data(), count);
    rest_size_ += count;
    bytes.remove_prefix(count);
    if (rest_size_ < k_stripe) return;
    take_stripe(rest_.data());
    rest_size_ = 0;
  }
  for (; bytes.size() >= k_stripe; bytes.remove_prefix(k_stripe)) take_stripe(bytes.data());
  if (!bytes.empty()) std::memcpy(rest_.data(), bytes.data(), bytes.size());
  rest_size_ = bytes.size();
}

std::uint64_t ContentHash::value() const {
  std::uint64_t hash = k_prime_5;
  if (total_ >= k_stripe) {
    hash = std::rotl(lanes_[0], 1) + std::rotl(lanes_[1], 7) + std::rotl(lanes_[2], 12) +
           std::rotl(lanes_[3], 18);
    for (const std::uint64_t lane : lanes_) hash = merged(hash, lane);
  }
  return avalanche(with_tail(hash + total_, {rest_.data(), rest_size_}));
}

std::uint64_t hash_of(std::string_view bytes) {
  ContentHash hash;
  hash.add(bytes);
  return hash.value();
}

std::string hex_of(std::uint64_t hash) { return fmt::format("{:016x}", hash); }

} // namespace coolband
