// SPDX-License-Identifier: Apache-2.0
// The history rides in the band file: bounded, ordered, and in nobody's way.
#include "band/history.hpp"

#include "coolband/band/band_file.hpp"
#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

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
  CHECK(
      add_event(history, {"2031-05-06", EventKind::service, "thermostat, \"82 °C\"", "", "bay 4"}));
  CHECK(add_event(history, finding("2031-04-01", "thermostat-stuck-open")));
  CHECK(add_event(history, {"2031-05-09", EventKind::verification, "good", "verified", "x"}));
  store_history(band, history);
  const std::string text = write_band(band);
  const auto again = parse_band(text, "b.json");
  REQUIRE(again);
  const History read = history_in(*again);
  REQUIRE(read.entries.size() == 3);
  CHECK(read.entries[0].date == "2031-04-01");
  CHECK(read.entries[1] == history.entries[1]);
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
  CHECK(add_event(history, finding("2031-04-01", "normal")));
  CHECK_FALSE(add_event(history, finding("2031-04-01", "normal")));
  CHECK(add_event(history, finding("2031-04-01", "normal", "another drive of the day")));
  CHECK(history.entries.size() == 2);
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
