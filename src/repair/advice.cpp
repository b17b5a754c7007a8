// SPDX-License-Identifier: Apache-2.0
// From a judgement to what a person should do next, and what can hurt on the way.
#include "coolband/repair/advice.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

bool is_finding(const Judgement& judgement) {
  return judgement.condition != Condition::normal && judgement.condition != Condition::undetermined;
}

void add_stop(std::vector<std::string>& steps) {
  steps.emplace_back("stop at the next safe place, switch off and let it cool: do not drive on "
                     "while it overheats");
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

void add_proof(std::vector<std::string>& steps, const Judgement& judgement,
               const NormalBand* band) {
  if (!is_finding(judgement)) return;
  const bool learned = band != nullptr && band->origin == BandOrigin::learned;
  steps.push_back(fmt::format(
      "after the work, log three drives or more (cold start, idle, load) and check them by {}: one "
      "good one is no proof",
      learned ? "the band" : "a band or the profile"));
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

std::vector<std::string> cautions_for(const Judgement& judgement) {
  if (judgement.condition == Condition::normal && judgement.action == Action::none) return {};
  std::vector<std::string> cautions = {
      "never open a hot cooling system, it scalds: let it go cold, then loosen the cap slowly",
      "electric fans start by themselves, engine off too: disconnect them",
      "coolant is poisonous: catch it, keep it from children and animals",
      "the vehicle maker's procedure and local rules come first; if in doubt, leave it to a "
      "workshop"};
  if (judgement.action == Action::stop || judgement.condition == Condition::air_or_low_coolant) {
    cautions.insert(cautions.begin(), "no cold water into a hot engine; a reading that falls "
                                      "while other signs say hot is no recovery");
  }
  return cautions;
}

} // namespace

Advice advise(const Judgement& judgement, const NormalBand* band) {
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
  add_replacement(advice.next_steps, judgement);
  add_proof(advice.next_steps, judgement, band);
  add_learning(advice.next_steps, judgement, band);
  advice.cautions = cautions_for(judgement);
  return advice;
}

} // namespace coolband
