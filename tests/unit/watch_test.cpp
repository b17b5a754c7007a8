// SPDX-License-Identifier: Apache-2.0
// A log judged while it is written: line by line, whatever the pieces, and at the end as a whole.
#include "watch.hpp"

#include "support/drive_simulator.hpp"

#include <doctest/doctest.h>
#include <fmt/core.h>

#include <algorithm>
#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::string drive_text(std::uint64_t seed, Fault fault = Fault::none, double period_s = 2.0) {
  DrivePlan plan;
  plan.seed = seed;
  plan.ambient_c = 15.0;
  plan.start_c = 15.0;
  plan.sample_period_s = period_s;
  plan.legs = {{LegKind::town, 8}, {LegKind::road, 20}, {LegKind::motorway, 8}, {LegKind::road, 6}};
  return drive_csv(simulate_drive({}, plan, {fault}));
}

const NormalBand& watched_band() {
  static const NormalBand band = [] {
    std::vector<DriveSummary> drives;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
      const auto recording = import_text(drive_text(seed), "drive.csv");
      REQUIRE(recording);
      drives.push_back(*summarise_drives(*recording).front().summary);
      drives.back().source += std::to_string(seed);
    }
    return *learn_band(drives, "V");
  }();
  return band;
}

/// What was told, in short.
struct Told {
  WatchMoment moment = WatchMoment::begin;
  Standing standing;
  std::size_t trip = 0;
  double at_s = 0.0;         ///< on the log's clock
  std::size_t first_row = 0; ///< of the log, counted from 1
  std::size_t last_row = 0;
  std::size_t forgotten = 0;
  bool alarm = false;
  double confidence = 0.0;
  double duration_s = 0.0;
  std::size_t kept_rows = 0; ///< of the whole recording
  bool operator==(const Told&) const = default;
};

struct Story {
  std::vector<Told> told;
  std::vector<std::string> notices;
  std::optional<Error> error;

  [[nodiscard]] std::vector<Told> of(WatchMoment moment) const {
    std::vector<Told> some;
    std::copy_if(told.begin(), told.end(), std::back_inserter(some),
                 [&](const Told& t) { return t.moment == moment; });
    return some;
  }
};

Told told_of(const WatchEvent& event) {
  const Trip& trip = event.finding.trip;
  const RowMap& map = event.recording.row_map;
  return {event.moment,
          event.standing,
          event.trip,
          event.recording.clock.start_s + event.recording.time_s.back(),
          event.rows_before + map.at(trip.first_row).row,
          event.rows_before + map.at(trip.last_row).row,
          event.rows_forgotten,
          event.heat.has_value(),
          event.finding.judgement.confidence,
          trip.duration_s,
          event.recording.size()};
}

WatchSink sink_of(Story& story) {
  return {[&story](const WatchEvent& event) { story.told.push_back(told_of(event)); },
          [&story](const std::string& text) { story.notices.push_back(text); }};
}

WatchSetup setup_with(std::optional<NormalBand> band) {
  WatchSetup setup;
  setup.source = "live";
  setup.band = std::move(band);
  return setup;
}

Story watched(const std::string& text, WatchSetup setup, std::size_t piece = 4096) {
  Story story;
  Watch watch(std::move(setup), sink_of(story));
  for (std::size_t at = 0; at < text.size() && !story.error; at += piece)
    story.error = watch.take(std::string_view(text).substr(at, piece));
  if (!story.error) story.error = watch.end();
  return story;
}

Story watched(const std::string& text) { return watched(text, setup_with(watched_band())); }

/// Every 2 s: 80 °C for ten minutes, then up by `k_per_min` to 126 °C.
std::string boiling_text(double k_per_min) {
  std::string text = "time_s,coolant_c,rpm,speed_kmh\n";
  double coolant_c = 80.0;
  for (int i = 0; coolant_c < 126.0; ++i) {
    if (i > 300) coolant_c += k_per_min / 30.0;
    text += fmt::format("{},{:.1f},2000,60\n", 2 * i, coolant_c);
  }
  return text;
}

