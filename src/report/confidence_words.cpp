// SPDX-License-Identifier: Apache-2.0
// A probability in words beside its number, and names as people say them.
#include "report/confidence_words.hpp"

#include <algorithm>
#include <array>

#include <fmt/core.h>

namespace coolband {

namespace {

struct Step {
  double from;
  std::string_view words;
};

constexpr std::array<Step, 7> k_scale{{{0.99, "virtually certain"},
                                       {0.95, "extremely likely"},
                                       {0.90, "very likely"},
                                       {0.66, "likely"},
                                       {0.50, "more likely than not"},
                                       {0.33, "about as likely as not"},
                                       {0.10, "unlikely"}}};

std::string judged_by_words(const NormalBand& band) {
  switch (band.origin) {
  case BandOrigin::learned:
    return fmt::format("a normal learned from {} drive{}", band.drive_count(),
                       band.drive_count() == 1 ? "" : "s");
  case BandOrigin::profile: return "the profile, with nothing learned";
  case BandOrigin::trip: return "this trip itself, with nothing else known";
  }
  return "";
}

} // namespace

std::string_view likelihood_words(double probability) {
  for (const Step& step : k_scale) {
    if (probability >= step.from) return step.words;
  }
  return "very unlikely";
}

std::string confidence_words(double probability) {
  const std::string_view words = likelihood_words(probability);
  if (probability > 0.99) return fmt::format("{}, over 99 %", words);
  if (probability < 0.01) return fmt::format("{}, below 1 %", words);
  return fmt::format("{}, {:.0f} %", words, 100.0 * probability);
}

std::string shares_note(const TripFinding& finding) {
  const Judgement& judgement = finding.judgement;
  if (!finding.band || judgement.causes.empty()) return "";
  const Cause& first = judgement.causes.front();
  constexpr double k_looks_alike = 0.01;
  if (first.condition != judgement.condition ||
      judgement.confidence + k_looks_alike > first.probability)
    return "";
  return fmt::format("The verdict says {:.0f} %, not {:.1f} %: these shares only weigh the causes "
                     "against each other on this trip; the verdict also counts how far what it was "
                     "judged by can be trusted ({}).",
                     100.0 * judgement.confidence, 100.0 * first.probability,
                     judged_by_words(*finding.band));
}

std::string plain_account(const Episode& episode) {
  return plain_name(episode.explained_by == Explanation::none ? name_of(episode.cause)
                                                              : name_of(episode.explained_by));
}

} // namespace coolband
