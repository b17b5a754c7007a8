// SPDX-License-Identifier: Apache-2.0
// One door to the two standards, and the question which of them a column is written in.
#include "import/frame_decoder.hpp"

#include "import/frame_j1939.hpp"
#include "import/frame_j1979.hpp"
#include "import/frame_text.hpp"

namespace coolband {

namespace {

using Cell = std::pair<std::string_view, std::string_view>;

constexpr std::size_t k_one_misfit_in = 10;
constexpr std::size_t k_full_frames_needed = 3;

/// What a sample looks like when it is read by one standard.
struct Tally {
  std::size_t cells = 0; ///< that have anything in them
  std::size_t decoded = 0;
  std::size_t misfits = 0;
  std::size_t full_frames = 0; ///< of J1939: eight bytes, surely hexadecimal
  bool hexadecimal = false;

  [[nodiscard]] bool fits() const { return hexadecimal && misfits * k_one_misfit_in <= cells; }
};

bool is_full_frame(const Cell& cell) {
  const auto frame = read_j1939(cell.first, cell.second);
  return frame && frame->pgn >= 0 && frame->size == frame->bytes.size();
}

Tally tally_of(FrameStandard standard, const std::vector<Cell>& sample) {
  Tally tally;
  std::vector<FrameValue> values;
  for (const Cell& cell : sample) {
    const FrameOutcome outcome = decode_frame(standard, cell.first, cell.second, values);
    if (outcome == FrameOutcome::no_data) continue;
    ++tally.cells;
    if (outcome == FrameOutcome::not_a_frame) ++tally.misfits;
    if (outcome == FrameOutcome::decoded) ++tally.decoded;
    const bool sure = surely_hexadecimal(cell.second);
    tally.hexadecimal = tally.hexadecimal || sure;
    if (sure && standard == FrameStandard::j1939 && is_full_frame(cell)) ++tally.full_frames;
  }
  return tally;
}

} // namespace

FrameOutcome decode_frame(FrameStandard standard, std::string_view identifier,
                          std::string_view frame, std::vector<FrameValue>& values) {
  values.clear();
  const FrameOutcome outcome = standard == FrameStandard::j1979
                                   ? decode_j1979(identifier, frame, values)
                                   : decode_j1939(identifier, frame, values);
  const bool unread = outcome == FrameOutcome::not_a_frame;
  return unread && is_no_frame_mark(frame) ? FrameOutcome::no_data : outcome;
}

std::optional<FrameStandard>
recognise_frames(const std::vector<std::pair<std::string_view, std::string_view>>& sample) {
  const Tally j1979 = tally_of(FrameStandard::j1979, sample);
  const Tally j1939 = tally_of(FrameStandard::j1939, sample);
  const bool is_1979 = j1979.fits() && j1979.decoded > 0;
  const bool is_1939 =
      j1939.fits() && (j1939.decoded > 0 || j1939.full_frames >= k_full_frames_needed);
  if (is_1979 && (!is_1939 || j1979.decoded > j1939.decoded)) return FrameStandard::j1979;
  return is_1939 ? std::optional(FrameStandard::j1939) : std::nullopt;
}

} // namespace coolband
