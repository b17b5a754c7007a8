// SPDX-License-Identifier: Apache-2.0
// How early slow faults are found over a fleet's year, and how many sound vehicles are listed with
// them: tables, no test.
//
//   trend_bench VEHICLES SEED [KEPT.jsonl]
//
// VEHICLES with each slow fault, and as many sound ones as all of those. The trips are kept in
// KEPT.jsonl, if given, and read from there the next time.
#include "bench/trend_fleet.hpp"
#include "coolband/numeric/order_statistics.hpp"
#include "fleet/trend_json.hpp"
#include "fleet/trends.hpp"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <map>
#include <mutex>
#include <thread>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace {

using namespace coolband;
using namespace coolband::testing;

constexpr std::array k_slow_faults{FaultKind::radiator_blocked_outside,
                                   FaultKind::radiator_blocked_inside,
                                   FaultKind::pump_slip,
                                   FaultKind::fan_clutch_slipping,
                                   FaultKind::thermostat_late,
                                   FaultKind::thermostat_slow,
                                   FaultKind::thermostat_wide_hysteresis,
                                   FaultKind::thermostat_stuck_open};
constexpr double k_week = 7.0;

std::vector<YearPlan> plans_of(std::size_t each, std::uint64_t seed) {
  std::vector<YearPlan> plans;
  for (const FaultKind kind : k_slow_faults) {
    for (std::size_t i = 0; i < each; ++i) plans.push_back({seed, plans.size(), kind});
  }
  const std::size_t faulty = plans.size();
  for (std::size_t i = 0; i < faulty; ++i) plans.push_back({seed, plans.size(), std::nullopt});
  return plans;
}

std::vector<YearOfTrips> drive_all(const std::vector<YearPlan>& plans) {
  std::vector<YearOfTrips> years(plans.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < plans.size(); i = next++) years[i] = drive_a_year(plans[i]);
  };
  std::vector<std::jthread> threads;
  for (unsigned i = 0; i < std::max(1U, std::thread::hardware_concurrency()); ++i)
    threads.emplace_back(work);
  threads.clear();
  return years;
}

void write_kept(const std::vector<YearOfTrips>& years, const std::string& path) {
  std::ofstream file(path);
  for (std::size_t i = 0; i < years.size(); ++i) {
    for (const YearTrip& trip : years[i].trips) {
      const nlohmann::ordered_json line{{"vehicle", i},
                                        {"day", trip.day},
                                        {"severity", trip.severity},
                                        {"left", trip.left_by_fault},
                                        {"named", trip.named_by_fault},
                                        {"trip", trip_measures_json(trip.measures)}};
      file << line.dump() << '\n';
    }
  }
}

bool read_kept(std::vector<YearOfTrips>& years, const std::string& path) {
  std::ifstream file(path);
  if (!file) return false;
  FieldReader reader(path);
  for (std::string text; std::getline(file, text);) {
    const auto line = nlohmann::ordered_json::parse(text);
    years.at(line.at("vehicle").get<std::size_t>())
        .trips.push_back({line.at("day").get<double>(), line.at("severity").get<double>(),
                          trip_measures_from(reader, line.at("trip")), line.at("left").get<bool>(),
                          line.at("named").get<bool>()});
  }
  return !reader.complaint();
}

/// What came of one vehicle.
struct Outcome {
  std::optional<double> found_day;
  std::vector<Measure> found_by;
  std::optional<double> left_day;  ///< first trip that the fault took out of the band
  std::optional<double> often_day; ///< the third within ten trips
  std::optional<double> named_day; ///< first verdict with a fault, by the fault
  bool left_sound = false;         ///< a trip of a sound vehicle left the band
  bool often_sound = false;        ///< three within ten did
};

struct Weeks {
  double false_share_sum = 0.0; ///< over weeks with something found
  std::size_t with_findings = 0;
  double worst_false_share = 0.0;
};

std::size_t trips_by(const YearOfTrips& year, double day) {
  std::size_t count = 0;
  while (count < year.trips.size() && year.trips[count].day <= day) ++count;
  return count;
}

