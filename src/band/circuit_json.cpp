// SPDX-License-Identifier: Apache-2.0
// Writing and reading the fitted circuit; a wrong size or an impossible number is a complaint.
#include "band/circuit_json.hpp"

#include "band/base64.hpp"
#include "band/rounded.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <string>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t k_block_bytes = 10;
/// A band of an earlier build knows of no fan, or has its heat elsewhere than in the metal: its
/// circuit is fitted anew with the next `--update`.
constexpr CircuitParameter k_known_late[] = {CircuitParameter::metal, CircuitParameter::fan,
                                             CircuitParameter::fan_after};
constexpr std::size_t k_joint_size = k_circuit_parameters * (k_circuit_parameters + 1) / 2;

/// As many digits as the limits are worth, and the same on every machine.
double to_four_places(double value) { return rounded_to(value, 4); }

Json value_json(const CircuitValue& value) {
  Json json;
  json["value"] = to_four_places(value.value);
  json["low"] = to_four_places(value.low);
  json["high"] = to_four_places(value.high);
  json["identified"] = value.identified;
  return json;
}

/// Four digits each, as four bytes of a float: a hundred and fifty numbers that nobody reads.
std::string joint_text(const std::vector<double>& joint) {
  std::vector<std::uint8_t> bytes;
  for (const double value : joint) {
    const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(to_four_places(value)));
    for (unsigned shift = 0; shift < 32; shift += 8)
      bytes.push_back(static_cast<std::uint8_t>(bits >> shift & 255U));
  }
  return to_base64(bytes);
}

std::optional<std::vector<double>> joint_from(const std::string& text) {
  const auto bytes = from_base64(text);
  if (!bytes || bytes->size() != 4 * k_joint_size) return std::nullopt;
  std::vector<double> joint;
  for (std::size_t i = 0; i < bytes->size(); i += 4) {
    std::uint32_t bits = 0;
    for (std::size_t k = 0; k < 4; ++k) bits |= std::uint32_t{(*bytes)[i + k]} << 8 * k;
    joint.push_back(static_cast<double>(std::bit_cast<float>(bits)));
    if (!std::isfinite(joint.back())) return std::nullopt;
  }
  return joint;
}

Json seen_json(bool load, bool speed, bool ambient) {
  Json seen = Json::array();
  if (load) seen.push_back("load");
  if (speed) seen.push_back("speed");
  if (ambient) seen.push_back("ambient");
  return seen;
}

bool has_seen(const Json& json, const char* column) {
  const auto found = json.find("seen");
  if (found == json.end() || !found->is_array()) return false;
  return std::find(found->begin(), found->end(), Json(column)) != found->end();
}

void put16(std::vector<std::uint8_t>& bytes, int value) {
  const auto bits = static_cast<std::uint16_t>(value);
  bytes.push_back(static_cast<std::uint8_t>(bits & 255U));
  bytes.push_back(static_cast<std::uint8_t>(bits >> 8U));
}

std::uint16_t take16(const std::uint8_t* bytes) {
  return static_cast<std::uint16_t>(bytes[0] | bytes[1] << 8U);
}

CircuitBlock block_from(const std::uint8_t* bytes) {
  CircuitBlock block;
  block.length_ds = take16(bytes);
  block.coolant_cc = static_cast<std::int16_t>(take16(bytes + 2));
  block.ambient_dc = static_cast<std::int16_t>(take16(bytes + 4));
  block.turning = bytes[6];
  block.load = bytes[7];
  block.speed_kmh = bytes[8];
  block.begins = (bytes[9] & 1U) != 0;
  block.scored = (bytes[9] & 2U) != 0;
  return block;
}

} // namespace

Json circuit_json(const std::optional<FittedCircuit>& circuit) {
  if (!circuit) return nullptr;
  Json json;
  json["drives"] = circuit->drives;
  json["hours"] = to_four_places(circuit->hours);
  json["misfit_k"] = to_four_places(circuit->misfit_k);
  json["seen"] = seen_json(circuit->saw_load, circuit->saw_speed, circuit->saw_ambient);
  Json parameters = Json::object();
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const auto parameter = static_cast<CircuitParameter>(p);
    parameters[std::string(name_of(parameter))] = value_json((*circuit)[parameter]);
  }
  json["parameters"] = std::move(parameters);
  if (!circuit->joint.empty()) json["joint"] = joint_text(circuit->joint);
  return json;
}

