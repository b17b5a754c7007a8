// SPDX-License-Identifier: Apache-2.0
// How often a healthy drive is called faulty, and how often a fault is named: many simulated
// drives through import, learning and judging. Prints counts; it asserts nothing.
//
//   detection_bench [DRIVES-PER-VEHICLE-AND-SITUATION [DRIVES-PER-FAULT [FIRST-SEED [details]]]]
#include "coolband/analyse.hpp"
#include "coolband/import/import_log.hpp"
#include "support/drive_simulator.hpp"
#include "support/random.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace {

using namespace coolband;
using namespace coolband::testing;

// ---- vehicles and drives ----

struct Car {
  std::string_view name;
  Vehicle vehicle;
};

Vehicle petrol_estate() {
  Vehicle v;
  v.opens_c = 88.0;
  v.span_c = 10.0;
  v.engine_kj_per_k = 85.0; // with the heat below: warm in about 12 minutes at 20 °C
  v.radiator_kj_per_k = 13.0;
  v.full_heat_kw = 60.0;
  v.radiator_ua_kw_per_k = 1.05;
  v.radiator_area_m2 = 0.23;
  v.fan = FanKind::electric;
  v.fan_on_c = 101.0;
  v.fan_off_c = 96.0;
  v.mass_kg = 1600.0;
  v.drag_area_m2 = 0.8;
  v.rated_power_kw = 80.0;
  v.rated_rpm = 4800.0;
  v.boils_c = 126.0;
  return v;
}

enum class Situation { ordinary, frost, heat, climb, hot_idle, brief };
struct SituationName {
  Situation situation;
  std::string_view name;
};
constexpr SituationName k_situations[] = {{Situation::ordinary, "ordinary, 3..27 °C"},
                                          {Situation::frost, "frost, -20..0 °C"},
                                          {Situation::heat, "heat, 28..38 °C"},
                                          {Situation::climb, "laden climb, 5..32 °C"},
                                          {Situation::hot_idle, "idling in 20..36 °C air"},
                                          {Situation::brief, "brief, 18..25 min"}};

constexpr LegKind k_everyday[] = {LegKind::town, LegKind::road, LegKind::motorway, LegKind::road};

/// Legs of everyday driving for about `minutes`, with a stop or two of a few minutes.
std::vector<Leg> everyday(Random& random, double minutes) {
  std::vector<Leg> legs{{LegKind::idle, random.between(0.5, 3.0)}};
  for (double left = minutes; left > 0.0;) {
    const double length = std::min(left, random.between(5.0, 15.0));
    legs.push_back({k_everyday[random.below(std::size(k_everyday))], length});
    if (random.between(0.0, 1.0) < 0.25) legs.push_back({LegKind::idle, random.between(1.0, 4.0)});
    left -= length;
  }
  return legs;
}

DrivePlan make_plan(Situation situation, std::uint64_t seed) {
  Random random(seed * 7919U + static_cast<std::uint64_t>(situation));
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = random.between(3.0, 27.0);
  plan.altitude_m = random.between(0.0, 600.0);
  plan.sample_period_s = random.between(0.0, 1.0) < 0.5 ? 1.0 : 2.0;
  plan.legs = everyday(random, random.between(32.0, 60.0));
  switch (situation) {
  case Situation::ordinary: break;
  case Situation::frost: plan.ambient_c = random.between(-20.0, 0.0); break;
  case Situation::heat: plan.ambient_c = random.between(28.0, 38.0); break;
  case Situation::climb:
    plan.ambient_c = random.between(5.0, 32.0);
    plan.extra_mass_kg = random.between(300.0, 1200.0);
    plan.legs.push_back({LegKind::climb, random.between(10.0, 25.0)});
    plan.legs.push_back({LegKind::road, random.between(5.0, 10.0)});
    break;
  case Situation::hot_idle:
    plan.ambient_c = random.between(20.0, 36.0);
    plan.legs.push_back({LegKind::idle, random.between(12.0, 25.0)});
    plan.legs.push_back({LegKind::road, random.between(5.0, 10.0)});
    break;
  case Situation::brief: plan.legs = everyday(random, random.between(17.0, 22.0)); break;
  }
  plan.start_c = plan.ambient_c + random.between(0.0, 2.0);
  return plan;
}

