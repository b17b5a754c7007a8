// SPDX-License-Identifier: Apache-2.0
// The fingerprint: known values, and the same whatever the pieces.
#include "fleet/content_hash.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;

TEST_CASE("content hash: values of XXH64 with seed 0") {
  // Told by the reference implementation: xxh64sum 0.8.1 (Debian's xxhash).
  CHECK(hex_of(hash_of("")) == "ef46db3751d8e999");
  CHECK(hex_of(hash_of("a")) == "d24ec4f1a98c6e5b");
  CHECK(hex_of(hash_of("abc")) == "44bc2cf5ad770999");
  CHECK(hex_of(hash_of(std::string(32, 'x'))) == "e2df261fc2ec30eb");
  CHECK(hex_of(hash_of(std::string(37, 'x'))) == "1e580c475bdc5381");
  std::string alphabet;
  for (int i = 0; i < 1000; ++i) alphabet += static_cast<char>('a' + i % 26);
  CHECK(hex_of(hash_of(alphabet)) == "94b86db9a16d86a9");
}

TEST_CASE("content hash: pieces do not matter") {
  std::string text;
  for (int i = 0; i < 300; ++i) text += static_cast<char>(i * 7 % 251);
  for (std::size_t piece = 1; piece < 80; ++piece) {
    ContentHash hash;
    for (std::size_t at = 0; at < text.size(); at += piece)
      hash.add(std::string_view(text).substr(at, piece));
    CHECK(hash.value() == hash_of(text));
  }
}

TEST_CASE("content hash: one bit tells") {
  std::string text(1000, 'x');
  const auto before = hash_of(text);
  for (std::size_t i = 0; i < text.size(); i += 37) {
    text[i] = 'y';
    CHECK(hash_of(text) != before);
    text[i] = 'x';
  }
}