std::optional<FittedCircuit> circuit_from(FieldReader& reader, const Json& json) {
  const auto found = json.find("circuit");
  if (found == json.end() || found->is_null()) return std::nullopt;
  const auto parameters = found->find("parameters");
  if (!found->is_object() || parameters == found->end() || !parameters->is_object()) {
    reader.complain("circuit", "must hold parameters");
    return std::nullopt;
  }
  FittedCircuit circuit;
  circuit.drives = reader.required_count(*found, "drives");
  circuit.hours = reader.required_number(*found, "hours", k_positive);
  circuit.misfit_k = reader.required_number(*found, "misfit_k", k_positive);
  circuit.saw_load = has_seen(*found, "load");
  circuit.saw_speed = has_seen(*found, "speed");
  circuit.saw_ambient = has_seen(*found, "ambient");
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const auto parameter = static_cast<CircuitParameter>(p);
    const std::string name(name_of(parameter));
    const auto one = parameters->find(name);
    if (one == parameters->end() && std::ranges::count(k_known_late, parameter) > 0)
      return std::nullopt;
    if (one == parameters->end() || !one->is_object()) {
      reader.complain(name, "is missing");
      return std::nullopt;
    }
    CircuitValue& value = circuit.values[p];
    value.value = reader.required_number(*one, "value", {1e-9, 1e4});
    value.low = reader.required_number(*one, "low", k_any);
    value.high = reader.required_number(*one, "high", k_any);
    value.identified = one->value("identified", Json(false)) == Json(true);
  }
  if (const auto joint = found->find("joint"); joint != found->end()) {
    const auto values = joint->is_string() ? joint_from(joint->get<std::string>()) : std::nullopt;
    if (!values) reader.complain("joint", "must hold a triangle of numbers in base64");
    if (values) circuit.joint = *values;
  }
  return circuit;
}

Json circuit_drive_json(const CircuitDrive& drive) {
  std::vector<std::uint8_t> bytes;
  bytes.reserve(k_block_bytes * drive.blocks.size());
  for (const CircuitBlock& block : drive.blocks) {
    put16(bytes, block.length_ds);
    put16(bytes, block.coolant_cc);
    put16(bytes, block.ambient_dc);
    bytes.push_back(block.turning);
    bytes.push_back(block.load);
    bytes.push_back(block.speed_kmh);
    bytes.push_back(static_cast<std::uint8_t>((block.begins ? 1 : 0) + (block.scored ? 2 : 0)));
  }
  Json json;
  json["seen"] = seen_json(drive.saw_load, drive.saw_speed, drive.saw_ambient);
  if (drive.saw_turning) json["seen"].push_back("rpm");
  json["blocks"] = to_base64(bytes);
  return json;
}

CircuitDrive circuit_drive_from(FieldReader& reader, const Json& json) {
  CircuitDrive drive;
  const auto found = json.find("circuit");
  if (found == json.end() || found->is_null()) return drive;
  const auto blocks = found->find("blocks");
  const auto bytes = found->is_object() && blocks != found->end() && blocks->is_string()
                         ? from_base64(blocks->get<std::string>())
                         : std::nullopt;
  if (!bytes || bytes->size() % k_block_bytes != 0) {
    reader.complain("circuit", "must hold blocks of ten bytes each in base64");
    return drive;
  }
  for (std::size_t i = 0; i < bytes->size(); i += k_block_bytes)
    drive.blocks.push_back(block_from(bytes->data() + i));
  drive.saw_load = has_seen(*found, "load");
  drive.saw_turning = has_seen(*found, "rpm");
  drive.saw_speed = has_seen(*found, "speed");
  drive.saw_ambient = has_seen(*found, "ambient");
  return drive;
}

} // namespace coolband
