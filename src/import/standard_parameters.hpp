// SPDX-License-Identifier: Apache-2.0
// The parameters of SAE J1979 service 01 and SAE J1939 that coolband can take out of raw frames.
#pragma once

#include "coolband/import/recording.hpp"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

namespace coolband {

enum class FrameStandard { j1979, j1939 };

/// What a raw number stands for.
enum class RawState {
  value,         ///< a measurement
  error,         ///< the sender reports a fault of the sensor or of itself
  not_available, ///< the sender does not have it
  reserved,      ///< above the range of measurements, with a meaning of its own or none
};

/// Where the raw number stands: behind the PID, or in the data of the PGN.
struct RawPlace {
  std::uint8_t first_byte = 0; ///< from 0
  std::uint8_t bits = 8;       ///< whole bytes, or the lowest bits of one
};

/// value = raw * scale / divisor + offset
struct Scaling {
  double scale = 1.0;
  double divisor = 1.0;
  double offset = 0.0;
  double lowest = 0.0;
  double highest = 0.0;
};

struct StandardParameter {
  FrameStandard standard = FrameStandard::j1979;
  int number = 0; ///< PID or SPN
  int pgn = 0;    ///< 0 for J1979
  std::string_view name;
  std::string_view unit;    ///< a spelling that `unit_named` knows; empty for units it has not
  std::optional<Role> role; ///< nothing: decoded, but no role of a recording
  int tier = 0;             ///< 1 is preferred to 2, among the parameters of a role and a standard
  RawPlace place;
  Scaling scaling;
  std::uint8_t sensor = 0; ///< 1.. where one parameter carries several sensors

  [[nodiscard]] std::size_t bytes() const { return (place.bits + 7U) / 8U; }
  [[nodiscard]] double value_of(std::uint32_t raw) const {
    return static_cast<double>(raw) * scaling.scale / scaling.divisor + scaling.offset;
  }
};

/// Every parameter, the ones of a PID or PGN next to each other.
std::span<const StandardParameter> standard_parameters();

/// Those of one PID (J1979) or one PGN (J1939).
std::span<const StandardParameter> parameters_within(FrameStandard standard, int pid_or_pgn);

/// Data bytes of a PID of service 01, 00 to 67; nothing behind those.
std::optional<std::size_t> data_bytes_of_pid(std::uint8_t pid);

/// The number in the bytes of its PID or PGN: high byte first in J1979, low byte first in J1939.
/// Nothing if the bytes end before it does.
std::optional<std::uint32_t> raw_of(const StandardParameter& parameter,
                                    std::span<const std::uint8_t> data);

/// The range rule of SAE J1939-71 by width, and what lies above a parameter's own range. Service 01
/// has no marks of its own: there only the range counts.
RawState state_of(const StandardParameter& parameter, std::uint32_t raw);

} // namespace coolband
