// SPDX-License-Identifier: Apache-2.0
// Frames of both standards in the shapes logs have them, and everything that must not be taken for
// one. The frames are invented; tests/reference holds the scalings against the standards.
#include "import/frame_decoder.hpp"

#include "import/frame_j1939.hpp"

#include <doctest/doctest.h>
#include <fmt/core.h>

#include <cstdint>
#include <string>
#include <utility>
#include <vector>

using namespace coolband;

namespace {

constexpr auto k_1979 = FrameStandard::j1979;
constexpr auto k_1939 = FrameStandard::j1939;

std::string_view name_of(FrameOutcome outcome) {
  switch (outcome) {
  case FrameOutcome::decoded: return "decoded";
  case FrameOutcome::nothing_known: return "nothing known";
  case FrameOutcome::refused: return "refused";
  case FrameOutcome::no_data: return "no data";
  case FrameOutcome::not_a_frame: return "not a frame";
  }
  return "";
}

std::string_view name_of(RawState state) {
  switch (state) {
  case RawState::value: return "value";
  case RawState::error: return "error";
  case RawState::not_available: return "not available";
  case RawState::reserved: return "reserved";
  }
  return "";
}

/// "5=83, 12=1726": number of each parameter and its value; else the outcome in words.
std::string decoded(FrameStandard standard, std::string_view identifier, std::string_view frame) {
  std::vector<FrameValue> values(3);
  const FrameOutcome outcome = decode_frame(standard, identifier, frame, values);
  CHECK((outcome == FrameOutcome::decoded) == !values.empty());
  if (outcome != FrameOutcome::decoded) return std::string(name_of(outcome));
  std::string text;
  for (const FrameValue& found : values) {
    if (!text.empty()) text += ", ";
    text += fmt::format("{}", found.parameter->number);
    if (found.sensor != 0) text += fmt::format(".{}", found.sensor);
    text += found.state == RawState::value ? fmt::format("={}", found.value)
                                           : fmt::format(" {}", name_of(found.state));
  }
  return text;
}

std::string decoded_1979(std::string_view frame) { return decoded(k_1979, "", frame); }
std::string decoded_1939(std::string_view frame) { return decoded(k_1939, "", frame); }

int source_of(FrameStandard standard, std::string_view identifier, std::string_view frame) {
  std::vector<FrameValue> values;
  REQUIRE(decode_frame(standard, identifier, frame, values) == FrameOutcome::decoded);
  return values.front().source;
}

std::optional<FrameStandard> recognised(std::string_view identifier,
                                        std::initializer_list<std::string_view> frames) {
  std::vector<std::pair<std::string_view, std::string_view>> sample;
  for (const auto frame : frames) sample.emplace_back(identifier, frame);
  return recognise_frames(sample);
}

} // namespace

// ---- SAE J1979 ----

TEST_CASE("one coolant response in every dress gives 83 degrees") {
  for (const char* frame : {"41 05 7B",
                            "41057B",
                            "0x41 0x05 0x7B",
                            "41 05 7B 00 00 00 00",
                            "41 05 7B 55 55",
                            "7E8 03 41 05 7B 00 00 00 00",
                            "7E80341057B00000000",
                            "7E8 03 41 05 7B AA AA AA AA",
                            "7E8#0341057BCCCCCCCC",
                            "7E8 8 03 41 05 7B FF FF FF FF",
                            "7E8 [4] 03 41 05 7B",
                            "7E8 08 03 41 05 7B 00 00 00 00",
                            "0x7E8 0x03 0x41 0x05 0x7B",
                            "7E8: 03 41 05 7B",
                            "7EF 03 41 05 7B",
                            "7E8 41 05 7B",
                            "7E8 03 41 05 7B 12 34 56 78",
                            "000007E8 03 41 05 7B",
                            "00 00 07 E8 03 41 05 7B",
                            "07 E8 03 41 05 7B",
                            "07E8 03 41 05 7B",
                            "18DAF110 03 41 05 7B 00 00 00 00",
                            "18DAF1100341057B00000000",
                            "18 DA F1 10 03 41 05 7B 55 55 55 55",
                            "18DAF110x 8 03 41 05 7B 00 00 00 00",
                            "03 41 05 7B 00 00 00 00",
                            "0341057B00000000",
                            "0341057B 00000000",
                            "48 6B 10 41 05 7B",
                            "48 6B 10 41 05 7B 84",
                            "486B1041057B84",
                            "48 6B 10 41 05 7B 06",
                            "83 F1 11 41 05 7B 46",
                            "83 F1 11 41 05 7B",
                            "C3 F1 11 41 05 7B 86",
                            "80 F1 11 03 41 05 7B 46"}) {
    CHECK_MESSAGE(decoded_1979(frame) == "5=83", frame);
  }
}

