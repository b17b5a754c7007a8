// SPDX-License-Identifier: Apache-2.0
// The regulation's criterion on a line of its own.
#include "report/criterion_words.hpp"

#include "report/layout.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string_view words_of(NominalSource source) {
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
  if (check.outcome != CriterionOutcome::not_evaluated) {
    return fmt::format("{}: held {:.1f} °C, limit {:.1f} °C ({:.0f} °C below {} of {:.1f} °C)",
                       check.outcome == CriterionOutcome::met ? "met" : "NOT met", *check.reached_c,
                       *check.limit_c, *check.nominal_c - *check.limit_c,
                       words_of(check.nominal_from), *check.nominal_c);
  }
  return "not evaluated: " + joined(check.because, "; ");
}

} // namespace coolband