Recording record(const DriveLog& log) {
  auto recording = import_text(drive_csv(log), "bench.csv");
  if (!recording) fmt::print("import failed: {}\n", describe(recording.error()));
  return recording ? *recording : Recording{};
}

/// Ten healthy drives such as an owner would give: eight everyday ones over the seasons, a climb
/// and one with a long idle.
Result<NormalBand> learn(const Vehicle& vehicle, std::uint64_t first_seed) {
  std::vector<DriveSummary> drives;
  for (std::uint64_t i = 0; i < 10; ++i) {
    const Situation situation = i == 8   ? Situation::climb
                                : i == 9 ? Situation::hot_idle
                                         : Situation::ordinary;
    for (auto& drive :
         summarise_drives(record(simulate_drive(vehicle, make_plan(situation, first_seed + i))))) {
      if (!drive.summary) continue;
      drive.summary->source += fmt::format("-{}", i); // the logs share a name here
      drives.push_back(*drive.summary);
    }
  }
  LearnOptions options;
  options.fit_circuit = false; // the band does not rest on it
  return learn_band(std::move(drives), "bench", std::nullopt, options);
}

Judgement judge_drive(const DriveLog& log, const NormalBand& band) {
  const auto findings = analyse(record(log), band, std::nullopt);
  return findings.empty() ? Judgement{} : findings.front().judgement;
}

// ---- counting ----

struct Interval {
  double low = 0.0;
  double high = 1.0;
};

/// P(X <= k) for a binomial count, by its beta tail as an F-free sum in logs.
double binomial_cdf(std::size_t k, std::size_t n, double p) {
  if (p <= 0.0) return 1.0;
  if (p >= 1.0) return k >= n ? 1.0 : 0.0;
  double sum = 0.0;
  const auto total = static_cast<double>(n);
  for (std::size_t i = 0; i <= k; ++i) {
    const auto x = static_cast<double>(i);
    sum += std::exp(std::lgamma(total + 1.0) - std::lgamma(x + 1.0) - std::lgamma(total - x + 1.0) +
                    x * std::log(p) + (total - x) * std::log1p(-p));
  }
  return std::min(sum, 1.0);
}