TEST_CASE("the identifier or the PID may stand in a column of its own") {
  for (const char* identifier : {"7E8", "0x7E8", "7e8", "000007E8", "2024", "18DAF110",
                                 "0x18DAF110", "417001744", "18 DA F1 10", "07E8"}) {
    CHECK_MESSAGE(decoded(k_1979, identifier, "03 41 05 7B 00 00 00 00") == "5=83", identifier);
  }
  for (const char* identifier : {"05", "0x05", "5", "0105", "01 05", "0x0105", "4105"}) {
    CHECK_MESSAGE(decoded(k_1979, identifier, "7B") == "5=83", identifier);
    CHECK_MESSAGE(decoded(k_1979, identifier, "0x7B") == "5=83", identifier);
    CHECK_MESSAGE(decoded(k_1979, identifier, "7B 00 00 00") == "5=83", identifier);
    CHECK_MESSAGE(decoded(k_1979, identifier, "41 05 7B") == "5=83", identifier);
    CHECK_MESSAGE(decoded(k_1979, identifier, "7E8 03 41 05 7B") == "5=83", identifier);
  }
  CHECK(decoded(k_1979, "0C", "1A F8") == "12=1726");
  CHECK(decoded(k_1979, "0c", "1AF8") == "12=1726");
  CHECK(decoded(k_1979, "1F", "01 2C") == "31=300");
  for (const char* identifier : {"", "-", "n/a"}) {
    CHECK(decoded(k_1979, identifier, "41 05 7B") == "5=83");
  }
}

TEST_CASE("a PID column does not bend another frame to its PID") {
  CHECK(decoded(k_1979, "05", "1A F8") == "not a frame");
  CHECK(decoded(k_1979, "0C", "1A") == "not a frame");
  CHECK(decoded(k_1979, "05", "41 0C 1A F8") == "not a frame");
  CHECK(decoded(k_1979, "0C", "01 0C") == "nothing known"); // the request
  CHECK(decoded(k_1979, "67", "7F 01 12") == "refused");
  CHECK(decoded(k_1979, "05", "7F 01 12") == "refused");
  CHECK(decoded(k_1979, "05", "NO DATA") == "no data");
  CHECK(decoded(k_1979, "05", "85.5") == "not a frame");
  CHECK(decoded(k_1979, "05", "-40") == "not a frame");
  CHECK(decoded(k_1979, "speed", "7B") == "not a frame");
  CHECK(decoded(k_1979, "06", "80") == "nothing known");
}

TEST_CASE("several PIDs in one response") {
  CHECK(decoded_1979("41 05 7B 0C 1A F8") == "5=83, 12=1726");
  CHECK(decoded_1979("7E8 07 41 05 7B 0C 1A F8 00") == "not a frame");
  CHECK(decoded_1979("7E8 06 41 05 7B 0C 1A F8 00") == "5=83, 12=1726");
  CHECK(decoded_1979("41 05 7B 0D 50 46 3C") == "5=83, 13=80, 70=20");
  CHECK(decoded_1979("41 06 80 05 7B") == "5=83");    // a PID that is not ours between
  CHECK(decoded_1979("41 05 7B 9E 12 34") == "5=83"); // of a length that is not known here
  CHECK(decoded_1979("41 05 7B 0C 1A") == "not a frame");
  CHECK(decoded_1979("41 05 7B 00 BE 3E B8 13") == "5=83"); // PID 00, not padding
}

