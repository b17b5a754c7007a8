// SPDX-License-Identifier: Apache-2.0
// Not decoded yet: no cell is taken for a frame.
#include "import/frame_decoder.hpp"

namespace coolband {

FrameOutcome decode_frame(FrameStandard /*standard*/, std::string_view /*identifier*/,
                          std::string_view /*frame*/, std::vector<FrameValue>& /*values*/) {
  return FrameOutcome::not_a_frame;
}

std::optional<FrameStandard>
recognise_frames(const std::vector<std::pair<std::string_view, std::string_view>>& /*cells*/) {
  return std::nullopt;
}

} // namespace coolband
