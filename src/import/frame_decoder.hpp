// placeholder until the branch is merged
#pragma once
#include "coolband/import/recording.hpp"
#include <optional>
#include <span>
#include <string_view>
#include <utility>
#include <vector>
namespace coolband {
enum class FrameStandard { j1979, j1939 };
struct StandardParameter {
  FrameStandard standard;
  int number;
  int pgn;
  std::string_view name;
  std::string_view unit;
  std::optional<Role> role;
  int tier;
};
struct FrameValue {
  const StandardParameter* parameter;
  std::uint8_t sensor;
  int source;
  enum class State { value, error, not_available, reserved } state;
  double value;
};
enum class FrameOutcome { decoded, nothing_known, refused, no_data, not_a_frame };
FrameOutcome decode_frame(FrameStandard, std::string_view identifier, std::string_view frame,
                          std::vector<FrameValue>& values);
std::optional<FrameStandard> recognise_frames(
    const std::vector<std::pair<std::string_view, std::string_view>>& identifier_and_frame);
} // namespace coolband