TEST_CASE("the support bits of PID 67 say which sensor is there") {
  CHECK(decoded_1979("41 67 03 7B 6E") == "103.1=83, 103.2=70");
  CHECK(decoded_1979("41 67 01 7B 00") == "103.1=83");
  CHECK(decoded_1979("41 67 02 00 6E") == "103.2=70");
  CHECK(decoded_1979("41 67 00 00 00") == "nothing known");
  CHECK(decoded(k_1979, "67", "03 7B 6E") == "103.1=83, 103.2=70");
}

TEST_CASE("who answered is kept") {
  CHECK(source_of(k_1979, "", "7E9 03 41 05 7B") == 0x7E9);
  CHECK(source_of(k_1979, "18DAF110", "03 41 05 7B") == 0x18DAF110);
  CHECK(source_of(k_1979, "", "48 6B 10 41 05 7B 84") == 0x10);
  CHECK(source_of(k_1979, "", "83 F1 11 41 05 7B 46") == 0x11);
  CHECK(source_of(k_1979, "", "41 05 7B") == -1);
  CHECK(source_of(k_1979, "05", "7B") == -1);
  CHECK(source_of(k_1979, "05", "7EA 03 41 05 7B") == 0x7EA);
}

TEST_CASE("good frames without a parameter of ours") {
  for (const char* frame :
       {"01 05", "0105", "7DF 02 01 05 00 00 00 00 00", "7E0 02 01 05", "7E0 03 41 05 7B",
        "18DB33F1 02 01 05", "18DA10F1 02 01 05", "41 00 BE 3E B8 13", "42 05 00 7B",
        "49 02 01 31 32 33", "7E8 10 14 49 02 01 31 44 34", "7E8 21 47 50 30 30 52 35 35",
        "7E8 30 00 00", "7E8 10 0A 41 05 7B 0C 1A F8", "123 03 41 05 7B",
        "18FEEE00 84 FF FF FF FF FF FF FF", "7E8 04 62 F4 05 7B", "41 9E 12 34",
        "48 6B 10 49 02 01 00 00 00 31 FF"}) {
    CHECK_MESSAGE(decoded_1979(frame) == "nothing known", frame);
  }
}

TEST_CASE("negative responses are counted apart") {
  for (const char* frame : {"7F 01 12", "7F0112", "7E8 03 7F 01 12 00 00 00 00", "7E8 7F 01 31",
                            "83 F1 11 7F 01 12 17", "48 6B 10 7F 01 05 00 00 00 12 5A"}) {
    CHECK_MESSAGE(decoded_1979(frame) == "refused", frame);
  }
}

TEST_CASE("no data is no frame and no complaint") {
  for (const char* frame : {"NO DATA", "", "...", " ", "--", "NO DATA\r\r>"}) {
    CHECK_MESSAGE(decoded_1979(frame) == "no data", frame);
    CHECK_MESSAGE(decoded_1939(frame) == "no data", frame);
    CHECK_MESSAGE(decoded(k_1939, "18FEEE00", frame) == "no data", frame);
  }
}

TEST_CASE("half frames, wrong lengths and wrong checksums give no value") {
  for (const char* frame : {"41",
                            "41 05",
                            "41 0C 1A",
                            "7E8",
                            "7E8 03 41 05",
                            "7E8 00 41 05 7B",
                            "7E8 04 41 05 7B",
                            "7E8 9 03 41 05 7B",
                            "48 6B 10 41 05 7B 85",
                            "83 F1 11 41 05 7B 47",
                            "84 F1 11 41 05 7B",
                            "82 F1 11 41 05 7B 45",
                            "41 05 7",
                            "41 05 7B 41 05 7A",
                            "83",
                            "85",
                            "1726",
                            "2024-01-05",
                            "coolant",
                            "83 degC",
                            "12:30:45",
                            "7E8 03 41 05 7B 00 00 00 00 00",
                            "FF FF FF"}) {
    CHECK_MESSAGE(decoded_1979(frame) == "not a frame", frame);
  }
}

TEST_CASE("a header that could be a PID is a header only with its checksum") {
  // The checksum of 41 6B 10 41 05 7B is 4A.
  CHECK(decoded_1979("41 6B 10 41 05 7B 4A") == "5=83");
  CHECK(decoded_1979("41 6B 10 41 05 7B 4B") == "nothing known"); // a response to PID 6B
}

