// SPDX-License-Identifier: Apache-2.0
// One event in one line for a person.
#include "report/watch_line.hpp"

#include "coolband/core/timestamp.hpp"
#include "report/confidence_words.hpp"
#include "report/layout.hpp"
#include "report/reading_words.hpp"

#include <cmath>
#include <string_view>

#include <fmt/core.h>

namespace coolband {

namespace {

// Common practice, no source: whether an engine that overheats is idled for a while or switched off
// at once differs between makers.
constexpr std::string_view k_stop_step =
    "stop at the next safe place; switch off, or let it idle where the maker's book says so; let "
    "it go cold and do not drive on";
/// What the driver can do about a finding that nobody can name (common practice, no source).
constexpr std::string_view k_unnamed_step =
    "spare the engine, keep an eye on the gauge, and have the cooling looked at";
constexpr std::string_view k_hot_cap = "never open a hot cooling system, it scalds";

/// The log's own time, or the time since the trip began.
std::string time_words(const WatchEvent& event) {
  const double time_s = event.recording.time_s[event.last_row()];
  std::string text = format_instant(event.recording.clock, time_s);
  if (!text.empty()) return text;
  const auto seconds =
      static_cast<long>(std::max(0.0, std::round(time_s - event.finding.trip.start_s)));
  return fmt::format("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60);
}

std::string judged_by(const WatchEvent& event) {
  const auto& band = event.finding.band;
  if (!band || band->origin == BandOrigin::trip)
    return "by itself: nothing is known of the vehicle";
  return fmt::format("by {}: {:.1f} °C, {:.1f} to {:.1f}",
                     band->origin == BandOrigin::learned ? "the band" : "the profile",
                     band->centre_c, band->centre_c - band->half_width_c,
                     band->centre_c + band->half_width_c);
}

std::string begin_words(const WatchEvent& event) {
  const std::string& source = event.recording.source;
  return fmt::format("{}: {}; judged {}", source == "-" ? "standard input" : source,
                     reading_in_short(event.recording.how), judged_by(event));
}

/// The name, where the sentence does not begin with it.
std::string named_headline(const WatchEvent& event) {
  const std::string name = plain_name(name_of(event.standing.condition));
  const std::string headline = watch_headline(event);
  return headline.starts_with(name) ? headline : name + ": " + headline;
}

std::string end_words(const WatchEvent& event) {
  const Judgement& judgement = event.finding.judgement;
  std::string text =
      fmt::format("trip {}, {}: {}: {}", event.trip, format_duration(event.finding.trip.duration_s),
                  name_of(judgement.action), named_headline(event));
  if (judgement.condition != Condition::undetermined)
    text += fmt::format(" ({})", confidence_words(judgement.confidence));
  if (event.rows_forgotten > 0)
    text += fmt::format(" (without its first {} rows, which were not kept)", event.rows_forgotten);
  return text;
}

std::string change_words(const WatchEvent& event) {
  std::string text = named_headline(event);
  const auto steps = watch_steps(event);
  if (event.standing.action >= Action::service && !steps.empty()) text += "; do: " + steps.front();
  if (event.standing.action == Action::stop) text += fmt::format("; {}", k_hot_cap);
  return text;
}

std::string words_of(const WatchEvent& event) {
  switch (event.moment) {
  case WatchMoment::begin: return begin_words(event);
  case WatchMoment::change: return change_words(event);
  case WatchMoment::trip_end: return end_words(event);
  }
  return {};
}

std::string_view label_of(const WatchEvent& event) {
  switch (event.moment) {
  case WatchMoment::begin: return "watching";
  case WatchMoment::change:
    return event.standing.action == Action::stop ? "STOP" : name_of(event.standing.action);
  case WatchMoment::trip_end: return "ended";
  }
  return {};
}

} // namespace

std::string heat_words(const Heat& heat, double boils_c) {
  std::string text = fmt::format("{:.1f} °C", heat.coolant_c);
  if (heat.rate_k_per_min && std::abs(*heat.rate_k_per_min) >= 0.5)
    text += fmt::format(", {} {:.1f} K a minute", *heat.rate_k_per_min > 0.0 ? "rising" : "falling",
                        std::abs(*heat.rate_k_per_min));
  text += fmt::format(", {:.0f} % of the way from normal to boiling ({:.0f} °C)",
                      100.0 * heat.spent, boils_c);
  if (heat.boils_in_s && *heat.boils_in_s < 1800.0)
    text += fmt::format(", there in {} at this rate", format_duration(*heat.boils_in_s));
  return text;
}

std::vector<std::string> watch_steps(const WatchEvent& event) {
  Judgement judgement = event.finding.judgement;
  judgement.action = event.standing.action;
  const NormalBand* band = event.finding.band ? &*event.finding.band : nullptr;
  std::vector<std::string> steps = advise(judgement, band).next_steps;
  if (judgement.action == Action::stop) {
    steps.front() = k_stop_step; // `advise` begins with a step of its own for it
  } else if (judgement.action == Action::service &&
             judgement.condition == Condition::undetermined) {
    steps.emplace(steps.begin(), k_unnamed_step);
  }
  return steps;
}

std::string watch_headline(const WatchEvent& event) {
  const Judgement& judgement = event.finding.judgement;
  if (event.heat && judgement.boiling.point_c)
    return heat_words(*event.heat, *judgement.boiling.point_c);
  if (judgement.condition == event.standing.condition) return judgement.headline;
  return "the reading is back, and it stands as before";
}

std::string render_watch_line(const WatchEvent& event, const TextStyle& style) {
  const bool coloured = style.colour && event.moment != WatchMoment::begin;
  const std::string label = fmt::format("{:<8}", label_of(event));
  std::string line = fmt::format("{}  ", time_words(event));
  line += coloured ? fmt::format("{}{}{}", colour_of(event.standing.action), label, ansi::k_plain)
                   : label;
  std::string words = printable(words_of(event));
  if (style.ascii) words = in_ascii(words);
  return fmt::format("{}  {}\n", line, words);
}

} // namespace coolband
