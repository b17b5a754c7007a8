// SPDX-License-Identifier: Apache-2.0
// The history rides in the band file: bounded, ordered, and in nobody's way.
#include "band/history.hpp"

#include "coolband/band/band_file.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <vector>

#include <fmt/core.h>

using namespace coolband;
using namespace coolband::testing;

namespace {

NormalBand band_of(std::size_t drives) {
  LearnOptions options;
  options.fit_circuit = false;
  return *learn_band(made_drives(drives), "V", std::nullopt, options);
}

HistoryEntry finding(const std::string& date, const std::string& state,
                     const std::string& text = "found") {
  return {date, EventKind::finding, text, state, "test"};
}

HistoryEntry drive(const std::string& date, const std::string& start, const std::string& source,
                   const std::string& state = "sensor-fault") {
  HistoryEntry entry = finding(date, state);
  entry.trips = {{start, source}};
  return entry;
}

History history_in(const NormalBand& band) {
  const auto history = history_of(band, "b.json");
  REQUIRE(history);
  return *history;
}

} // namespace

TEST_CASE("a band without a history has an empty one") {
  const History history = history_in(band_of(5));
  CHECK(history.entries.empty());
  CHECK(history.dropped == 0);
}

TEST_CASE("entries survive writing and reading, in the order of their days") {
  NormalBand band = band_of(5);
  History history;
  CHECK(add_event(history, {"2031-05-06", EventKind::service, "thermostat, \"82 °C\"", "",
                            "bay 4"}) == Kept::added);
  CHECK(add_event(history, drive("2031-04-01", "07:10:00", "a.csv")) == Kept::added);
  CHECK(add_event(history, {"2031-05-09",
                            EventKind::verification,
                            "good",
                            "verified",
                            "x",
                            {{"2031-05-09T07:00:00", "c.csv"}, {"", "b.csv"}}}) == Kept::added);
  store_history(band, history);
  const std::string text = write_band(band);
  const auto again = parse_band(text, "b.json");
  REQUIRE(again);
  const History read = history_in(*again);
  REQUIRE(read.entries.size() == 3);
  CHECK(read.entries[0].date == "2031-04-01");
  CHECK(read.entries == history.entries);
  CHECK(read.entries[1].state.empty());
  CHECK(read.entries[2].kind == EventKind::verification);
  CHECK(write_band(*again) == text);
}

TEST_CASE("an update keeps the history and what is unknown, and changes nothing else") {
  LearnOptions options;
  options.fit_circuit = false;
  NormalBand band = band_of(5);
  band.extra_json = R"({"workshop":{"bay":4}})";
  History history;
  add_event(history, finding("2031-04-01", "sensor-fault"));
  store_history(band, history);
  const auto updated = update_band(band, made_drives(8), std::nullopt, options);
  REQUIRE(updated);
  CHECK(history_in(*updated).entries == history.entries);
  CHECK(updated->extra_json.find("workshop") != std::string::npos);
  NormalBand plain = *updated;
  plain.extra_json.clear();
  CHECK(write_band(plain) ==
        write_band(*update_band(band_of(5), made_drives(8), std::nullopt, options)));
}

TEST_CASE("the same event is kept once") {
  History history;
  CHECK(add_event(history, finding("2031-04-01", "normal")) == Kept::added);
  CHECK(add_event(history, finding("2031-04-01", "normal")) == Kept::as_it_was);
  CHECK(add_event(history, finding("2031-04-01", "normal", "another drive of the day")) ==
        Kept::added);
  CHECK(history.entries.size() == 2);
}

TEST_CASE("a trip has one finding: the latest that was recorded of it") {
  History history;
  add_event(history, drive("2031-04-01", "2031-04-01T07:10:00", "a.csv"));
  HistoryEntry again = drive("2031-04-01", "2031-04-01T07:10:00", "a.csv");
  CHECK(add_event(history, again) == Kept::as_it_was);
  again.text = "ran at 88 °C where 87 is normal (job 12)";
  again.state = "normal";
  again.by = "a mechanic";
  CHECK(add_event(history, again) == Kept::replaced);
  CHECK(history.entries == std::vector{again});
  // Under another day, as --date gives it, it moves there.
  add_event(history, drive("2031-04-02", "2031-04-02T07:10:00", "b.csv"));
  again.date = "2031-04-05";
  CHECK(add_event(history, again) == Kept::replaced);
  REQUIRE(history.entries.size() == 2);
  CHECK(history.entries[1] == again);
}

