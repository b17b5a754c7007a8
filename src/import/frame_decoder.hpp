// SPDX-License-Identifier: Apache-2.0
// Raw frames of the open standards SAE J1979 (ISO 15031-5) service 01 and SAE J1939, turned into
// values of known parameters.
#pragma once

#include "import/standard_parameters.hpp"

#include <cstdint>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

namespace coolband {

struct FrameValue {
  using State = RawState;

  const StandardParameter* parameter = nullptr; ///< of `standard_parameters()`
  std::uint8_t sensor = 0;                      ///< 1 or 2 for the two of PID 67, else 0
  int source = -1; ///< who sent it: J1939 source address, or J1979 responder; -1 for nobody knows
  State state = State::value;
  double value = 0.0; ///< in the unit of the parameter; only for State::value
};

enum class FrameOutcome {
  decoded,
  nothing_known, ///< a good frame without a parameter of ours: requests, other services and groups
  refused,       ///< a negative response, 7F
  no_data,       ///< "NO DATA", an empty cell, dots
  not_a_frame,   ///< other text, half a frame, a wrong length or checksum
};

/// Reads one frame; `values` holds what it carries and nothing else afterwards. `identifier` is the
/// text of an identifier, PGN or PID column, and empty when the frame carries all.
///
/// J1979: "41 05 7B" with or without a CAN identifier and a single-frame length before it, or with
/// three header bytes and a checksum (which must be right); several PIDs in one response; data
/// bytes alone when the identifier is a PID, hexadecimal ("05", "0105"). Answers in several CAN
/// frames (ISO 15765-2 first and consecutive frames) are not put together: nothing_known. What
/// follows a PID above 67 in one response is left, because its length is not known here.
///
/// J1939: a 29-bit identifier as eight (or seven) hexadecimal digits, or as a decimal number of
/// nine or ten, in its own column or in front of the data; or a PGN column. A PGN is hexadecimal
/// when it has a letter or "0x", else decimal: no number can be one of our groups both ways,
/// because their decimal spellings, read as hexadecimal, exceed the 18 bits of a PGN, and their
/// hexadecimal spellings have letters. A frame shorter than eight bytes gives the parameters that
/// are there.
FrameOutcome decode_frame(FrameStandard standard, std::string_view identifier,
                          std::string_view frame, std::vector<FrameValue>& values);

/// Which standard the cells of a sample (the identifiers may be empty) are written in, or nothing.
/// Columns of plain numbers, times and dates are no frames: some cell must be hexadecimal beyond
/// doubt, nine in ten must be whole frames, and one must carry a parameter of ours. A J1939 bus
/// trace in which none does so by chance must have three frames of eight bytes.
std::optional<FrameStandard>
recognise_frames(const std::vector<std::pair<std::string_view, std::string_view>>& sample);

} // namespace coolband
