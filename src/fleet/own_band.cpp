// SPDX-License-Identifier: Apache-2.0
// Bands that a fleet's run learns by itself.
#include "fleet/own_band.hpp"

#include "coolband/band/band_file.hpp"
#include "fleet/content_hash.hpp"

#include <utility>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* k_mark = "learned_by_fleet";

Json extra_of(const NormalBand& band) {
  Json extra =
      band.extra_json.empty() ? Json::object() : Json::parse(band.extra_json, nullptr, false);
  return extra.is_object() ? extra : Json::object();
}

/// The extra fields with this mark, behind all others, instead of any earlier one.
std::string with_mark(const NormalBand& band, OwnMark mark, const std::string& fingerprint) {
  Json extra = extra_of(band);
  extra.erase(k_mark);
  extra[k_mark] = {{"fingerprint", fingerprint},
                   {"circuit", mark.circuit_tried ? "tried" : "not tried"}};
  return extra.dump();
}

} // namespace

std::string fingerprint_of(const NormalBand& band) {
  if (band.extra_json.empty()) return hex_of(hash_of(write_band(band)));
  NormalBand bare = band;
  bare.extra_json.clear();
  return hex_of(hash_of(write_band(bare)));
}

std::string write_own_band(const NormalBand& band, OwnMark mark, const std::string& fingerprint) {
  NormalBand marked = band;
  marked.extra_json = with_mark(band, mark, fingerprint);
  return write_band(marked);
}

OwnBand make_own_band(const NormalBand& band, OwnMark mark, const std::string& path) {
  std::string fingerprint;
  const auto marked = [&](const std::string& bare) {
    fingerprint = hex_of(hash_of(bare));
    return with_mark(band, mark, fingerprint);
  };
  WrittenBand written = written_with(band, marked, path);
  return {std::move(fingerprint), std::move(written)};
}

std::optional<OwnMark> own_mark(const NormalBand& band, const std::string& fingerprint) {
  const Json extra = extra_of(band);
  const auto found = extra.find(k_mark);
  if (found == extra.end() || !found->is_object()) return std::nullopt;
  const auto text = [&](const char* key) {
    const auto field = found->find(key);
    return field != found->end() && field->is_string() ? field->get<std::string>() : std::string();
  };
  if (text("fingerprint") != fingerprint) return std::nullopt;
  return OwnMark{text("circuit") == "tried"};
}

} // namespace coolband
