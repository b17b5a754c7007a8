// SPDX-License-Identifier: Apache-2.0
// The band file: what goes out comes back, and what is wrong is named.
#include "coolband/band/band_file.hpp"

#include "band/written_band.hpp"
#include "support/reduced_drives.hpp"
#include "unit/band/made_drives.hpp"

#include <cmath>

#include <doctest/doctest.h>

#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

std::string good_text() {
  auto drives = made_drives(8);
  drives.push_back(made_drive("bad apple", 68.0));
  const auto band = learn_band(drives, "V 1");
  REQUIRE(band);
  return write_band(*band);
}

std::string replaced(std::string text, const std::string& what, const std::string& by) {
  const auto at = text.find(what);
  REQUIRE_MESSAGE(at != std::string::npos, what);
  return text.replace(at, what.size(), by);
}

/// `text` with the value of the first `key` set to `value`.
std::string with(const std::string& text, const std::string& key, const std::string& value) {
  const auto at = text.find("\"" + key + "\":");
  REQUIRE_MESSAGE(at != std::string::npos, key);
  const auto from = text.find_first_not_of(' ', at + key.size() + 3);
  return text.substr(0, from) + value + text.substr(text.find_first_of(",\n", from));
}

std::string without(const std::string& text, const std::string& key) {
  return replaced(text, "\"" + key + "\":", "\"x_" + key + "\":");
}

Error error_of(const std::string& text) {
  const auto band = parse_band(text, "b.json");
  REQUIRE_FALSE(band);
  CHECK(band.error().kind == ErrorKind::usage);
  CHECK(band.error().origin.file == "b.json");
  return band.error();
}

} // namespace

TEST_CASE("a band that is written and read again gives the same bytes") {
  const std::string text = good_text();
  CHECK(text.back() == '\n');
  const auto band = parse_band(text, "b.json");
  REQUIRE(band);
  CHECK(write_band(*band) == text);
  CHECK(band->drives.size() == 8);
  REQUIRE(band->left_out.size() == 1);
  CHECK(band->left_out[0].drive.source == "bad apple");
  CHECK_FALSE(band->left_out[0].reason.empty());
}

TEST_CASE("numbers survive to a millionth") {
  const auto band = learn_band(made_drives(5, 11), "V");
  const auto again = parse_band(write_band(*band), "b.json");
  REQUIRE(again);
  CHECK(std::abs(again->centre_c - band->centre_c) <= 1e-6);
  CHECK(std::abs(again->half_width_c - band->half_width_c) <= 1e-6);
  CHECK(std::abs(again->drives[3].level_c - band->drives[3].level_c) <= 1e-6);
}

TEST_CASE("fields that this version does not know are kept") {
  const std::string text =
      replaced(good_text(), "{\n", "{\n  \"owner\": {\"name\": \"x\", \"n\": [1]},\n");
  const auto band = parse_band(text, "b.json");
  REQUIRE(band);
  const std::string again = write_band(*band);
  CHECK(again.find("\"owner\"") != std::string::npos);
  CHECK(parse_band(again, "b.json")->extra_json == band->extra_json);
}

TEST_CASE("fields of a drive that this version does not know are kept with the drive") {
  const std::string text =
      replaced(good_text(), "\"source\":", "\"driver\": {\"name\": \"x\"}, \"source\":");
  const auto band = parse_band(text, "b.json");
  REQUIRE(band);
  const auto again = parse_band(write_band(*band), "b.json");
  REQUIRE(again);
  CHECK_FALSE(again->drives[0].extra_json.empty());
  CHECK(again->drives[0].extra_json == band->drives[0].extra_json);
  CHECK(again->drives[1].extra_json.empty());
}

TEST_CASE("a newer schema is refused with what can be done") {
  const Error error = error_of(replaced(good_text(), "coolband.band/1", "coolband.band/2"));
  CHECK(error.message == "written for \"coolband.band/2\", which this version does not know (it "
                         "reads \"coolband.band/1\")");
  CHECK(error.remedy == "use a newer coolband, or make the file anew");
}

TEST_CASE("another kind of file is refused") {
  CHECK(error_of(R"({"schema": "coolband.vehicle/1", "id": "x"})").message ==
        "\"schema\" is \"coolband.vehicle/1\", but \"coolband.band/1\" is needed here");
  CHECK(error_of("{}").message == "has no \"schema\", but \"coolband.band/1\" is needed here");
  CHECK(error_of(R"({"schema": 1})").message.find("is needed here") != std::string::npos);
  CHECK(error_of("[1, 2]").message == "not a JSON object of schema \"coolband.band/1\"");
}

