// SPDX-License-Identifier: Apache-2.0
// The four checks of a repair in words.
#pragma once

#include "repair/verification.hpp"

#include <string>
#include <vector>

namespace coolband {

/// `after` as for `check_fault`; `allowed` is the chance of a miss that is accepted.
CheckLine fault_line(const FaultCheck& fault, const std::vector<ProofDrive>& after, double allowed);
CheckLine level_line(const LevelCheck& level, const NormalBand& band);
/// `needed`: without it a fault of before may go unseen.
CheckLine warm_up_line(const WarmUpCheck& warm_up, bool needed);
CheckLine air_line(const AirCheck& air, std::size_t drives);

/// "thermostat-stuck-open, fan-not-cooling"; "the fault" where none is named.
std::string names_of(const std::vector<Condition>& conditions);
/// Needs one.
const ProofDrive& last_doubtful(const std::vector<ProofDrive>& drives);
/// The headline of a drive without the word that the sentence around it has.
/// Why it could not have shown a fault of before, the first reason; empty where it could.
std::string why_not_able(const ProofDrive& drive);
std::string why_undetermined(const ProofDrive& drive);

} // namespace coolband
