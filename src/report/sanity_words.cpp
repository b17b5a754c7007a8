// SPDX-License-Identifier: Apache-2.0
// What is odd about the sensors of a trip, in words.
#include "report/sanity_words.hpp"

#include "import/heading.hpp"
#include "report/reading_words.hpp"

#include <cmath>

#include <fmt/core.h>

namespace coolband {

namespace {

bool unit_is_celsius(Role role) { return own_unit(role) == "°C"; }

std::string odd_words(const Recording& recording, const OddValues& odd) {
  const std::string values =
      fmt::format("{}{:.6g} {} (first: row {})", odd.rows == 1 ? "" : "e.g. ", odd.value,
                  own_unit(odd.role), recording.row_map.at(odd.first_row).row);
  return fmt::format("{}: {} row{}, {}: {}; {}", name_of(odd.role), odd.rows,
                     odd.rows == 1 ? "" : "s", values, meaning_of(odd),
                     odd.role == Role::coolant ? "not judged" : "taken as missing");
}

/// The difference that counts, K: of the air that the reading is farthest from.
double farthest_k(const ColdSoak& soak) {
  double farthest = 0.0;
  for (const auto& air_c : {soak.ambient_c, soak.intake_c}) {
    if (air_c && std::abs(soak.coolant_c - *air_c) > std::abs(farthest))
      farthest = soak.coolant_c - *air_c;
  }
  return farthest;
}

std::string rest_words(const ColdSoak& soak) {
  if (soak.rest_s) return "after up to " + format_duration(*soak.rest_s) + " at rest";
  return "after a rest of unknown length";
}

std::string frozen_words(const Recording& recording, const FrozenReading& frozen) {
  return fmt::format("coolant: frozen at {:.6g} °C for {} (rows {} to {}) while the engine worked "
                     "unevenly; flagged only",
                     frozen.reading_c, format_duration(frozen.length_s),
                     recording.row_map.at(frozen.first_row).row,
                     recording.row_map.at(frozen.last_row).row);
}

std::string missing_words(const Recording& recording, const MissingReading& missing) {
  return fmt::format("coolant: missing {} time{} while the rest of the log goes on, for up to {} "
                     "(first: row {}): a loose plug or a broken lead, or the logger",
                     missing.times, missing.times == 1 ? "" : "s",
                     format_duration(missing.longest_s),
                     recording.row_map.at(missing.first_row).row);
}

} // namespace

std::string_view name_of(ColdSoak::Outcome outcome) {
  switch (outcome) {
  case ColdSoak::Outcome::agrees: return "agrees";
  case ColdSoak::Outcome::disagrees: return "disagrees";
  case ColdSoak::Outcome::unclear: return "unclear";
  }
  return "";
}

std::string meaning_of(const OddValues& odd) {
  const bool temperature = unit_is_celsius(odd.role);
  switch (odd.oddity) {
  case Oddity::none: break;
  case Oddity::lowest_code:
    return "the lowest code of SAE J1979 and J1939: an open circuit, or nothing measured";
  case Oddity::error_code: return "the error code of SAE J1939: the sender knows of a fault";
  case Oddity::not_available:
    return temperature ? "the code with all bits set: not available by SAE J1939, the end of the "
                         "scale (a shorted circuit) by SAE J1979"
                       : "the code with all bits set: not available";
  case Oddity::reserved_code: return "a reserved code of SAE J1939: no quantity";
  case Oddity::signed_end: return "the end of a signed number: often written for no value";
  case Oddity::zero_kelvin: return "0 K: a reading with no bit set, nothing measured";
  case Oddity::zero: return "a jump to exactly 0: often written for no value";
  case Oddity::out_of_range: return "a value that cannot be";
  case Oddity::jump: return "a move faster than coolant can";
  }
  return "";
}

std::string cold_soak_words(const ColdSoak& soak) {
  const double apart_k = farthest_k(soak);
  const std::string side = apart_k < 0.0 ? "colder" : "warmer";
  switch (soak.outcome) {
  case ColdSoak::Outcome::agrees:
    return fmt::format("within 10 K of the air {}: as it should be", rest_words(soak));
  case ColdSoak::Outcome::disagrees:
    return fmt::format("{} than the air by {:.0f} K {}: one of the sensors or its circuit may be "
                       "off; {}",
                       side, std::abs(apart_k), rest_words(soak),
                       apart_k < 0.0 ? "sun on the air sensor or a cold garage does the same"
                       : soak.rest_s
                           ? "a drive that was not logged, a block heater or wind does the same"
                           : "a block heater or a short rest does the same");
  case ColdSoak::Outcome::unclear: break;
  }
  return fmt::format("{} than the air by {:.0f} K {}: the engine may not have been cold", side,
                     std::abs(apart_k), rest_words(soak));
}

std::vector<std::string> sanity_words(const Recording& recording, const Trip& trip) {
  std::vector<std::string> lines;
  for (const OddValues& odd : trip.sanity.odd) lines.push_back(odd_words(recording, odd));
  if (const auto& soak = trip.sanity.cold_soak) {
    std::string line = fmt::format("start: coolant {:.1f} °C", soak->coolant_c);
    if (soak->ambient_c) line += fmt::format(", outside {:.1f} °C", *soak->ambient_c);
    if (soak->intake_c) line += fmt::format(", intake air {:.1f} °C", *soak->intake_c);
    lines.push_back(line + ": " + cold_soak_words(*soak));
  }
  if (trip.sanity.frozen) lines.push_back(frozen_words(recording, *trip.sanity.frozen));
  if (trip.sanity.missing) lines.push_back(missing_words(recording, *trip.sanity.missing));
  return lines;
}

std::string sampling_words(const Trip& trip) {
  const std::string coolant_unknown = "; the coolant moves too little to tell how often it is new";
  std::string text = "a row every " + seconds_words(trip.sample_period_s);
  std::string coolant = coolant_unknown;
  std::vector<Refresh> measured;
  for (const Refresh& refresh : trip.sanity.refresh) {
    if (!refresh.at_most)
      measured.push_back(refresh);
    else if (refresh.role == Role::coolant)
      coolant = "; a new coolant every " + seconds_words(refresh.period_s) + " or oftener";
    if (refresh.role == Role::coolant && !refresh.at_most) coolant.clear();
  }
  for (std::size_t i = 0; i < measured.size();) {
    // Columns that keep the same step are named together.
    const std::string period = seconds_words(measured[i].period_s);
    std::string names;
    for (; i < measured.size() && seconds_words(measured[i].period_s) == period; ++i)
      names += (names.empty() ? "" : ", ") + std::string(name_of(measured[i].role));
    text += fmt::format("; a new {} every {}", names, period);
  }
  return text + coolant;
}

} // namespace coolband
