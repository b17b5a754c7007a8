// SPDX-License-Identifier: Apache-2.0
// Trouble codes of SAE J2012 and SAE J1939-73 that correspond to a finding.
#include "diagnose/standard_codes.hpp"

#include "circuit/usual_coolant.hpp"
#include "condition/log_unit.hpp"
#include "diagnose/episodes.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>

namespace coolband {

namespace {

struct Named {
  int number;
  const char* title;
};

// SAE J1939-71 suspect parameters.
constexpr Named k_temperature{110, "Engine coolant temperature"};
constexpr Named k_level{111, "Engine coolant level"};
constexpr Named k_fan{977, "Fan drive state"};

// SAE J1939-73 failure modes.
constexpr Named k_above_most{0, "above normal range, most severe"};
constexpr Named k_erratic{2, "erratic, intermittent or incorrect"};
constexpr Named k_voltage_high{3, "voltage above normal"};
constexpr Named k_voltage_low{4, "voltage below normal"};
constexpr Named k_not_responding{7, "mechanical system not responding"};
constexpr Named k_above_least{15, "above normal range, least severe"};
constexpr Named k_above_moderate{16, "above normal range, moderately severe"};
constexpr Named k_below_least{17, "below normal range, least severe"};
constexpr Named k_below_moderate{18, "below normal range, moderately severe"};
constexpr Named k_network{19, "received network data in error"};

/// Gathers codes; the same one is taken once, with the reason that came first.
class Codes {
 public:
  void j2012(const char* number, const char* title, std::string why) {
    add({"SAE J2012", number, title, std::move(why)});
  }
  void j1939(const Named& parameter, const Named& mode, std::string why) {
    add({"SAE J1939", fmt::format("SPN {} FMI {}", parameter.number, mode.number),
         fmt::format("{}: {}", parameter.title, mode.title), std::move(why)});
  }
  std::vector<StandardCode> take() { return std::move(codes_); }

 private:
  void add(StandardCode code) {
    const bool there = std::any_of(codes_.begin(), codes_.end(), [&](const StandardCode& other) {
      return other.code == code.code;
    });
    if (!there) codes_.push_back(std::move(code));
  }