TEST_CASE("trips of one day with the same finding are several") {
  History history;
  add_event(history, drive("2031-04-01", "2031-04-01T07:10:00", "a.csv"));
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T12:00:00", "a.csv")) == Kept::added);
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T12:00:00", "b.csv")) == Kept::added);
  // What comes through a pipe has no name, but begins when the other began.
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T07:10:00", "")) == Kept::as_it_was);
  CHECK(history.entries[0].trips[0].source == "a.csv");
  CHECK(add_event(history, drive("2031-04-02", "2031-04-02T07:10:00", "")) == Kept::added);
  CHECK(add_event(history, drive("2031-04-02", "2031-04-02T07:10:00", "d.csv")) == Kept::replaced);
  CHECK(history.entries[3].trips[0].source == "d.csv");
  CHECK(history.entries.size() == 4);
}

TEST_CASE("a log without a date is known by its name and the day that it is recorded under") {
  History history;
  add_event(history, drive("2031-04-01", "", "log.csv"));
  CHECK(add_event(history, drive("2031-04-01", "", "log.csv")) == Kept::as_it_was);
  CHECK(add_event(history, drive("2031-04-02", "", "log.csv")) == Kept::added);
  CHECK(add_event(history, drive("2031-04-02", "", "log.csv#2")) == Kept::added);
  CHECK(add_event(history, drive("2031-04-03", "07:10:00", "log.csv")) == Kept::added);
  CHECK(add_event(history, drive("2031-04-04", "07:10:00", "log.csv")) == Kept::added);
  CHECK(history.entries.size() == 5);
}

TEST_CASE("an entry of an earlier version takes the name of its trip, once") {
  History history;
  add_event(history, finding("2031-04-01", "normal"));
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T07:10:00", "a.csv", "normal")) ==
        Kept::replaced);
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T12:00:00", "b.csv", "normal")) ==
        Kept::added);
  CHECK(history.entries.size() == 2);
}

TEST_CASE("an entry of the same trip is replaced rather than one that only looks alike") {
  History history;
  HistoryEntry named = drive("2031-04-01", "2031-04-01T07:10:00", "a.csv", "normal");
  named.text = "another normal";
  add_event(history, finding("2031-04-01", "normal"));
  add_event(history, named);
  CHECK(add_event(history, drive("2031-04-01", "2031-04-01T07:10:00", "a.csv", "normal")) ==
        Kept::replaced);
  REQUIRE(history.entries.size() == 2);
  CHECK(history.entries[0].trips.empty());
  CHECK(history.entries[1].text == "found");
}

TEST_CASE("a verification is known by its drives, in whatever order") {
  const EventTrip one{"2031-05-09T07:00:00", "a.csv"};
  const EventTrip two{"2031-05-10T07:00:00", "b.csv"};
  History history;
  HistoryEntry proof{"2031-05-10", EventKind::verification, "too few", "not-yet", "x", {one, two}};
  CHECK(add_event(history, proof) == Kept::added);
  proof.state = "verified";
  proof.trips = {two, one};
  CHECK(add_event(history, proof) == Kept::replaced);
  proof.trips.push_back({"2031-05-10T12:00:00", "c.csv"});
  CHECK(add_event(history, proof) == Kept::added);
  // A finding of the same drive is another event.
  CHECK(add_event(history, drive("2031-05-09", one.start, one.source)) == Kept::added);
  CHECK(history.entries.size() == 3);
}

TEST_CASE("an entry names the latest of many trips, each on one line") {
  History history;
  HistoryEntry proof{"2031-05-10", EventKind::verification, "good", "verified", "x"};
  for (int i = 60; i > 0; --i)
    proof.trips.push_back({fmt::format("2031-05-10T07:00:{:02}", i - 1), "two\nlines"});
  add_event(history, proof);
  REQUIRE(history.entries[0].trips.size() == k_history_trips);
  CHECK(history.entries[0].trips.front().start == "2031-05-10T07:00:20");
  CHECK(history.entries[0].trips.back() == EventTrip{"2031-05-10T07:00:59", "two?lines"});
}

TEST_CASE("in a full history what is older than all is not kept, and not counted") {
  History history;
  for (int month = 2; month <= 6; ++month)
    for (int day = 1; day <= 28; ++day)
      add_event(history, finding(fmt::format("2031-{:02}-{:02}", month, day), "fan-not-cooling"));
  const History full = history;
  REQUIRE(full.entries.size() == k_history_entries);
  CHECK(full.dropped == 140 - k_history_entries);
  CHECK(add_event(history, finding("2030-01-01", "fan-not-cooling")) == Kept::not_kept);
  CHECK(add_event(history, finding("2032-01-01", "normal")) == Kept::not_kept);
  CHECK(history.entries == full.entries);
  CHECK(history.dropped == full.dropped);
  CHECK(add_event(history, finding("2032-01-01", "sensor-fault")) == Kept::added);
  CHECK(history.dropped == full.dropped + 1);
}