// ---- SAE J1939 ----

TEST_CASE("one group in every dress gives the same four temperatures") {
  const std::string expected = "110=92, 174=35, 175=105, 52=45";
  for (const char* frame :
       {"18FEEE00 84 4B 40 2F FF FF 55 FF", "18FEEE00#844B402FFFFF55FF", "18FEEE00844B402FFFFF55FF",
        "0x18FEEE00 0x84 0x4B 0x40 0x2F 0xFF 0xFF 0x55 0xFF", "18FEEE00x 84 4B 40 2F FF FF 55 FF",
        "18FEEE00: 84 4B 40 2F FF FF 55 FF", "18FEEE00 8 84 4B 40 2F FF FF 55 FF",
        "18FEEE00x [8] 84 4B 40 2F FF FF 55 FF", "18 FE EE 00 84 4B 40 2F FF FF 55 FF",
        "18FEEE00 08 84 4B 40 2F FF FF 55 FF", "98FEEE00 84 4B 40 2F FF FF 55 FF",
        "00FEEE27 84 4B 40 2F FF FF 55 FF", "1CFEEE00 844B402F FFFF55FF"}) {
    CHECK_MESSAGE(decoded_1939(frame) == expected, frame);
  }
  for (const char* identifier :
       {"18FEEE00", "0x18FEEE00", "18feee00", "18FEEE00x", "419360256", "2566843904", "FEEE",
        "0xFEEE", "feee", "00FEEE", "65262", "18 FE EE 00"}) {
    for (const char* frame : {"84 4B 40 2F FF FF 55 FF", "844B402FFFFF55FF", "844B402F FFFF55FF",
                              "18FEEE00 84 4B 40 2F FF FF 55 FF", "18FEEE00844B402FFFFF55FF",
                              "18 FE EE 00 84 4B 40 2F FF FF 55 FF", "08 84 4B 40 2F FF FF 55 FF",
                              "[8] 84 4B 40 2F FF FF 55 FF"}) {
      CHECK_MESSAGE(decoded(k_1939, identifier, frame) == expected, identifier << " " << frame);
    }
  }
}

TEST_CASE("priority and sender are taken apart, and a receiver is no part of the group") {
  const auto read = read_j1939("0CF00427", "F3 91 91 40 1F 27 0F 91");
  REQUIRE(read.has_value());
  CHECK(read->pgn == 61444);
  CHECK(read->source == 0x27);
  CHECK(decoded(k_1939, "CF00427", "F3 91 91 40 1F 27 0F 91") == "513=20, 190=1000");
  CHECK(source_of(k_1939, "18FEEE27", "84 FF FF FF FF FF FF FF") == 0x27);
  CHECK(source_of(k_1939, "65262", "84 FF FF FF FF FF FF FF") == -1);
  CHECK(source_of(k_1939, "65262", "18FEEE27 84 FF FF FF FF FF FF FF") == 0x27);
  // Group 57344 has format E0, so the byte behind it is the receiver.
  for (const char* identifier : {"18E0FF27", "18E00027", "57344", "E000", "0xE000"}) {
    CHECK_MESSAGE(decoded(k_1939, identifier, "64 FF FF FF FF FF FF FF") == "986=40", identifier);
  }
  // Another data page is another group.
  CHECK(decoded(k_1939, "19FEEE00", "84 FF FF FF FF FF FF FF") == "nothing known");
}

TEST_CASE("a short frame gives what is in it") {
  CHECK(decoded(k_1939, "18FEEE00", "84") == "110=92");
  CHECK(decoded(k_1939, "18FEEE00", "84 4B 40") == "110=92, 174=35");
  CHECK(decoded(k_1939, "18FEEE00", "18FEEE00 84 4B") == "110=92, 174=35");
  CHECK(decoded(k_1939, "18FEEE00", "18 FE EE 00 84 4B") == "110=92, 174=35");
  CHECK(decoded(k_1939, "18FEE500", "40 1F 00") == "nothing known");
  CHECK(decoded(k_1939, "18FEE500", "40 1F 00 00") == "247=400");
}