TEST_CASE("what is no JSON is refused with line and column") {
  const Error error = error_of("{\n  \"schema\": \"coolband.band/1\",\n  \"vehicle\" 3\n}\n");
  CHECK(error.message == "not valid JSON here");
  CHECK(error.origin.line == 3);
  CHECK(error.origin.column == 13);
  CHECK(error.excerpt == "  \"vehicle\" 3");
  CHECK(error_of("").origin.line == 1);
  CHECK(error_of("{\"schema\": \"coolband.band/1\"").message == "not valid JSON here");
}

TEST_CASE("a widening that falls is refused: far outside it would turn the band round") {
  const std::string text = good_text();
  const std::size_t from = text.find('[', text.find("\"widening\":"));
  const auto widening = [&](const std::string& list) {
    return text.substr(0, from) + list + text.substr(text.find(']', from) + 1);
  };
  CHECK(error_of(widening("[1.5, 1.2]")).message.find("a list of factors that do not fall") !=
        std::string::npos);
  CHECK(parse_band(widening("[1.2, 1.2, 1.5]"), "b").ok());
}

TEST_CASE("a number beyond all bounds is refused, not thrown") {
  CHECK(error_of(with(good_text(), "centre_c", "1e999")).message ==
        "holds a number that is too large");
}

TEST_CASE("each required field is missed by name") {
  const std::string text = good_text();
  for (const char* key :
       {"vehicle", "centre_c", "centre_error_c", "reference", "between_c", "within_c",
        "half_width_c", "freedom", "correlation_s", "drives", "source", "warm_s", "level_c",
        "scatter_c", "effective_count", "resolution_c", "hottest_c"}) {
    CAPTURE(key);
    CHECK(error_of(without(text, key)).message == "\"" + std::string(key) + "\" is missing");
  }
}

TEST_CASE("a field of the wrong type or out of range is named") {
  const std::string text = good_text();
  CHECK(error_of(with(text, "centre_c", "\"80\"")).message == "\"centre_c\" must be a number");
  CHECK(error_of(with(text, "centre_c", "400")).message ==
        "\"centre_c\" is 400, outside -60 to 200");
  CHECK(error_of(with(text, "half_width_c", "0")).message.find("\"half_width_c\" is 0") == 0);
  CHECK(error_of(with(text, "between_c", "-1")).message.find("\"between_c\" is -1") == 0);
  CHECK(error_of(with(text, "vehicle", "7")).message == "\"vehicle\" must be a text");
  CHECK(error_of(with(text, "effective_count", "0.5")).message.find("\"effective_count\"") == 0);
  CHECK(error_of(with(text, "load_c_per_pct", "true")).message ==
        "\"load_c_per_pct\" must be a number");
  CHECK(error_of(replaced(text, "\"drives\": [", "\"drives\": [3,")).message ==
        "\"drives\" must hold objects");
}

TEST_CASE("a range must be two numbers in order") {
  const std::string text = good_text();
  const auto with_range = [&](const std::string& range) {
    const auto at = text.find("\"load_seen_pct\": [");
    const auto end = text.find(']', at);
    return text.substr(0, at) + "\"load_seen_pct\": " + range + text.substr(end + 1);
  };
  CHECK(parse_band(with_range("[10, 60]"), "b.json"));
  CHECK(parse_band(with_range("null"), "b.json"));
  for (const char* range : {"[10]", "[10, 60, 70]", "[\"a\", 60]", "{}", "[60, 10]"}) {
    CAPTURE(range);
    CHECK(error_of(with_range(range)).message == "\"load_seen_pct\" must be [low, high]");
  }
}

TEST_CASE("a count must be there, and be whole") {
  const std::string text = good_text();
  CHECK(error_of(with(text, "left_out_before", "2.5")).message ==
        "\"left_out_before\" is 2.5, not a whole number");
  CHECK(error_of(with(text, "drift", R"({"shift_c": 1, "since": "x"})")).message ==
        "\"drives\" is missing");
}

TEST_CASE("a factor at the edge of what is read is read again as it is written") {
  const auto band =
      parse_band(replaced(good_text(), "\"widening\": [", "\"widening\": [0.1000001,"), "b.json");
  REQUIRE(band);
  CHECK(parse_band(write_band(*band), "b.json"));
}

