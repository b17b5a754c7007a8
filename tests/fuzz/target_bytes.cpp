// SPDX-License-Identifier: Apache-2.0
// Packed and wide text: the same log in gzip and UTF-16, and both with damage.
#include "coolband/import/import_log.hpp"
#include "fuzz/properties.hpp"

#include <algorithm>

#include <zlib.h>

namespace coolband::testing {

namespace {

std::string gzip_of(std::string_view text) {
  z_stream stream{};
  require(deflateInit2(&stream, 1, Z_DEFLATED, MAX_WBITS + 16, 8, Z_DEFAULT_STRATEGY) == Z_OK,
          "zlib starts");
  std::string packed(deflateBound(&stream, static_cast<uLong>(text.size())) + 32, '\0');
  std::string given(text);
  stream.next_in = reinterpret_cast<Bytef*>(given.data());
  stream.avail_in = static_cast<uInt>(given.size());
  stream.next_out = reinterpret_cast<Bytef*>(packed.data());
  stream.avail_out = static_cast<uInt>(packed.size());
  require(deflate(&stream, Z_FINISH) == Z_STREAM_END, "zlib packs");
  packed.resize(stream.total_out);
  deflateEnd(&stream);
  return packed;
}

void check(std::string_view bytes) {
  const auto result = import_text(bytes, "log");
  check_result(result, 0);
  check_pieces(bytes, result);
}

/// The recordings but for how they were packed; refusals are worded for what was packed.
void check_same(Result<Recording> packed, Result<Recording> plain, std::string_view packing) {
  require(packed.ok() == plain.ok(), std::string(packing) + " is as good as plain text");
  if (!packed) return;
  packed->how.compression = plain->how.compression;
  packed->how.encoding = plain->how.encoding;
  require(story_of(packed) == story_of(plain), std::string(packing) + " says the same");
}

void check_wide(std::string_view bytes, const Result<Recording>& plain) {
  const bool ascii = std::all_of(bytes.begin(), bytes.end(), [](char c) { return c > 0; });
  if (!ascii) return;
  for (const bool big : {false, true}) {
    std::string wide = big ? "\xFE\xFF" : "\xFF\xFE";
    for (const char c : bytes) {
      if (big) wide += '\0';
      wide += c;
      if (!big) wide += '\0';
    }
    check_same(import_text(wide, "log"), plain, "UTF-16");
  }
}

} // namespace

void run_bytes(std::string_view bytes) {
  check(bytes);
  const auto plain = import_text(bytes, "log");
  check_wide(bytes, plain);
  std::string packed = gzip_of(bytes);
  // What is gzip already is refused when it is packed twice.
  if (!bytes.starts_with("\x1F\x8B")) check_same(import_text(packed, "log"), plain, "gzip");
  if (bytes.size() < 4) return;
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
  check(std::string_view(packed).substr(0, (byte(0) * 256U + byte(1)) % packed.size()));
  packed[(byte(2) * 256U + byte(3)) % packed.size()] ^= static_cast<char>(1 + byte(0) % 255);
  check(packed);
}

} // namespace coolband::testing