TEST_CASE("recording all of a full history again, in another order, changes nothing") {
  std::vector<HistoryEntry> all;
  for (int hour = 0; hour < 24; ++hour)
    for (int minute = 0; minute < 60; minute += 10)
      all.push_back(drive("2031-04-01", fmt::format("2031-04-01T{:02}:{:02}:00", hour, minute),
                          "a.csv", hour % 2 == 0 ? "normal" : "sensor-fault"));
  History history;
  for (const HistoryEntry& entry : all) add_event(history, entry);
  const History full = history;
  CHECK(full.dropped == all.size() - k_history_entries);
  std::reverse(all.begin(), all.end());
  for (const HistoryEntry& entry : all) {
    const Kept kept = add_event(history, entry);
    CHECK((kept == Kept::as_it_was || kept == Kept::not_kept));
  }
  CHECK(history.entries == full.entries);
  CHECK(history.dropped == full.dropped);
}

TEST_CASE("beyond a hundred, normal findings go first, then the oldest; all are counted") {
  History history;
  add_event(history, finding("2030-01-01", "thermostat-sticking"));
  for (int day = 1; day <= 30; ++day)
    add_event(history, finding(fmt::format("2031-04-{:02}", day), "normal"));
  for (int day = 1; day <= 28; ++day)
    for (int month = 5; month <= 8; ++month)
      add_event(history, finding(fmt::format("2031-{:02}-{:02}", month, day), "fan-not-cooling"));
  CHECK(history.entries.size() == k_history_entries);
  CHECK(history.dropped == 1 + 30 + 4 * 28 - k_history_entries);
  // 113 events are no normal findings: the oldest thirteen of them went, too.
  CHECK(history.entries.front().date == "2031-05-13");
  CHECK(history.entries.back().date == "2031-08-28");
}

TEST_CASE("texts are kept to one line of a bounded length") {
  History history;
  add_event(history, finding("2031-04-01", "normal", "two\nlines\x1b[31m" + std::string(900, 'x')));
  CHECK(history.entries[0].text.size() == k_history_text);
  CHECK(history.entries[0].text.starts_with("two?lines?[31mxxx"));
}

TEST_CASE("a history that this version did not write is refused with the field's name") {
  NormalBand band;
  const std::pair<const char*, const char*> cases[] = {
      {R"({"history": 4})", "must be a list"},
      {R"({"history": [4]})", "must hold objects"},
      {R"({"history": [{"kind": "service", "text": "x"}]})", "\"date\" is missing"},
      {R"({"history": [{"date": "2031-02-30", "kind": "service", "text": "x"}]})", "no day"},
      {R"({"history": [{"date": "2031-02-03T07:00", "kind": "service", "text": "x"}]})", "no day"},
      {R"({"history": [{"date": "2031-02-03", "kind": "party", "text": "x"}]})", "none of finding"},
      {R"({"history": [{"date": "2031-02-03", "kind": "service", "text": "x"}, 5]})",
       "entry 2 of \"history\": "},
      {R"({"history": [{"date": "2031-02-03", "kind": "finding", "text": "x", "trips": 1}]})",
       "must be a list"},
      {R"({"history": [{"date": "2031-02-03", "kind": "finding", "text": "x", "trips": [1]}]})",
       "\"trips\" must hold objects"},
      {R"({"history": [{"date": "2031-02-03", "kind": "finding", "text": "x", "trips": [{"start": 7}]}]})",
       "\"start\" must be a text"},
      {R"({"history": [{"date": "2031-02-03", "kind": "service"}]})", "\"text\" is missing"},
      {R"({"history_before": -1})", "outside"}};
  for (const auto& one : cases) {
    CAPTURE(one.first);
    band.extra_json = one.first;
    const auto history = history_of(band, "b.json");
    REQUIRE_FALSE(history);
    CHECK(history.error().origin.file == "b.json");
    CHECK(history.error().message.find(one.second) != std::string::npos);
  }
}

TEST_CASE("a day is a day of the calendar") {
  CHECK(day_of("2032-02-29") == "2032-02-29");
  CHECK(day_of("2032-02-29T12:00:00+01:00") == "2032-02-29");
  for (const char* text : {"", "2031-02-29", "2031-2-9", "05:06:07", "2031/02/09", "20310209xx"})
    CHECK_FALSE(day_of(text));
}
