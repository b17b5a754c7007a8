// SPDX-License-Identifier: Apache-2.0
// Lines of "identifier,frame": by both standards, and all as a log.
#include "coolband/import/import_log.hpp"
#include "fuzz/properties.hpp"
#include "import/frame_decoder.hpp"
#include "import/frame_j1939.hpp"
#include "import/frame_text.hpp"

#include <cctype>
#include <cmath>

#include <fmt/core.h>

namespace coolband::testing {

namespace {

void check_value(const FrameValue& value, FrameStandard standard) {
  require(value.parameter != nullptr, "a value has a parameter");
  const StandardParameter& parameter = *value.parameter;
  require(parameter.standard == standard, "a value is of the standard asked for");
  require(value.source >= -1, "a sender has an address");
  if (value.state != FrameValue::State::value) return;
  const Scaling& scaling = parameter.scaling;
  require(value.value >= scaling.lowest && value.value <= scaling.highest,
          fmt::format("{} is within its range", parameter.name));
}

std::string story_of_values(FrameOutcome outcome, const std::vector<FrameValue>& values) {
  std::string text = std::to_string(static_cast<int>(outcome));
  for (const FrameValue& value : values)
    text += fmt::format(" {}/{}/{}/{}={}", value.parameter->number, value.sensor, value.source,
                        static_cast<int>(value.state), value.value);
  return text;
}

std::string lowered(std::string_view text) {
  std::string lower(text);
  for (char& c : lower) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return lower;
}

void check_frame(std::string_view identifier, std::string_view frame) {
  std::vector<FrameValue> values;
  for (const FrameStandard standard : {FrameStandard::j1979, FrameStandard::j1939}) {
    const FrameOutcome outcome = decode_frame(standard, identifier, frame, values);
    require((outcome == FrameOutcome::decoded) == !values.empty(), "decoded means values");
    for (const FrameValue& value : values) check_value(value, standard);
    const std::string story = story_of_values(outcome, values);
    const FrameOutcome again = decode_frame(standard, lowered(identifier), lowered(frame), values);
    require(story_of_values(again, values) == story, "case does not matter");
  }
  const auto j1939 = read_j1939(identifier, frame);
  require(!j1939 || (j1939->pgn >= -1 && j1939->pgn <= 0x3FFFF), "a PGN has 18 bits");
  require(!j1939 || j1939->size <= 8, "a frame has 8 bytes");
}

/// A frame made of a parameter and a raw value says that value.
void check_made_frame(std::string_view bytes) {
  if (bytes.size() < 3) return;
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(bytes[i]); };
  const auto all = standard_parameters();
  const StandardParameter& parameter = all[byte(0) % all.size()];
  if (parameter.standard != FrameStandard::j1939 || parameter.place.bits % 8 != 0) return;
  std::array<unsigned, 8> data;
  data.fill(0xFF);
  std::uint32_t raw = 0;
  for (std::size_t i = 0; i < parameter.bytes(); ++i) {
    data[parameter.place.first_byte + i] = byte(1 + i % 2);
    raw |= std::uint32_t{byte(1 + i % 2)} << (8 * i);
  }
  std::string frame;
  for (const unsigned value : data) frame += fmt::format("{:02X}", value);
  std::vector<FrameValue> values;
  decode_frame(FrameStandard::j1939, fmt::format("18{:04X}00", parameter.pgn), frame, values);
  bool found = false;
  for (const FrameValue& value : values) {
    if (value.parameter != &parameter) continue;
    found = true;
    require(value.state == state_of(parameter, raw), "a made frame has its state");
    require(value.state != RawState::value || value.value == parameter.value_of(raw),
            "a made frame has its value");
  }
  require(found, fmt::format("a made frame is decoded: {}", parameter.name));
}

} // namespace

void run_frames(std::string_view bytes) {
  std::string log = "time;id;data\n";
  std::size_t row = 0;
  for (std::string_view rest = bytes; !rest.empty(); ++row) {
    const std::string_view line = rest.substr(0, rest.find('\n'));
    rest.remove_prefix(std::min(rest.size(), line.size() + 1));
    const std::size_t comma = std::min(line.find(','), line.size());
    const std::string_view frame = line.substr(std::min(line.size(), comma + 1));
    check_frame(line.substr(0, comma), frame);
    log += fmt::format("{};{};{}\n", row / 4, line.substr(0, comma), frame);
  }
  check_made_frame(bytes);
  check_result(import_text(log, "log"), most_lines(log));
}

} // namespace coolband::testing
