// SPDX-License-Identifier: Apache-2.0
// From a judgement to what a person should do next, and what can hurt on the way.
#include "coolband/repair/advice.hpp"

#include "repair/hazards.hpp"
#include "repair/job_facts.hpp"
#include "repair/missed_fault.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_finding(const Judgement& judgement) {
  return judgement.condition != Condition::normal && judgement.condition != Condition::undetermined;
}

void add_stop(std::vector<std::string>& steps) {
  steps.emplace_back("stop at the next safe place, switch off and let it cool: do not drive on "
                     "while it overheats");
  steps.emplace_back("once it is cold look at the level; run the engine for a check only with the "
                     "level right, and switch it off if the reading climbs past its normal and on");
}

/// What costs a few minutes where something is to be looked into and no part is suspected.
void add_look(std::vector<std::string>& steps) {
  steps.emplace_back("engine cold, key out: look at the level, for leaks, at the belt, the fan and "
                     "the core's outside");
}

void add_replacement(std::vector<std::string>& steps, const Judgement& judgement) {
  switch (judgement.condition) {
  case Condition::thermostat_stuck_open:
  case Condition::thermostat_stuck_closed:
  case Condition::thermostat_sticking:
    steps.emplace_back("if confirmed: new thermostat of the maker's rating and its seal; refill, "
                       "bleed by the maker's procedure; never run without one");
    break;
  case Condition::sensor_fault:
    steps.emplace_back("if confirmed: repair the wiring or replace the sensor; no cooling part can "
                       "be judged before that");
    break;
  default: break;
  }
}

/// As many as a proof takes by this one drive, as a plan and `verify` count them.
void add_proof(std::vector<std::string>& steps, const Judgement& judgement,
               const NormalBand* band) {
  if (!is_finding(judgement)) return;
  constexpr double k_usual_miss = 0.05;
  const auto drives = clean_drives_needed({1, 1, {}}, k_usual_miss);
  const bool learned = band != nullptr && band->origin == BandOrigin::learned;
  steps.push_back(fmt::format(
      "after the work, log {} drives or more like this one (from cold, as loaded, in such weather) "
      "and check them by {}: one good one is no proof",
      *drives, learned ? "the band" : "a band or the profile"));
}

/// Without a fault: how to be able to tell next time.
void add_learning(std::vector<std::string>& steps, const Judgement& judgement,
                  const NormalBand* band) {
  if (judgement.condition == Condition::undetermined) {
    steps.emplace_back("log a drive that can tell: cold start, 30 min or more, some of it at "
                       "speed, at more than 5 °C outside");
  }
  if (band == nullptr || band->origin != BandOrigin::learned) {
    steps.emplace_back("learn this vehicle's own band from drives of normal running: coolband "
                       "learn LOG... --vehicle ID --band FILE");
  }
}

std::vector<std::string> cautions_for(const Judgement& judgement, const VehicleProfile* profile) {
  if (judgement.condition == Condition::normal && judgement.action == Action::none) return {};
  std::vector<std::string> cautions;
  if (judgement.action == Action::stop || may_overheat(judgement.condition))
    cautions.emplace_back("do not drive on if it climbs past its normal and on: stop at the next "
                          "safe place, switch off, let it cool; no cold water into a hot engine; a "
                          "reading that falls while other signs say hot is no recovery");
  cautions.emplace_back(
      "never open a hot cooling system, it scalds: let it go cold, then loosen the cap slowly");
  if (profile == nullptr || may_start_by_itself(fan_of(*profile)))
    cautions.emplace_back("electric fans start by themselves, engine off too: disconnect them");
  cautions.emplace_back("coolant is poisonous: catch it, keep it from children and animals");
  cautions.emplace_back("the vehicle maker's procedure and local rules come first; if in doubt, "
                        "leave it to a workshop");
  return cautions;
}

} // namespace

Advice advise(const Judgement& judgement, const NormalBand* band, const VehicleProfile* profile) {
  Advice advice;
  if (judgement.action == Action::stop) add_stop(advice.next_steps);
  if (judgement.condition != Condition::normal && !judgement.causes.empty()) {
    const Cause& top = judgement.causes.front();
    const auto& rival = judgement.causes.size() > 1 ? judgement.causes[1] : top;
    const Cause& suspect = top.condition == Condition::normal ? rival : top;
    if (is_finding(judgement) || top.condition != Condition::normal) {
      for (const std::string& check : suspect.confirm_by) advice.next_steps.push_back(check);
    }
  }
  if (advice.next_steps.empty() && judgement.action >= Action::service) add_look(advice.next_steps);
  add_replacement(advice.next_steps, judgement);
  add_proof(advice.next_steps, judgement, band);
  add_learning(advice.next_steps, judgement, band);
  advice.cautions = cautions_for(judgement, profile);
  return advice;
}

} // namespace coolband