  std::vector<StandardCode> codes_;
};

std::string why_too_cold(const Judgement& judgement) {
  const RegulationCheck& check = judgement.regulation;
  if (check.outcome == CriterionOutcome::not_evaluated)
    return "runs below its regulating temperature";
  const bool below = check.outcome == CriterionOutcome::below;
  return fmt::format("held {:.1f} °C, limit {:.1f} °C: an on-board monitor {}", *check.reached_c,
                     *check.limit_c, below ? "should set it" : "may stay silent");
}

void add_too_cold(Codes& codes, const Judgement& judgement) {
  const std::string why = why_too_cold(judgement);
  codes.j2012("P0128",
              "Coolant thermostat (coolant temperature below thermostat regulating temperature)",
              why);
  const bool below = judgement.regulation.outcome == CriterionOutcome::below;
  codes.j1939(k_temperature, below ? k_below_moderate : k_below_least, why);
}

/// The severity follows the distance to boiling, as the action does.
void add_above(Codes& codes, const Judgement& judgement, const char* why) {
  if (judgement.action == Action::stop) return; // the most severe mode comes with P0217
  const auto& margin_c = judgement.boiling.margin_c;
  const bool close = margin_c && *margin_c < k_boiling_watch_k;
  codes.j1939(k_temperature, close ? k_above_moderate : k_above_least, why);
}

void add_cooling_performance(Codes& codes, const Judgement& judgement) {
  constexpr const char* k_why = "runs above its regulating temperature";
  codes.j2012("P2181", "Cooling system performance", k_why);
  add_above(codes, judgement, k_why);
}

/// The sides on which it left the band.
void add_sticking(Codes& codes, const Judgement& judgement) {
  constexpr const char* k_why = "regulates neither at nor near its level";
  const bool below = judgement.regulation.outcome == CriterionOutcome::below;
  if (below) add_too_cold(codes, judgement);
  codes.j2012("P2181", "Cooling system performance", k_why);
  if (anything_unexplained(judgement.episodes, Direction::below) && !below)
    codes.j1939(k_temperature, k_below_least, k_why);
  if (anything_unexplained(judgement.episodes, Direction::above))
    add_above(codes, judgement, k_why);
}

void add_low_level(Codes& codes, const Judgement& judgement) {
  add_cooling_performance(codes, judgement);
  codes.j2012("P2560", "Engine coolant level low", "where the vehicle has a level sensor");
  codes.j1939(k_level, k_below_least, "where the vehicle has a level sensor");
}

void add_fan(Codes& codes, const Judgement& judgement) {
  constexpr const char* k_why = "hot when standing, sound at speed";
  codes.j2012("P0483", "Fan performance / rationality check", k_why);
  codes.j1939(k_fan, k_not_responding, k_why);
  add_above(codes, judgement, k_why);
}

/// What kinds of wrong reading the sensor events show.
struct Wrong {
  bool cold_rail = false;
  bool hot_rail = false;
  bool jumps = false;
  bool error = false;    ///< the sender's own word for a fault
  bool no_value = false; ///< a code that tells no polarity
};

/// 215 °C is raw FF of a scaled byte: the end of the scale in SAE J1979, which a short reads, and
/// "not available" in SAE J1939. Other numbers were never a scaled byte.
void note_not_available(Wrong& wrong, double reading_c, const Recording& recording) {
  const bool end_of_scale =
      std::abs(reading_c - 215.0) < 0.5 && recording.how.shape != "SAE J1939 frames";
  (end_of_scale ? wrong.hot_rail : wrong.no_value) = true;
}

void note(Wrong& wrong, const SensorEvent& event, const Recording& recording) {
  switch (
      oddity_of(event.kind, static_cast<float>(event.to_c), unit_of(recording, Role::coolant))) {
  case Oddity::lowest_code: wrong.cold_rail = true; break;
  case Oddity::not_available: note_not_available(wrong, event.to_c, recording); break;
  case Oddity::out_of_range: (event.to_c < 0.0 ? wrong.cold_rail : wrong.hot_rail) = true; break;
  case Oddity::error_code: wrong.error = true; break;
  case Oddity::jump: wrong.jumps = true; break;
  case Oddity::reserved_code:
  case Oddity::signed_end:
  case Oddity::zero_kelvin:
  case Oddity::zero: wrong.no_value = true; break;
  case Oddity::none: break;
  }
}

/// The letter of a circuit code tells the signal's polarity: an open circuit is a high signal and
/// reads cold, a short is a low signal and reads hot.
void add_rails(Codes& codes, const Wrong& wrong) {
  if (wrong.cold_rail) {
    constexpr const char* k_why = "reads as cold as an open circuit";
    codes.j2012("P0118", "Engine coolant temperature sensor 1 circuit high", k_why);
    codes.j1939(k_temperature, k_voltage_high, k_why);
  }
  if (wrong.hot_rail) {
    constexpr const char* k_why = "reads as hot as a shorted circuit";
    codes.j2012("P0117", "Engine coolant temperature sensor 1 circuit low", k_why);
    codes.j1939(k_temperature, k_voltage_low, k_why);
  }
}

void add_sensor(Codes& codes, const Trip& trip, const Recording& recording) {
  Wrong wrong;
  for (const SensorEvent& event : trip.sensor_events) note(wrong, event, recording);
  add_rails(codes, wrong);
  if (wrong.jumps) {
    constexpr const char* k_why = "jumps faster than coolant can";
    codes.j2012("P0119", "Engine coolant temperature sensor 1 circuit intermittent/erratic", k_why);
    codes.j1939(k_temperature, k_erratic, k_why);
  }
  if (wrong.error || wrong.no_value) {
    const std::string why = wrong.error
                                ? "the log shows the sender's code for an error, which tells no "
                                  "polarity"
                                : "the log shows a code for no value, which tells no polarity";
    codes.j2012("P0115", "Engine coolant temperature sensor 1 circuit", why);
    codes.j1939(k_temperature, wrong.error ? k_network : k_erratic, why);
  }
  if (trip.sensor_events.empty()) {
    constexpr const char* k_why = "the reading is not plausible";
    codes.j2012("P0116", "Engine coolant temperature sensor 1 circuit range/performance", k_why);
    codes.j1939(k_temperature, k_erratic, k_why);
  }
}

void add_over_temperature(Codes& codes) {
  constexpr const char* k_why = "near boiling, or above the band and still rising";
  codes.j2012("P0217", "Engine coolant over-temperature condition", k_why);
  codes.j1939(k_temperature, k_above_most, k_why);
}

} // namespace

std::vector<StandardCode> standard_codes(const Judgement& judgement, const Trip& trip,
                                         const Recording& recording) {
  Codes codes;
  switch (judgement.condition) {
  case Condition::thermostat_stuck_open: add_too_cold(codes, judgement); break;
  case Condition::thermostat_sticking: add_sticking(codes, judgement); break;
  case Condition::thermostat_stuck_closed:
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low: add_cooling_performance(codes, judgement); break;
  case Condition::air_or_low_coolant: add_low_level(codes, judgement); break;
  case Condition::fan_not_cooling: add_fan(codes, judgement); break;
  case Condition::sensor_fault: add_sensor(codes, trip, recording); break;
  case Condition::normal:       // nothing to report
  case Condition::undetermined: // a code names a finding
  case Condition::overheating: break;
  }
  if (judgement.action == Action::stop && judgement.condition != Condition::sensor_fault)
    add_over_temperature(codes);
  return codes.take();
}

} // namespace coolband