TEST_CASE("a file that cannot be read is a usage error with its name") {
  const auto band = read_band("no/such/band.json");
  REQUIRE_FALSE(band);
  CHECK(band.error().kind == ErrorKind::usage);
  CHECK(band.error().origin.file == "no/such/band.json");
  CHECK(band.error().message.find("cannot read this file") == 0);
}

namespace {

std::vector<DriveSummary> drives_with_circuits(std::size_t count) {
  auto drives = made_drives(count);
  for (std::size_t i = 0; i < drives.size(); ++i) {
    drives[i].circuit = driven(i + 1, 12.0, 120);
    read_off(drives[i].circuit, usual_circuit(), 1.0);
  }
  return drives;
}

} // namespace

TEST_CASE("the fitted circuit and the blocks behind it come back from the file") {
  const auto band = learn_band(drives_with_circuits(6), "V 1");
  REQUIRE(band);
  REQUIRE(band->circuit);
  CHECK(band->circuit->drives == 6);
  const std::string text = write_band(*band);
  const auto read = parse_band(text, "b.json");
  REQUIRE(read);
  CHECK(write_band(*read) == text);
  REQUIRE(read->circuit);
  CHECK(read->circuit->saw_load);
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    CHECK(read->circuit->values[p].value ==
          doctest::Approx(band->circuit->values[p].value).epsilon(1e-3));
    CHECK(read->circuit->values[p].identified == band->circuit->values[p].identified);
  }
  const CircuitBlock& sent = band->drives[2].circuit.blocks[77];
  const CircuitBlock& back = read->drives[2].circuit.blocks[77];
  CHECK(back.length_ds == sent.length_ds);
  CHECK(back.coolant_cc == sent.coolant_cc);
  CHECK(back.ambient_dc == sent.ambient_dc);
  CHECK(back.turning == sent.turning);
  CHECK(back.load == sent.load);
  CHECK(back.speed_kmh == sent.speed_kmh);
  CHECK(back.begins == sent.begins);
  CHECK(back.scored == sent.scored);
}

TEST_CASE("adding drives gives the circuit of learning from all, and only the latest are kept") {
  const auto drives = drives_with_circuits(k_circuit_drives + 5);
  const auto at_once = learn_band(drives, "V 1");
  REQUIRE(at_once);
  const std::vector<DriveSummary> early(drives.begin(), drives.begin() + 9);
  const std::vector<DriveSummary> late(drives.begin() + 9, drives.end());
  const auto first = learn_band(late, "V 1");
  REQUIRE(first);
  const auto read = parse_band(write_band(*first), "b.json");
  REQUIRE(read);
  const auto both = update_band(*read, early);
  REQUIRE(both);
  CHECK(write_band(*both) == write_band(*at_once));
  CHECK(both->circuit->drives == k_circuit_drives);
  CHECK(both->drives[4].circuit.blocks.empty());
  CHECK_FALSE(both->drives[5].circuit.blocks.empty());
}

TEST_CASE("a damaged circuit is named") {
  const auto band = learn_band(drives_with_circuits(6), "V 1");
  REQUIRE(band);
  const std::string text = write_band(*band);
  CHECK(error_of(with(text, "blocks", "\"Zg==\"}}")).message.find("circuit") != std::string::npos);
  CHECK(error_of(without(text, "hysteresis")).message.find("hysteresis") != std::string::npos);
  CHECK(error_of(without(text, "parameters")).message.find("circuit") != std::string::npos);
  CHECK(error_of(with(text, "misfit_k", "\"much\"")).message.find("misfit_k") != std::string::npos);
}

TEST_CASE("the joint uncertainty of the circuit comes back, and agrees with its limits") {
  const auto band = learn_band(drives_with_circuits(6), "V 1");
  REQUIRE(band);
  const std::vector<double>& sent = band->circuit->joint;
  REQUIRE(sent.size() == k_circuit_parameters * (k_circuit_parameters + 1) / 2);
  const auto read = parse_band(write_band(*band), "b.json");
  REQUIRE(read);
  const std::vector<double>& back = read->circuit->joint;
  REQUIRE(back.size() == sent.size());
  for (std::size_t i = 0; i < sent.size(); ++i) {
    CAPTURE(i);
    CHECK(std::abs(back[i] - sent[i]) <= 1e-3 * std::abs(sent[i]) + 1e-12);
  }
  // Each row's squares sum to the variance that the 95 % limits show.
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const CircuitValue& value = read->circuit->values[p];
    const bool opens = static_cast<CircuitParameter>(p) == CircuitParameter::opens;
    const double width =
        opens ? value.high - value.low : std::log(value.high) - std::log(value.low);
    double variance = 0.0;
    for (std::size_t k = 0; k <= p; ++k) {
      const double factor = back[p * (p + 1) / 2 + k];
      variance += factor * factor;
    }
    CAPTURE(name_of(static_cast<CircuitParameter>(p)));
    CHECK(std::sqrt(variance) == doctest::Approx(width / (2.0 * 1.96)).epsilon(0.01));
  }
}

