// SPDX-License-Identifier: Apache-2.0
// The cautions, with what they rest on.
#include "repair/hazards.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

namespace coolband {

namespace {

struct HazardWords {
  std::string_view name;
  std::string_view brief;
  std::string_view words;
};

// Same order as Hazard. Driving on: TM 5-4210-230-14&P-1. Hot cap: scald injuries behind NHTSA's
// proposal, 66 FR 29747 (2001), and TM 5-3810-300-24&P-2. Coolant: EPA household material. Cold
// water: TM 5-3810-300-24&P-3. The rest: common practice, no source.
constexpr std::array<HazardWords, 8> k_words{{
    {"driving-on", "do not drive on",
     "do not drive on while it overheats: stop at the next safe place, switch off, let it cool; a "
     "reading that falls while other signs say hot is not recovery"},
    {"hot-system", "hot system",
     "never open a hot cooling system, pressurised coolant scalds: wait until it is cold, then "
     "loosen the cap slowly"},
    {"self-starting-fan", "fan may start",
     "an electric fan can start with the engine off: unplug it before hands come near"},
    {"running-engine", "running engine",
     "run the engine in the open; keep hands, hair, sleeves and leads clear of belts and fan"},
    {"poisonous-coolant", "poisonous coolant",
     "coolant is poisonous and tastes sweet: keep it from children, animals, skin and eyes; catch "
     "all of it"},
    {"cold-water", "no cold water into a hot engine",
     "never pour cold water into a hot engine: it may crack or warp"},
    {"lifting", "support the vehicle",
     "go under it only on supports made for its weight, on firm level ground, wheels chocked; "
     "never on a jack alone"},
    {"maker-first", "maker's procedure first",
     "the vehicle maker's procedure, local rules and licensed practice come before this plan; if "
     "in doubt leave it to a qualified workshop"},
}};

const HazardWords& entry(Hazard hazard) { return k_words.at(static_cast<std::size_t>(hazard)); }

} // namespace

std::string_view name_of(Hazard hazard) { return entry(hazard).name; }
std::string_view short_words_of(Hazard hazard) { return entry(hazard).brief; }
std::string_view words_of(Hazard hazard) { return entry(hazard).words; }

bool may_overheat(Condition cause) {
  switch (cause) {
  case Condition::thermostat_stuck_closed:
  case Condition::fan_not_cooling:
  case Condition::radiator_restricted:
  case Condition::coolant_flow_low:
  case Condition::air_or_low_coolant:
  case Condition::overheating: return true;
  default: return false;
  }
}

bool calls_to_stop(Action action, Condition condition) {
  return action == Action::stop || condition == Condition::overheating;
}

std::vector<Hazard> each_once(std::vector<Hazard> hazards) {
  std::sort(hazards.begin(), hazards.end());
  hazards.erase(std::unique(hazards.begin(), hazards.end()), hazards.end());
  return hazards;
}

} // namespace coolband