/// Where a falling function of p crosses `level`.
template <class Falling>
double crossing(Falling falling, double level) {
  double low = 0.0;
  double high = 1.0;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (falling(middle) > level ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Clopper and Pearson's exact 95 % interval.
Interval clopper_pearson(std::size_t k, std::size_t n) {
  Interval interval;
  if (k > 0) interval.low = crossing([&](double p) { return binomial_cdf(k - 1, n, p); }, 0.975);
  if (k < n) interval.high = crossing([&](double p) { return binomial_cdf(k, n, p); }, 0.025);
  return interval;
}

std::string share_text(std::size_t k, std::size_t n) {
  const Interval interval = clopper_pearson(k, n);
  return fmt::format("{} of {} = {:.1f} % ({:.1f} to {:.1f} %)", k, n,
                     100.0 * static_cast<double>(k) / static_cast<double>(n), 100.0 * interval.low,
                     100.0 * interval.high);
}

constexpr std::size_t k_verdicts = 11;
using Tally = std::array<std::size_t, k_verdicts>;

std::string tally_text(const Tally& tally) {
  std::string text;
  for (std::size_t c = 0; c < k_verdicts; ++c) {
    if (tally[c] > 0) text += fmt::format("  {} {}", name_of(static_cast<Condition>(c)), tally[c]);
  }
  return text;
}

bool is_alarm(const Judgement& judgement) {
  return judgement.condition != Condition::normal && judgement.condition != Condition::undetermined;
}

struct Bench {
  std::vector<Car> cars{{"diesel", {}}, {"petrol", petrol_estate()}};
  std::size_t healthy = 25;
  std::size_t faulty = 30;
  std::uint64_t first_seed = 1;
  std::map<std::pair<std::size_t, std::size_t>, NormalBand> bands; ///< by car and learning

  /// Five learnings a vehicle: a false alarm belongs to a drive and a band together.
  const NormalBand& band_for(std::size_t car, std::size_t drive) {
    const std::size_t learning = drive % 5;
    const auto found = bands.find({car, learning});
    if (found != bands.end()) return found->second;
    const auto band = learn(cars[car].vehicle, first_seed + 100000 + 10 * learning);
    if (!band) fmt::print("cannot learn: {}\n", describe(band.error()));
    const NormalBand& kept = bands[{car, learning}] = band ? *band : NormalBand{};
    fmt::print("band {} {}: {:.2f} ± {:.2f} °C, between {:.2f}, within {:.2f}, load {:.3f}, "
               "ambient {:.3f}, {} drives, {} left out\n",
               cars[car].name, learning, kept.centre_c, kept.half_width_c, kept.between_c,
               kept.within_c, kept.load_c_per_pct.value_or(0.0), kept.ambient_c_per_c.value_or(0.0),
               kept.drives.size(), kept.left_out.size());
    return kept;
  }
};

void print_alarm(std::string_view what, std::uint64_t seed, const DrivePlan& plan,
                 const Judgement& judgement) {
  fmt::print("    {} seed {} at {:.0f} °C: {} ({}); {}\n", what, seed, plan.ambient_c,
             name_of(judgement.condition), name_of(judgement.action), judgement.headline);
  for (const Episode& e : judgement.episodes) {
    fmt::print("      {:.0f}-{:.0f} s {} {:+.1f} K (mean {:+.1f}, limit {:.1f}) load {:.0f} speed "
               "{:.0f} {}\n",
               e.start_s, e.end_s, name_of(e.direction), e.worst_deviation_c, e.mean_deviation_c,
               e.threshold_c, e.load_pct.value_or(-1.0), e.speed_kmh.value_or(-1.0),
               name_of(e.explained_by));
  }
}

void run_healthy(Bench& bench) {
  std::size_t alarms = 0;
  std::size_t undetermined = 0;
  std::size_t all = 0;
  fmt::print("\nHEALTHY\n");
  for (std::size_t car = 0; car < bench.cars.size(); ++car) {
    for (const auto& [situation, name] : k_situations) {
      Tally tally{};
      for (std::size_t i = 0; i < bench.healthy; ++i) {
        const std::uint64_t seed = bench.first_seed + 1000 * (car + 1) + i;
        const DrivePlan plan = make_plan(situation, seed);
        const Judgement judgement =
            judge_drive(simulate_drive(bench.cars[car].vehicle, plan), bench.band_for(car, i));
        ++tally[static_cast<std::size_t>(judgement.condition)];
        alarms += is_alarm(judgement) ? 1U : 0U;
        undetermined += judgement.condition == Condition::undetermined ? 1U : 0U;
        ++all;
        if (judgement.condition != Condition::normal) print_alarm(name, seed, plan, judgement);
      }
      fmt::print("{:7} {:28}{}\n", bench.cars[car].name, name, tally_text(tally));
    }
  }
  fmt::print("false alarms {}\nno verdict   {}\n", share_text(alarms, all),
             share_text(undetermined, all));
}

/// Whether the fault moved the coolant: at least 4 K from the same drive without it, for 5 minutes
/// or more. A fault that the temperature does not feel cannot be found in it.
bool shows(const DriveLog& faulty, const DriveLog& healthy) {
  double seconds = 0.0;
  for (std::size_t i = 1; i < faulty.size(); ++i) {
    if (std::abs(faulty.true_coolant_c[i] - healthy.true_coolant_c[i]) >= 4.0F)
      seconds += static_cast<double>(faulty.time_s[i] - faulty.time_s[i - 1]);
  }
  return seconds >= 300.0;
}

struct FaultCase {
  std::string_view name;
  FaultPlan fault;
  Condition right;
  Situation telling;   ///< a situation in which the fault can show
  bool thermal = true; ///< moves the coolant, not only the reading
};

constexpr FaultCase k_faults[] = {
    {"stuck open", {Fault::stuck_open}, Condition::thermostat_stuck_open, Situation::ordinary},
    {"stuck closed",
     {Fault::stuck_closed},
     Condition::thermostat_stuck_closed,
     Situation::ordinary},
    {"sticking", {Fault::sticking}, Condition::thermostat_sticking, Situation::ordinary},
    {"fan dead", {Fault::fan_dead}, Condition::fan_not_cooling, Situation::hot_idle},
    {"radiator", {Fault::radiator_blocked}, Condition::radiator_restricted, Situation::climb},
    {"pump weak", {Fault::pump_weak}, Condition::coolant_flow_low, Situation::climb},
    {"low coolant",
     {Fault::low_coolant},
     Condition::air_or_low_coolant,
     Situation::ordinary,
     false},
    {"dropouts", {Fault::sensor_dropouts}, Condition::sensor_fault, Situation::ordinary, false},
    {"jumps", {Fault::sensor_jumps}, Condition::sensor_fault, Situation::ordinary, false},
    {"frozen warm",
     {Fault::sensor_frozen, 1.0, 1500.0},
     Condition::sensor_fault,
     Situation::ordinary,
     false},
    {"100 ohm in lead",
     {Fault::sensor_series_resistance},
     Condition::thermostat_stuck_open, // the same signature: a limit that every report states
     Situation::ordinary,
     false}};

/// Verdicts over drives in which the fault shows; of at most five times as many.
Tally judge_fault(Bench& bench, std::size_t car, const FaultCase& item, bool details) {
  Tally tally{};
  const Vehicle& vehicle = bench.cars[car].vehicle;
  std::size_t shown = 0;
  for (std::size_t i = 0; i < 5 * bench.faulty && shown < bench.faulty; ++i) {
    const std::uint64_t seed = bench.first_seed + 5000 + 1000 * car + i;
    const DrivePlan plan = make_plan(item.telling, seed);
    const DriveLog log = simulate_drive(vehicle, plan, item.fault);
    if (item.thermal && !shows(log, simulate_drive(vehicle, plan))) continue;
    ++shown;
    const Judgement judgement = judge_drive(log, bench.band_for(car, i));
    ++tally[static_cast<std::size_t>(judgement.condition)];
    if (details && judgement.condition != item.right) print_alarm(item.name, seed, plan, judgement);
  }
  return tally;
}

void run_faulty(Bench& bench, bool details) {
  fmt::print("\nFAULTY, in drives in which the fault shows\n");
  fmt::print("{:7} {:16} {:>6} {:>6} {:>6} {:>7} {:>7}\n", "vehicle", "fault", "drives", "named",
             "other", "no verd", "normal");
  for (std::size_t car = 0; car < bench.cars.size(); ++car) {
    for (const FaultCase& item : k_faults) {
      const Tally tally = judge_fault(bench, car, item, details);
      std::size_t all = 0;
      for (const std::size_t count : tally) all += count;
      const std::size_t named = tally[static_cast<std::size_t>(item.right)];
      const std::size_t open = tally[static_cast<std::size_t>(Condition::undetermined)];
      const std::size_t normal = tally[static_cast<std::size_t>(Condition::normal)];
      fmt::print("{:7} {:16} {:6} {:6} {:6} {:7} {:7}  |{}\n", bench.cars[car].name, item.name, all,
                 named, all - named - open - normal, open, normal, tally_text(tally));
    }
  }
}

std::size_t argument(int argc, char** argv, int index, std::size_t usual) {
  if (index >= argc) return usual;
  const std::string_view text = argv[index];
  std::size_t value = usual;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

} // namespace

int main(int argc, char** argv) {
  Bench bench;
  bench.healthy = argument(argc, argv, 1, bench.healthy);
  bench.faulty = argument(argc, argv, 2, bench.faulty);
  bench.first_seed = argument(argc, argv, 3, 1);
  if (bench.healthy == 0 || bench.faulty == 0) return 2;
  const bool details = argc > 4;
  run_healthy(bench);
  run_faulty(bench, details);
  return 0;
}