TEST_CASE("a circuit without a joint factor is read as it stands") {
  const auto band = learn_band(drives_with_circuits(6), "V 1");
  REQUIRE(band);
  const auto read = parse_band(without(write_band(*band), "joint"), "b.json");
  REQUIRE(read);
  REQUIRE(read->circuit);
  CHECK(read->circuit->joint.empty());
  CHECK((*read->circuit)[CircuitParameter::fan_after].value > 0.0);
}

TEST_CASE("the circuit of an earlier build is fitted anew with the next update") {
  const auto drives = drives_with_circuits(7);
  const std::vector<DriveSummary> early(drives.begin(), drives.begin() + 6);
  const std::vector<DriveSummary> late(drives.begin() + 6, drives.end());
  const auto band = learn_band(early, "V 1");
  REQUIRE(band);
  // One knew of no fan, one had the heat elsewhere than in the metal.
  const std::vector<std::vector<const char*>> unknown{{"fan", "fan_after", "joint"}, {"metal"}};
  for (const auto& keys : unknown) {
    CAPTURE(keys.front());
    std::string text = write_band(*band);
    for (const char* key : keys) text = without(text, key);
    const auto read = parse_band(text, "b.json");
    REQUIRE(read);
    CHECK_FALSE(read->circuit);
    CHECK(read->centre_c == doctest::Approx(band->centre_c));
    const auto updated = update_band(*read, late);
    REQUIRE(updated);
    REQUIRE(updated->circuit);
    CHECK(updated->circuit->drives == 7);
    CHECK(updated->circuit->joint.size() == k_circuit_parameters * (k_circuit_parameters + 1) / 2);
  }
}

TEST_CASE("a damaged joint factor is named") {
  const auto band = learn_band(drives_with_circuits(6), "V 1");
  REQUIRE(band);
  const std::string text = write_band(*band);
  for (const char* value : {"7", "\"Zg==\"", "\"?\""}) {
    CAPTURE(value);
    CHECK(error_of(with(text, "joint", value)).message.find("joint") != std::string::npos);
  }
}

namespace {

/// The band written and read in one go against the same in two.
void check_written(NormalBand band, const std::string& extra_json) {
  std::string bare_seen;
  const auto extra_of = [&](const std::string& bare) {
    bare_seen = bare;
    return extra_json;
  };
  const WrittenBand written = written_with(band, extra_of, "b.json");
  band.extra_json.clear();
  CHECK(bare_seen == write_band(band));
  band.extra_json = extra_json;
  CHECK(written.text == write_band(band));
  const auto parsed = parse_band(written.text, "b.json");
  REQUIRE(parsed.ok() == written.band.ok());
  if (!parsed) {
    CHECK(parsed.error().message == written.band.error().message);
    return;
  }
  CHECK(write_band(*parsed) == write_band(*written.band));
  CHECK(parsed->extra_json == written.band->extra_json);
  CHECK(parsed->notes == written.band->notes);
  CHECK(parsed->drives.size() == written.band->drives.size());
  CHECK(parsed->centre_c == written.band->centre_c);
  CHECK(parsed->widening == written.band->widening);
}

} // namespace

TEST_CASE("a band written and read in one go is what its file says") {
  const auto band = parse_band(good_text(), "b.json");
  REQUIRE(band);
  check_written(*band, "");
  check_written(*band, R"({"mark":{"a":1.5},"history":[{"day":"2031-01-01"}],"z":[]})");
  check_written(*band, R"({"between_c":3.25})");
}

TEST_CASE("a band that its file cannot hold as it is is read from the file") {
  auto band = parse_band(good_text(), "b.json");
  REQUIRE(band);
  band->notes.emplace_back("no \xFF UTF-8");
  check_written(*band, "");
  band->opens_c = std::nan("");
  check_written(*band, "");
  band->centre_c = std::nan("");
  check_written(*band, R"({"mark":1})");
}
