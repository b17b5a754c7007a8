// SPDX-License-Identifier: Apache-2.0
// The regulation's criterion on a line of its own.
#include "report/criterion_words.hpp"

#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string_view source_words(NominalSource source) {
  switch (source) {
  case NominalSource::rating: return "the rating";
  case NominalSource::fitted_opening: return "the fitted opening";
  case NominalSource::band_centre: return "the band's centre (no rating known)";
  case NominalSource::unknown: return "nominal";
  }
  return "nominal";
}

} // namespace

std::string criterion_words(const RegulationCheck& check) {
  if (check.outcome == CriterionOutcome::not_evaluated)
    return "cannot be judged by the rule for on-board diagnosis: " + joined(check.because, "; ");
  const bool met = check.outcome == CriterionOutcome::met;
  return fmt::format("{} by the rule for on-board diagnosis: held {:.1f} °C, at least {:.1f} °C is "
                     "needed ({:.0f} °C below {} of {:.1f} °C)",
                     met ? "warm enough" : "TOO COLD", *check.reached_c, *check.limit_c,
                     *check.nominal_c - *check.limit_c, source_words(check.nominal_from),
                     *check.nominal_c);
}

} // namespace coolband
