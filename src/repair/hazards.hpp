// SPDX-License-Identifier: Apache-2.0
// What can hurt during a job, each said once in the whole plan.
#pragma once

#include "coolband/diagnose/judgement.hpp"

#include <cstdint>
#include <string_view>
#include <vector>

namespace coolband {

/// In the order in which a plan says them.
enum class Hazard : std::uint8_t {
  driving_on,
  hot_system,
  self_starting_fan,
  running_engine,
  poisonous_coolant,
  cold_water,
  lifting,
  maker_first, ///< belongs to every plan
};

std::string_view name_of(Hazard hazard);        ///< "hot-system"
std::string_view short_words_of(Hazard hazard); ///< "hot system", to stand beside a check
std::string_view words_of(Hazard hazard);

/// Whether driving on with it may end in overheating.
bool may_overheat(Condition cause);

/// What no drive may follow before the cause is found and cured.
bool calls_to_stop(Action action, Condition condition);

/// Sorted, each once.
std::vector<Hazard> each_once(std::vector<Hazard> hazards);

} // namespace coolband
