// SPDX-License-Identifier: Apache-2.0
// From a kind of work to litres of product and water.
#include "repair/job_coolant.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

/// Share of the capacity that the work lets out, where nobody measured it (common practice, no
/// source). A full drain leaves part of it in the engine block.
std::optional<double> usual_drain(RepairKind kind) {
  switch (kind) {
  case RepairKind::thermostat: return 0.5;
  case RepairKind::radiator:
  case RepairKind::flow: return 0.7;
  case RepairKind::leak: return 0.3;
  case RepairKind::sensor: return 0.1;
  case RepairKind::fan:
  case RepairKind::none: break;
  }
  return std::nullopt;
}

/// Flushing until it runs clear takes about twice the capacity (common practice, no source).
constexpr double k_flushes = 2.0;

constexpr const char* k_formula = "concentrate to fill in = (capacity × target % − what stays in × "
                                  "its %) / 100; water = drained − concentrate";

void take_mix(const JobFacts& facts, const CoolantOptions& options, JobCoolant& coolant) {
  const bool water = facts.glycol == Glycol::none;
  const bool to_mix = water && options.target_pct.value_or(0.0) > 0.0;
  coolant.glycol = to_mix ? Glycol::ethylene : facts.glycol.value_or(Glycol::ethylene);
  const double usual_pct = water ? 0.0 : k_usual_glycol_pct;
  const double profile_pct = water ? 0.0 : facts.concentration_pct.value_or(usual_pct);
  coolant.present_pct = options.present_pct.value_or(profile_pct);
  coolant.present_from = options.present_pct                       ? Source::user
                         : facts.concentration_pct || facts.glycol ? Source::profile
                                                                   : Source::assumed;
  coolant.target_pct = options.target_pct.value_or(profile_pct);
  coolant.product_pct = options.product_pct;
  if (!facts.glycol || to_mix)
    coolant.notes.emplace_back("kind of coolant not known: take the maker's, and do not mix kinds");
  if (coolant.present_from != Source::user && !water)
    coolant.notes.push_back(
        fmt::format("{} vol % in it now {}: measure it before draining "
                    "(refractometer) and give --concentration",
                    coolant.present_pct,
                    coolant.present_from == Source::profile ? "by the profile" : "is assumed"));
  const auto freezes_c = freezing_point_c({coolant.glycol, coolant.target_pct});
  if (freezes_c) coolant.freezes_c = *freezes_c;
}

void take_drained(double share, const CoolantOptions& options, JobCoolant& coolant) {
  coolant.drained_l = options.drained_l;
  if (coolant.drained_l) {
    coolant.drained_from = Source::user;
  } else if (coolant.capacity_l) {
    coolant.drained_l = share * *coolant.capacity_l;
    coolant.notes.push_back(fmt::format("{:.0f} % of the capacity coming out is assumed: measure "
                                        "it (pan) and give --drained",
                                        100.0 * share));
  }
  if (!coolant.capacity_l)
    coolant.missing.push_back(
        fmt::format("the capacity of the cooling system (profile: cooling.capacity_l, or "
                    "--capacity); with it: {}",
                    k_formula));
}

std::optional<Error> fill(JobCoolant& coolant) {
  if (!coolant.capacity_l || !coolant.drained_l) return std::nullopt;
  const double staying_pct = coolant.flushed ? 0.0 : coolant.present_pct;
  const auto refill = plan_refill({*coolant.capacity_l, staying_pct, coolant.target_pct,
                                   coolant.product_pct, *coolant.drained_l});
  if (!refill) return refill.error();
  coolant.refill = *refill;
  return std::nullopt;
}

} // namespace

Result<std::optional<JobCoolant>> job_coolant(RepairKind kind, const JobFacts& facts,
                                              const CoolantOptions& options) {
  const auto share = usual_drain(kind);
  if (!share) return std::optional<JobCoolant>();
  JobCoolant coolant;
  coolant.capacity_l = options.capacity_l ? options.capacity_l : facts.capacity_l;
  coolant.flushed = kind == RepairKind::radiator;
  take_mix(facts, options, coolant);
  take_drained(*share, options, coolant);
  if (coolant.flushed && coolant.capacity_l) {
    coolant.flush_l = k_flushes * *coolant.capacity_l;
    coolant.notes.emplace_back("after flushing, what stays in the engine is water: fill in the "
                               "coolant first");
  }
  if (coolant.glycol == Glycol::none)
    coolant.notes.emplace_back(
        "plain water freezes at 0 °C and bursts what it fills, and lets metal "
        "rust: add the inhibitor that the maker names, and change to a mix "
        "before frost");
  if (const auto error = fill(coolant)) return *error;
  return std::optional<JobCoolant>(std::move(coolant));
}

} // namespace coolband
