// SPDX-License-Identifier: Apache-2.0
// The proof of a repair as text, `coolband.verify/1`, picture and page.
#pragma once

#include "coolband/report/report.hpp"
#include "repair/verification.hpp"

#include <string>

namespace coolband {

struct VerificationReport {
  const Verification& verification;
  const NormalBand& band;
  std::string vehicle; ///< id; may be empty
  JobCard job;
};

/// One screen for a person. Ends with a newline.
std::string render_verification(const VerificationReport& report, const TextStyle& style);
/// One object; no newline at the end.
std::string render_verification_json(const VerificationReport& report, int indent);
/// Each drive's level before and after, with the band, the margin and the intervals of the means,
/// and below that its warm-up, where any drive has one, as one SVG. The latest forty drives of
/// either side are drawn. No newline at the end.
std::string draw_verification(const VerificationReport& report);
/// What the picture shows, for somebody who cannot see it.
std::string picture_words(const VerificationReport& report);
/// A self-contained HTML page. Ends with a newline.
std::string render_verification_page(const VerificationReport& report);

/// What the state is called on a page, as an action: nothing to do, watch, have it checked.
Action action_of(VerifyState state);
/// "yes" is a good answer to each of the four questions; "unknown" where it cannot be asked.
std::string answer_of(const std::optional<VerifyState>& state);
/// What the tables of drives have, a cell a column of `DriveCells`.
struct DriveCells {
  std::string name; ///< file and day
  std::string level_c;
  std::string off_k;
  std::string hottest_c;
  /// "13 min (14)": taken and usual minutes; "no end" where it never came to its level, "cut off"
  /// where the log ended first.
  std::string warm_up;
  std::string verdict;
};
DriveCells cells_of(const ProofDrive& drive);

} // namespace coolband