VehicleProfile stamped() {
  VehicleProfile made;
  made.id = "V";
  made.normal_centre_c = 80.0;
  made.normal_tolerance_c = 3.0;
  return made;
}

/// What `analyse` says of the same text.
std::vector<TripFinding> as_a_whole(const std::string& text) {
  const auto recording = import_text(text, "whole");
  REQUIRE(recording);
  return analyse(*recording, watched_band(), std::nullopt);
}

void check_ends(const std::string& text, const Story& story) {
  CHECK_FALSE(story.error);
  const auto ends = story.of(WatchMoment::trip_end);
  const auto whole = as_a_whole(text);
  REQUIRE(ends.size() == whole.size());
  for (std::size_t i = 0; i < ends.size(); ++i) {
    CHECK(ends[i].trip == i + 1);
    CHECK(ends[i].standing.condition == whole[i].judgement.condition);
    CHECK(ends[i].standing.action == whole[i].judgement.action);
    CHECK(ends[i].confidence == doctest::Approx(whole[i].judgement.confidence).epsilon(1e-3));
    CHECK(ends[i].duration_s == doctest::Approx(whole[i].trip.duration_s));
  }
}

} // namespace

TEST_CASE("a sound drive: it begins, is normal, and ends as the whole is judged") {
  const std::string text = drive_text(20);
  const Story story = watched(text);
  check_ends(text, story);
  REQUIRE(story.told.size() == 3);
  CHECK(story.told[0].moment == WatchMoment::begin);
  CHECK(story.told[1].standing == Standing{Condition::normal, Action::none});
  CHECK(story.told[2].moment == WatchMoment::trip_end);
  CHECK(story.notices.empty());
}

TEST_CASE("a valve that hangs open is told under way, and as the whole at the end") {
  const std::string text = drive_text(21, Fault::stuck_open);
  const Story story = watched(text);
  check_ends(text, story);
  const auto changes = story.of(WatchMoment::change);
  REQUIRE_FALSE(changes.empty());
  CHECK(changes.front().standing.condition == Condition::thermostat_stuck_open);
  CHECK(changes.front().at_s < 1500.0);
  CHECK_FALSE(changes.front().alarm);
}

TEST_CASE("how the bytes are cut changes nothing") {
  const std::string text = drive_text(22, Fault::sticking);
  const Story whole = watched(text, setup_with(watched_band()), text.size());
  const Story pieces = watched(text, setup_with(watched_band()), 7);
  CHECK(whole.told == pieces.told);
  CHECK(whole.told.size() >= 3);
}

TEST_CASE("a line without an end counts at the end, as in a file") {
  std::string text = drive_text(20);
  text.pop_back();
  check_ends(text, watched(text));
}

TEST_CASE("trip after trip: headings again and a clock that starts anew") {
  const std::string text = drive_text(23) + drive_text(24, Fault::stuck_open) + drive_text(25);
  const Story story = watched(text);
  check_ends(text, story);
  const auto ends = story.of(WatchMoment::trip_end);
  REQUIRE(ends.size() == 3);
  CHECK(ends[0].standing.condition == Condition::normal);
  CHECK(ends[1].standing.condition == Condition::thermostat_stuck_open);
  CHECK(ends[2].standing.condition == Condition::normal);
  // Rows are counted as the log has them, repeated headings too.
  const auto whole = import_text(text, "whole");
  const auto findings = as_a_whole(text);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(ends[i].first_row == whole->row_map.at(findings[i].trip.first_row).row);
    CHECK(ends[i].last_row == whole->row_map.at(findings[i].trip.last_row).row);
  }
}

TEST_CASE("no more than two trips are kept") {
  std::string text;
  for (std::uint64_t seed = 30; seed < 36; ++seed) text += drive_text(seed);
  const auto whole = import_text(text, "whole");
  REQUIRE(whole);
  for (const Told& told : watched(text).told) CHECK(told.kept_rows <= whole->size() / 2);
}