TEST_CASE("error, not available and reserved are told apart and are no values") {
  CHECK(decoded(k_1939, "FEEE", "FE FF 00 FE FF FF FC FF") ==
        "110 error, 174 not available, 175 error, 52 reserved");
  CHECK(decoded(k_1939, "FEEE", "FB FA FF FA 00 FB FD FF") ==
        "110 reserved, 174=210, 175=1734.96875, 52 reserved");
  CHECK(decoded(k_1939, "FEEE", "00 00 FF FF FF FF FF FF") ==
        "110=-40, 174=-40, 175 not available, 52 not available");
  CHECK(decoded(k_1939, "F004", "FF FF FF FF FE FF FF FF") == "513 not available, 190 error");
  CHECK(decoded(k_1939, "FEBD", "64 F4 40 1F FF FF FF FF") == "975=40, 977=4, 1639=1000");
  CHECK(decoded(k_1939, "FEBD", "FF 0F FF FF FF FF FF FF") ==
        "975 not available, 977 not available, 1639 not available");
  CHECK(decoded(k_1939, "FEBD", "FE FE FF FC FF FF FF FF") == "975 error, 977=14, 1639 reserved");
}

TEST_CASE("what is no J1939 frame") {
  for (const char* frame :
       {"84", "84 FF FF FF FF FF FF FF", "18FEEE00", "18FEEE00 84 FF 5", "18FEEE00 7 84 FF",
        "38FEEE00 84 FF FF FF FF FF FF FF", "18FEEE00 84 FF FF FF FF FF FF FF FF", "118FEEE00 84",
        "85.5", "1726", "2024-01-05 12:30:45", "hello"}) {
    CHECK_MESSAGE(decoded_1939(frame) == "not a frame", frame);
  }
  for (const char* identifier : {"PGN", "400000", "0x65262", "4294967296", "38FEEE00", "6.5"}) {
    CHECK_MESSAGE(decoded(k_1939, identifier, "84 FF FF FF FF FF FF FF") == "not a frame",
                  identifier);
  }
  // Column and frame name two groups.
  CHECK(decoded(k_1939, "FEEE", "18FEF100 84 FF FF FF FF FF FF FF") == "not a frame");
  CHECK(decoded(k_1939, "FEEE", "18FEF100 84 FF FF FF") == "not a frame");
}

TEST_CASE("other traffic on the bus is known to be nothing of ours") {
  CHECK(decoded_1939("18EBFF00 01 02 03 04 05 06 07 08") == "nothing known");
  CHECK(decoded_1939("18EAFFF9 EE FE 00") == "nothing known");
  CHECK(decoded_1939("7E8 03 41 05 7B 00 00 00 00") == "nothing known");
  CHECK(decoded(k_1939, "7E8", "03 41 05 7B 00 00 00 00") == "nothing known");
  CHECK(decoded(k_1939, "0", "03 41 05 7B 00 00 00 00") == "nothing known");
}

// ---- both ----

TEST_CASE("a column of frames is recognised") {
  CHECK(recognised("", {"41 05 7B", "41 0C 1A F8", "NO DATA", ""}) == k_1979);
  CHECK(recognised("7E8", {"03 41 05 7B 00 00 00 00", "04 41 0C 1A F8 00 00 00"}) == k_1979);
  CHECK(recognised("18DAF110", {"03 41 05 7B 00 00 00 00", "03 7F 01 12 00 00 00 00"}) == k_1979);
  CHECK(recognised("", {"410585", "41057B", "410580"}) == k_1979);
  CHECK(recognised("05", {"7B", "7C", "80", "81"}) == k_1979);
  CHECK(recognised("", {"18FEEE00 84 FF FF FF FF FF FF FF"}) == k_1939);
  CHECK(recognised("65262", {"84 FF FF FF FF FF FF FF", "84FFFFFFFFFFFFFF"}) == k_1939);
  CHECK(recognised("0CF00400", {"F3 91 91 40 1F 27 0F 91"}) == k_1939);
  // A bus trace whose first rows have nothing of ours.
  CHECK(recognised("18EBFF00", {"01 02 03 04 05 06 07 08", "02 02 03 04 05 06 07 08",
                                "03 02 03 04 05 06 07 08"}) == k_1939);
  CHECK(recognised("18EBFF00", {"01 02 03 04 05 06 07 08"}) == std::nullopt);
}

