// SPDX-License-Identifier: Apache-2.0
// What `inspect` says of the sensors and of how the log was read.
#include "coolband/report/report.hpp"
#include "report/sanity_words.hpp"

#include "support/texts.hpp"
#include "unit/condition/made_recording.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <string>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

using Json = nlohmann::ordered_json;

/// 20 minutes from cold, with a code in row 51 and a speed that is none in row 61.
Recording small_log() {
  std::vector<float> coolant;
  append_ramp(coolant, 60, 20.0F, 80.0F);
  append(coolant, 61, 80.0F);
  for (float& reading : coolant) reading = std::round(reading);
  coolant[50] = -40.0F;
  std::vector<float> speed(coolant.size(), 60.0F);
  speed[60] = 255.0F;
  Recording recording = made_recording(10.0, coolant);
  recording.column(Role::speed) = speed;
  recording.how.format = "csv";
  recording.how.compression = "gzip";
  recording.how.encoding = "UTF-16";
  recording.how.shape = "long";
  recording.how.clock = "seconds";
  recording.how.rows = recording.size();
  recording.how.clock_events = {{"same time as the row before (kept)", 3, 7, 8}};
  return recording;
}

std::string text_of(const Recording& recording, const TextStyle& style = {}) {
  return render_inspection(recording, analyse(recording, std::nullopt, std::nullopt), style);
}

Json json_of(const Recording& recording) {
  return Json::parse(
      render_inspection_json(recording, analyse(recording, std::nullopt, std::nullopt), -1));
}

} // namespace

TEST_CASE("the text says how the log was packed, what its clock did and what is odd in it") {
  const std::string text = text_of(small_log());
  CHECK(says(text, "FORMAT     csv, gzip, UTF-16, long, clock: seconds\n"));
  CHECK(
      says(text, "CLOCK      -  3 times: same time as the row before (kept) (first: row 7, line"));
  CHECK(says(text, "coolant: 1 row, -40 °C (first: row 51): the lowest code"));
  CHECK(says(text, "speed: 1 row, 255 km/h (first: row 61)"));
  CHECK(says(text, "not judged"));
  CHECK(says(text, "taken as missing"));
  for (const char* heading : {"\nWHAT THIS LOG CAN SHOW\n", "\nWHAT IT CANNOT SHOW\n",
                              "\nLOG NEXT TIME\n", "\nCOOLANT      80 │"})
    CHECK_MESSAGE(says(text, heading), heading);
  CHECK(says(text_of(small_log(), {80, false, true}), "\nCOOLANT      80 |"));
}

TEST_CASE("no line of an inspection is wider than asked for") {
  for (const int width : {44, 60, 100}) { // the table of columns alone takes 41
    const std::string text = text_of(small_log(), {width, false});
    std::size_t columns = 0;
    for (const char c : text) {
      columns += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1U : 0U;
      if (c != '\n') continue;
      CHECK(columns - 1 <= static_cast<std::size_t>(width));
      columns = 0;
    }
  }
}

TEST_CASE("the JSON has the same, with null for what is not known") {
  const Json json = json_of(small_log());
  CHECK(json["import"]["compression"] == "gzip");
  CHECK(json["import"]["encoding"] == "UTF-16");
  CHECK(json["import"]["shape"] == "long");
  CHECK(json["import"]["clock_events"][0]["count"] == 3);
  const Json& trip = json["trips"][0];
  REQUIRE(trip["sanity"]["odd_values"].size() == 2);
  CHECK(trip["sanity"]["odd_values"][0]["kind"] == "lowest-code");
  CHECK(trip["sanity"]["odd_values"][0]["first_row"] == 51);
  CHECK(trip["sanity"]["odd_values"][1]["role"] == "speed");
  CHECK(trip["sanity"]["cold_soak"].is_null());
  CHECK(trip["sanity"]["frozen"].is_null());
  CHECK(trip["refresh_s"] == 10.0);
  CHECK(trip["rest_s"].is_null());
  CHECK(json["can_judge"].is_array());
  CHECK(json["log_next"].size() > 2);

  Recording plain = small_log();
  plain.how.compression.clear();
  plain.column(Role::coolant) = std::vector<float>(plain.size(), 80.0F);
  CHECK(json_of(plain)["import"]["compression"].is_null());
  CHECK(json_of(plain)["trips"][0]["refresh_s"].is_null());
}

TEST_CASE("a cold start that disagrees names what else than the sensor may be behind it") {
  ColdSoak soak{ColdSoak::Outcome::disagrees, 33.0, 11.0, 12.0, 32400.0};
  CHECK(cold_soak_words(soak) ==
        "warmer than the air by 22 K after up to 9 h 00 min at rest: one of the sensors or its "
        "circuit may be off; a drive that was not logged, a block heater or wind does the same");
  soak = {ColdSoak::Outcome::disagrees, -3.0, 11.0, {}, {}};
  CHECK(says(cold_soak_words(soak), "colder than the air by 14 K"));
  CHECK(says(cold_soak_words(soak), "sun on the air sensor"));
  soak.outcome = ColdSoak::Outcome::unclear;
  CHECK(says(cold_soak_words(soak), "may not have been cold"));
}

TEST_CASE("columns that are new at the same pace are named together") {
  Trip trip;
  trip.sample_period_s = 0.1;
  trip.sanity.refresh = {
      {Role::coolant, 4.2, true}, {Role::rpm, 2.0, false}, {Role::speed, 2.0, false}};
  CHECK(sampling_words(trip) ==
        "a row every 0.1 s; a new rpm, speed every 2 s; a new coolant every 4.2 s or oftener");
  trip.sanity.refresh.clear();
  CHECK(says(sampling_words(trip), "moves too little to tell"));
}

TEST_CASE("a log of many trips has pictures of the first ones only") {
  Recording recording = made_recording(1.0, std::vector<float>(400, 80.0F));
  for (std::size_t row = 0; row < 400; row += 20)
    recording.text_changes.push_back({row, Role::trip, std::to_string(row)});
  const std::string text = text_of(recording);
  std::size_t pictures = 0;
  for (auto at = text.find("\nCOOLANT "); at != std::string::npos;
       at = text.find("\nCOOLANT ", at + 1))
    ++pictures;
  CHECK(pictures == 12);
  CHECK(says(text, "pictures of the first 12 trips only"));
}