void look(const std::vector<YearOfTrips>& years, double day, std::vector<Outcome>& outcomes,
          Weeks& weeks) {
  std::vector<VehicleTrend> trends;
  std::vector<double> p;
  for (const YearOfTrips& year : years) {
    std::vector<TripMeasures> trips;
    for (std::size_t i = 0; i < trips_by(year, day); ++i) trips.push_back(year.trips[i].measures);
    trends.push_back(trend_of(trips));
    p.push_back(trends.back().p);
  }
  const FleetFinding finding = fleet_trends(p);
  std::size_t wrong = 0;
  for (const std::size_t i : finding.found) {
    wrong += years[i].plan.fault && day > k_fault_day ? 0U : 1U;
    if (outcomes[i].found_day) continue;
    outcomes[i].found_day = day;
    outcomes[i].found_by = believed(trends[i], finding.level);
  }
  if (finding.found.empty()) return;
  const double share = static_cast<double>(wrong) / static_cast<double>(finding.found.size());
  ++weeks.with_findings;
  weeks.false_share_sum += share;
  weeks.worst_false_share = std::max(weeks.worst_false_share, share);
}

/// The day of the third trip within ten that is one of these.
template <class Which>
std::optional<double> third_of_ten(const YearOfTrips& year, Which which) {
  for (std::size_t i = 0; i < year.trips.size(); ++i) {
    const auto last = year.trips.begin() + static_cast<std::ptrdiff_t>(i) + 1;
    const auto first = last - static_cast<std::ptrdiff_t>(std::min<std::size_t>(10, i + 1));
    if (which(year.trips[i]) && std::count_if(first, last, which) >= 3) return year.trips[i].day;
  }
  return std::nullopt;
}

void add_verdicts(const YearOfTrips& year, Outcome& outcome) {
  outcome.often_day = third_of_ten(year, [](const YearTrip& trip) { return trip.left_by_fault; });
  outcome.often_sound = !year.plan.fault && third_of_ten(year, [](const YearTrip& trip) {
                                              return trip.measures.left_band;
                                            }).has_value();
  for (const YearTrip& trip : year.trips) {
    if (trip.left_by_fault && !outcome.left_day) outcome.left_day = trip.day;
    if (trip.named_by_fault && !outcome.named_day) outcome.named_day = trip.day;
    if (trip.measures.left_band && !year.plan.fault) outcome.left_sound = true;
  }
}

std::string middle(std::vector<double> values, const char* unit) {
  if (values.empty()) return "-";
  return fmt::format("{:.2g}{}", median(std::move(values)), unit);
}

std::string days(std::vector<double> values) {
  if (values.empty()) return "-";
  return fmt::format("{:.0f} ({:.0f} to {:.0f})", median(values), quantile(values, 0.25),
                     quantile(values, 0.75));
}

/// What came of all vehicles with one fault.
struct FaultRow {
  std::size_t vehicles = 0;
  std::size_t found = 0;
  std::size_t before_left = 0;
  std::size_t before_often = 0;
  std::size_t before_named = 0;
  std::size_t left = 0;
  std::size_t often = 0;
  std::size_t named = 0;
  std::vector<double> lead_left;
  std::vector<double> lead_often;
  std::vector<double> lead_named;
  std::vector<double> severity_found;
  std::vector<double> severity_left;
  std::vector<double> severity_often;
  std::vector<double> severity_named;
  std::map<std::string_view, std::size_t> by;
};

void compare(double found_day, const std::optional<double>& day, std::size_t& before,
             std::vector<double>& lead) {
  before += !day || found_day < *day ? 1U : 0U;
  if (day) lead.push_back(*day - found_day);
}

FaultRow row_of(FaultKind kind, const std::vector<YearOfTrips>& years,
                const std::vector<Outcome>& outcomes) {
  FaultRow row;
  for (std::size_t i = 0; i < years.size(); ++i) {
    if (years[i].plan.fault != kind) continue;
    const Outcome& outcome = outcomes[i];
    ++row.vehicles;
    row.left += outcome.left_day ? 1U : 0U;
    row.often += outcome.often_day ? 1U : 0U;
    if (outcome.often_day) row.severity_often.push_back(severity_on(*outcome.often_day));
    row.named += outcome.named_day ? 1U : 0U;
    if (outcome.left_day) row.severity_left.push_back(severity_on(*outcome.left_day));
    if (outcome.named_day) row.severity_named.push_back(severity_on(*outcome.named_day));
    if (!outcome.found_day) continue;
    ++row.found;
    row.severity_found.push_back(severity_on(*outcome.found_day));
    for (const Measure measure : outcome.found_by) ++row.by[name_of(measure)];
    compare(*outcome.found_day, outcome.left_day, row.before_left, row.lead_left);
    compare(*outcome.found_day, outcome.often_day, row.before_often, row.lead_often);
    compare(*outcome.found_day, outcome.named_day, row.before_named, row.lead_named);
  }
  return row;
}