TEST_CASE("a trace with both standards goes to the one with more of ours") {
  CHECK(recognise_frames({{"18FEEE00", "84 FF FF FF FF FF FF FF"},
                          {"7E8", "03 41 05 7B 00 00 00 00"},
                          {"7E8", "04 41 0C 1A F8 00 00 00"}}) == k_1979);
  CHECK(recognise_frames({{"18FEEE00", "84 FF FF FF FF FF FF FF"},
                          {"0CF00400", "F3 91 91 40 1F 27 0F 91"},
                          {"7E8", "03 41 05 7B 00 00 00 00"}}) == k_1939);
}

TEST_CASE("ordinary columns are no frames") {
  for (const auto& cells : std::initializer_list<std::initializer_list<std::string_view>>{
           {"85", "86", "87"},
           {"1726", "1800", "800"},
           {"410585", "410586", "410587"}, // metres on an odometer
           {"4105", "4106"},
           {"2024-01-05", "2024-01-06"},
           {"20240105", "20240106", "20240107"},
           {"12:30:45", "12:30:46"},
           {"41:05:12", "41:05:13"},
           {"41-05-12", "41-05-13"},
           {"83.5", "84.0"},
           {"85 C", "86 C", "87 C"},
           {"185 F", "186 F"},
           {"coolant", "oil", "ambient"},
           {"dead", "beef", "cafe"},
           {"0", "1", "0"},
           {"-40", "-39"},
           {"", "", ""},
           {"NO DATA", "NO DATA"},
           {"7DF 02 01 05", "7DF 02 01 0C"},
           {"41 05 7B", "hello", "world"}}) {
    CHECK_MESSAGE(!recognised("", cells), *cells.begin());
    CHECK_MESSAGE(!recognised("12", cells), *cells.begin());
  }
  // A long table of decoded values with PIDs or groups for names.
  CHECK(!recognised("05", {"85", "86", "87", "90", "83"}));
  CHECK(!recognised("0C", {"1726", "1800", "2000"}));
  CHECK(!recognised("05", {"85 C", "86 C", "87 C"}));
  CHECK(!recognised("65262", {"85", "92", "84"}));
  CHECK(!recognised("65262", {"85.5", "92.25"}));
  CHECK(!recognised("12345678", {"85", "86", "87", "90"}));
}

TEST_CASE("any text at all is answered, and a value comes only from a whole frame") {
  std::uint64_t state = 2026;
  const auto next = [&state](std::uint64_t below) {
    state = state * 6364136223846793005U + 1442695040888963407U;
    return (state >> 33U) % below;
  };
  constexpr std::string_view letters = "0123456789abcdefABCDEFxX :#-[];|_>?.\t0441057BFEE8";
  const std::string_view starts[] = {
      "", "41 05 ", "7E8 03 41", "18FEEE00 ", "48 6B 10 41 05", "83 F1 11 41", "0x"};
  const std::string_view identifiers[] = {"", "05", "7E8", "18FEEE00", "65262", "67"};
  std::vector<FrameValue> values;
  std::size_t decoded_count = 0;
  for (int i = 0; i < 200000; ++i) {
    std::string frame(starts[next(std::size(starts))]);
    for (auto size = next(30); size > 0; --size) frame += letters[next(letters.size())];
    const auto standard = i % 2 == 0 ? k_1979 : k_1939;
    const auto outcome = decode_frame(standard, identifiers[next(std::size(identifiers))],
                                      std::string(frame), values);
    REQUIRE((outcome == FrameOutcome::decoded) == !values.empty());
    for (const FrameValue& found : values) {
      REQUIRE(found.parameter->standard == standard);
      if (found.state != RawState::value) continue;
      REQUIRE(found.value >= found.parameter->scaling.lowest);
      REQUIRE(found.value <= found.parameter->scaling.highest);
    }
    if (outcome == FrameOutcome::decoded) ++decoded_count;
  }
  CHECK(decoded_count > 1000);
}
