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

std::string plain_account(const Episode& episode) {
  return plain_name(episode.explained_by == Explanation::none ? name_of(episode.cause)
                                                              : name_of(episode.explained_by));
}

} // namespace coolband