TEST_CASE("a trip that is too long loses its older rows, and that is told") {
  const std::string text = drive_text(26);
  WatchSetup setup = setup_with(watched_band());
  setup.most_bytes = text.size() / 3;
  const Story story = watched(text, std::move(setup));
  CHECK_FALSE(story.error);
  const auto ends = story.of(WatchMoment::trip_end);
  REQUIRE(ends.size() == 1);
  CHECK(ends[0].forgotten > 0);
  CHECK(ends[0].first_row == ends[0].forgotten + 1);
  CHECK(ends[0].last_row == 1260);
  CHECK(std::count_if(story.notices.begin(), story.notices.end(), [](const std::string& notice) {
          return notice.find("too long to be kept") != std::string::npos;
        }) == 1);
}

TEST_CASE("an overheating engine is told at once, long before it boils") {
  for (const double k_per_min : {2.0, 4.0, 8.0, 12.0}) {
    CAPTURE(k_per_min);
    WatchSetup setup = setup_with(std::nullopt);
    setup.profile = stamped();
    const Story story = watched(boiling_text(k_per_min), std::move(setup));
    const auto changes = story.of(WatchMoment::change);
    const auto stop = std::find_if(changes.begin(), changes.end(), [](const Told& told) {
      return told.standing.action == Action::stop;
    });
    REQUIRE(stop != changes.end());
    // 90 % of the way from 80 to the 125 °C at which the usual mix boils.
    CHECK(80.0 + (stop->at_s - 600.0) / 60.0 * k_per_min < 80.0 + 0.9 * 44.0);
    CHECK(stop->at_s > 600.0);
  }
}

TEST_CASE("a reading that jumps to what no engine reaches in a second is no alarm") {
  std::string text = "time_s,coolant_c,rpm\n";
  for (int i = 0; i < 900; ++i)
    text += fmt::format("{},{},2000\n", 2 * i, i > 400 && i % 50 < 4 ? 140.0 : 80.0 + i % 3 * 0.1);
  WatchSetup setup = setup_with(std::nullopt);
  setup.profile = stamped();
  for (const Told& told : watched(text, std::move(setup)).told) CHECK_FALSE(told.alarm);
}

TEST_CASE("when the logger pauses, the last readings are looked at") {
  const std::string text = boiling_text(40.0);
  Story story;
  WatchSetup setup = setup_with(std::nullopt);
  setup.profile = stamped();
  Watch watch(std::move(setup), sink_of(story));
  // The two last lines come too late for a glance of their own.
  const std::size_t cut = text.size() - 26;
  REQUIRE_FALSE(watch.take(std::string_view(text).substr(0, cut)));
  const std::size_t before = story.told.size();
  watch.pause();
  watch.pause();
  CHECK(story.told.size() >= before);
  CHECK_FALSE(watch.end());
  CHECK(story.of(WatchMoment::trip_end).size() == 1);
}

TEST_CASE("garbage costs its own rows") {
  std::string text = drive_text(27);
  std::size_t at = 0;
  for (int i = 0; i < 400; ++i) {
    at = text.find('\n', at + 1);
    if (i % 3 == 2) text.insert(at + 1, "\x01\x02garbage,,;\"\n");
  }
  const Story story = watched(text);
  check_ends(text, story);
  CHECK(story.told.front().moment == WatchMoment::begin);
}

TEST_CASE("a flood of garbage is told, and passes") {
  const std::string text = drive_text(28);
  const std::size_t cut = text.find('\n', text.size() / 8) + 1;
  std::string flood;
  for (int i = 0; i < 400; ++i) flood += "no row at all\n";
  const std::string all = text.substr(0, cut) + flood + text.substr(cut);
  const Story story = watched(all);
  check_ends(all, story);
  CHECK(story.notices.size() == 1);
  CHECK(story.notices.front().starts_with("cannot be read just now: "));
}

