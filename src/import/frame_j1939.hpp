// SPDX-License-Identifier: Apache-2.0
// Frames of SAE J1939: the 29-bit identifier taken apart, and the parameters of its group.
#pragma once

#include "import/frame_decoder.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

namespace coolband {

struct J1939Frame {
  int pgn = -1;    ///< -1: an 11-bit identifier, which is none of J1939
  int source = -1; ///< address of the sender; -1 when only the PGN is there
  std::array<std::uint8_t, 8> bytes{};
  std::size_t size = 0;

  [[nodiscard]] std::span<const std::uint8_t> data() const { return {bytes.data(), size}; }
};

/// Nothing for a text that is no such frame.
std::optional<J1939Frame> read_j1939(std::string_view identifier, std::string_view frame);

/// One cell that is not empty; `values` is empty before.
FrameOutcome decode_j1939(std::string_view identifier, std::string_view frame,
                          std::vector<FrameValue>& values);

} // namespace coolband