void print_fault(std::string_view name, const FaultRow& row) {
  fmt::print("| {} | {} of {} at {} | {} at {} | {}, {} days | {} at {} | {}, {} days | {} at {} | "
             "{}, {} days |",
             name, row.found, row.vehicles, middle(row.severity_found, ""), row.left,
             middle(row.severity_left, ""), row.before_left, days(row.lead_left), row.often,
             middle(row.severity_often, ""), row.before_often, days(row.lead_often), row.named,
             middle(row.severity_named, ""), row.before_named, days(row.lead_named));
  for (const auto& [measure, count] : row.by) fmt::print(" {} {},", measure, count);
  fmt::print("\n");
}

void print_tables(const std::vector<YearOfTrips>& years, const std::vector<Outcome>& outcomes,
                  const Weeks& weeks) {
  fmt::print(
      "| fault | trend found, at severity | a trip left the band, at | trend before, by | 3 of "
      "10 left, at | trend before, by | named, at | trend before, by | found by |\n");
  for (const FaultKind kind : k_slow_faults)
    print_fault(name_of(kind), row_of(kind, years, outcomes));
  std::size_t sound = 0;
  std::size_t listed = 0;
  std::size_t left = 0;
  std::size_t often = 0;
  std::size_t all_listed = 0;
  std::map<std::string_view, std::size_t> by;
  for (std::size_t i = 0; i < years.size(); ++i) {
    const Outcome& outcome = outcomes[i];
    all_listed += outcome.found_day ? 1U : 0U;
    if (years[i].plan.fault) continue;
    ++sound;
    listed += outcome.found_day ? 1U : 0U;
    left += outcome.left_sound ? 1U : 0U;
    often += outcome.often_sound ? 1U : 0U;
    for (const Measure measure : outcome.found_by) ++by[name_of(measure)];
  }
  fmt::print("sound: {} vehicles, {} listed in any week ({} left the band at least once, {} three "
             "times in ten)",
             sound, listed, left, often);
  for (const auto& [name, count] : by) fmt::print(", {} {}", name, count);
  fmt::print("\nsound share of all ever listed: {:.3f}; of a week's list, mean over {} weeks: "
             "{:.3f}, at most {:.3f}\n",
             all_listed == 0 ? 0.0 : static_cast<double>(listed) / static_cast<double>(all_listed),
             weeks.with_findings,
             weeks.with_findings == 0
                 ? 0.0
                 : weeks.false_share_sum / static_cast<double>(weeks.with_findings),
             weeks.worst_false_share);
}

} // namespace

int main(int count, char** arguments) {
  const auto each = static_cast<std::size_t>(count > 1 ? std::atoi(arguments[1]) : 4);
  const auto seed = static_cast<std::uint64_t>(count > 2 ? std::atoi(arguments[2]) : 1);
  const std::string kept = count > 3 ? arguments[3] : "";
  const auto plans = plans_of(each, seed);
  std::vector<YearOfTrips> years;
  for (const YearPlan& plan : plans) years.push_back({plan, {}, {}});
  if (kept.empty() || !read_kept(years, kept)) {
    years = drive_all(plans);
    if (!kept.empty()) write_kept(years, kept);
  }
  std::size_t trips = 0;
  std::size_t problems = 0;
  for (const YearOfTrips& year : years) {
    trips += year.trips.size();
    problems += year.problems.size();
    if (!year.problems.empty()) fmt::print("{}\n", year.problems.front());
  }
  fmt::print("{} vehicles, {} trips, {} problems, seed {}\n", years.size(), trips, problems, seed);
  std::vector<Outcome> outcomes(years.size());
  Weeks weeks;
  for (double day = k_week; day <= k_year_days; day += k_week) look(years, day, outcomes, weeks);
  for (std::size_t i = 0; i < years.size(); ++i) add_verdicts(years[i], outcomes[i]);
  print_tables(years, outcomes, weeks);
  return 0;
}