TEST_CASE("other headings begin another log") {
  const std::string celsius = drive_text(29);
  std::string other = "time_s,engine_coolant_f\n";
  for (int i = 0; i < 900; ++i) other += fmt::format("{},{:.1f}\n", 2 * i, 170.0 + i % 7 * 0.3);
  const Story story = watched(celsius + other);
  CHECK_FALSE(story.error);
  const auto ends = story.of(WatchMoment::trip_end);
  REQUIRE(ends.size() == 2);
  CHECK(ends[0].duration_s == doctest::Approx(42 * 60 - 2));
  CHECK(ends[1].duration_s == doctest::Approx(1798.0));
  // 1260 rows, the headings, and on.
  CHECK(ends[1].first_row == 1262);
  CHECK(ends[1].last_row == 2161);
  REQUIRE(story.notices.size() == 1);
  CHECK(story.notices.front() == "other headings in row 1261: read as another log");
}

TEST_CASE("headings that come again in another order go on with the same log") {
  const std::string text = drive_text(29);
  const std::size_t cut = text.find('\n', text.size() / 2) + 1;
  std::string turned = "coolant_c,time_s,ambient_c,load_pct,rpm,speed_kmh,altitude_m\n";
  for (std::size_t at = cut; at < text.size();) {
    const std::size_t end = text.find('\n', at) + 1;
    const std::size_t first = text.find(',', at);
    const std::size_t second = text.find(',', first + 1);
    turned += text.substr(first + 1, second - first - 1) + ',' + text.substr(at, first - at) +
              text.substr(second, end - second);
    at = end;
  }
  const std::string all = text.substr(0, cut) + turned;
  const Story story = watched(all);
  check_ends(all, story);
  CHECK(story.notices.empty());
}

TEST_CASE("where the source begins anew, half a line is let go") {
  const std::string text = drive_text(20);
  const std::size_t cut = text.find('\n', text.size() / 2) + 1;
  Story story;
  Watch watch(setup_with(watched_band()), sink_of(story));
  CHECK_FALSE(watch.take(text.substr(0, cut) + "1262,8"));
  watch.begin_anew();
  CHECK_FALSE(watch.take(std::string_view(text).substr(cut)));
  story.error = watch.end();
  check_ends(text, story);
  CHECK(story.notices == std::vector<std::string>{"the last line was not whole: let go"});
}

TEST_CASE("JSON lines are watched as well") {
  std::string text;
  for (int i = 0; i < 900; ++i)
    text += fmt::format("{{\"time_s\": {}, \"coolant_c\": {}}}\n", 2 * i, 80.0 + i % 5 * 0.1);
  const Story story = watched(text + text + text);
  check_ends(text + text + text, story);
  CHECK(story.of(WatchMoment::trip_end).size() == 3);
}

TEST_CASE("what is no log, or cannot be read by lines, ends the watch with the reason") {
  const auto refused = [](const std::string& text) {
    const Story story = watched(text);
    REQUIRE(story.error);
    return story.error->message;
  };
  CHECK(refused("") == "the log is empty");
  CHECK(refused("time_s,coolant_c\n") == "the log has headings but no rows");
  CHECK(refused("\x1F\x8B\x08\n") == "gzip data cannot be watched");
  CHECK(refused("\xFF\xFE"
                "t\n") == "text in UTF-16, or binary data, cannot be watched");
  CHECK(refused("%PDF-1.7\n") == "this is a PDF document, not a log in text");
  CHECK(refused(std::string(2'000'000, 'x')) == "no line ends within the first 1 MiB");
  std::string prose;
  for (int i = 0; i < 1000; ++i) prose += "there is no table here\n";
  CHECK(refused(prose).starts_with("this is not a table"));
}

TEST_CASE("what is no text whatever follows is refused at once, not waited for") {
  Story story;
  Watch watch(setup_with(watched_band()), sink_of(story));
  CHECK(watch.take("%PDF-1.7\n1 0 obj\n").has_value());
}
