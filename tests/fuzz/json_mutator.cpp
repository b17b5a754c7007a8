// SPDX-License-Identifier: Apache-2.0
// Changes a JSON document part by part, so that most of what the fuzzer tries gets past the parser;
// now and then its bytes, so that the parser is tried too.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include <nlohmann/json.hpp>

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace {

using Json = nlohmann::ordered_json;
using Dice = std::minstd_rand;

void collect(Json& json, std::vector<Json*>& parts) {
  parts.push_back(&json);
  if (parts.size() > 5000) return;
  for (auto& child : json)
    if (json.is_structured()) collect(child, parts);
}

Json number_near(const Json& old, Dice& dice) {
  static const std::vector<double> k_edges{0.0,  1.0,  -1.0,  0.5,   1e9,      -1e9,
                                           1e-9, 1e15, 1e308, -1e-3, 4.9e-324, 1e5};
  const double value = old.is_number() ? old.get<double>() : 1.0;
  switch (dice() % 6) {
  case 0: return k_edges[dice() % k_edges.size()];
  case 1: return value * (1.0 + (static_cast<double>(dice() % 2001) - 1000.0) / 1e4);
  case 2: return -value;
  case 3: return value * 10.0;
  case 4: return std::round(value) + (dice() % 2 == 0 ? 1.0 : -1.0);
  default: return static_cast<std::int64_t>(dice()) << dice() % 33U;
  }
}

Json text_near(const Json& old, Dice& dice) {
  std::string text = old.is_string() ? old.get<std::string>() : "x";
  const std::size_t size = text.size();
  text.resize(size + 8, ' ');
  text.resize(LLVMFuzzerMutate(static_cast<std::uint8_t*>(static_cast<void*>(text.data())), size,
                               text.size()));
  return dice() % 16 == 0 ? Json("") : Json(text);
}

/// Takes one member or element away, gives one twice, or moves the value of another in.
void change_inside(Json& part, Dice& dice) {
  if (part.empty()) return;
  const auto any = [&] {
    return std::next(part.begin(), static_cast<std::ptrdiff_t>(dice() % part.size()));
  };
  const unsigned kind = dice() % 3;
  if (kind == 0)
    part.erase(any());
  else if (kind == 1 && part.is_array())
    part.push_back(Json(*any()));
  else
    *any() = Json(*any());
}

void change(std::vector<Json*>& parts, Dice& dice) {
  Json& part = *parts[dice() % parts.size()];
  switch (dice() % 8) {
  case 0: part = Json(*parts[dice() % parts.size()]); return;
  case 1: part = nullptr; return;
  case 2: part = number_near(part, dice); return;
  case 3: part = text_near(part, dice); return;
  default: break;
  }
  if (part.is_number())
    part = number_near(part, dice);
  else if (part.is_string())
    part = text_near(part, dice);
  else if (part.is_boolean())
    part = !part.get<bool>();
  else if (part.is_structured())
    change_inside(part, dice);
}

} // namespace

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t most, unsigned seed) {
  Dice dice(seed);
  Json json = Json::parse(data, data + size, nullptr, false);
  if (json.is_discarded() || dice() % 5 == 0) return LLVMFuzzerMutate(data, size, most);
  for (unsigned times = 1 + dice() % 3; times > 0; --times) {
    std::vector<Json*> parts;
    collect(json, parts);
    change(parts, dice);
  }
  const std::string text =
      json.dump(dice() % 2 == 0 ? -1 : 1, ' ', false, Json::error_handler_t::replace);
  if (text.size() > most) return LLVMFuzzerMutate(data, size, most);
  std::copy(text.begin(), text.end(), data);
  return text.size();
}
