// SPDX-License-Identifier: Apache-2.0
// What a value that is no quantity means.
#include "coolband/condition/condition.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace coolband;

namespace {

/// SAE J1939-71 scales one byte of temperature at 1 °C a bit from -40 and two at 0.03125 from -273
/// (checked against a public table of SPN 110 and 1637); what the raw values beyond FA mean is its
/// table of signal ranges, from memory.
float byte_c(int raw) { return static_cast<float>(raw - 40); }
float word_c(int raw) { return static_cast<float>(raw * 0.03125 - 273.0); }

Oddity coolant(float value, std::string_view unit = "°C") {
  return oddity_of(Role::coolant, value, unit);
}

} // namespace

TEST_CASE("every raw byte above FA is a code of its own kind, as SAE J1939-71 has them") {
  for (int raw = 0xFB; raw <= 0xFD; ++raw) CHECK(coolant(byte_c(raw)) == Oddity::reserved_code);
  CHECK(coolant(byte_c(0xFE)) == Oddity::error_code);
  CHECK(coolant(byte_c(0xFF)) == Oddity::not_available);
  CHECK(coolant(byte_c(0x00)) == Oddity::lowest_code);
}

TEST_CASE("every raw word above FAFF is a code of its own kind") {
  for (int raw = 0xFB10; raw <= 0xFFFF; ++raw) {
    const Oddity wanted = raw < 0xFE00   ? Oddity::reserved_code
                          : raw < 0xFF00 ? Oddity::error_code
                                         : Oddity::not_available;
    REQUIRE(coolant(word_c(raw)) == wanted);
    REQUIRE(oddity_of(Role::oil, word_c(raw), "°C") == wanted);
  }
  CHECK(coolant(word_c(0)) == Oddity::zero_kelvin);
  CHECK(coolant(-273.15F) == Oddity::zero_kelvin);
}

TEST_CASE("codes are known again in degrees Fahrenheit, whole ones too") {
  const auto in_c = [](double f) { return static_cast<float>((f - 32.0) / 1.8); };
  CHECK(coolant(in_c(-40), "°F") == Oddity::lowest_code);
  CHECK(coolant(in_c(419), "°F") == Oddity::not_available); // 215 °C
  CHECK(coolant(in_c(417.2), "°F") == Oddity::error_code);  // 214 °C
  CHECK(coolant(in_c(417), "°F") == Oddity::error_code);
  CHECK(coolant(in_c(255), "°F") == Oddity::not_available); // a byte that nobody scaled
  CHECK(coolant(in_c(254), "°F") == Oddity::error_code);
  CHECK(coolant(in_c(300), "°F") == Oddity::out_of_range);
}

TEST_CASE("numbers that were never scaled show in the log's own unit") {
  CHECK(coolant(255.0F) == Oddity::not_available);
  CHECK(coolant(254.0F) == Oddity::error_code);
  CHECK(coolant(127.0F) == Oddity::signed_end);
  CHECK(coolant(128.0F) == Oddity::signed_end);
  CHECK(coolant(32767.0F) == Oddity::signed_end);
  CHECK(coolant(-32768.0F) == Oddity::signed_end);
  CHECK(coolant(65535.0F) == Oddity::not_available);
  CHECK(coolant(65535.0F - 273.15F, "K") == Oddity::not_available);
  CHECK(coolant(999.0F) == Oddity::out_of_range);
  CHECK(coolant(-60.0F) == Oddity::out_of_range);
}

TEST_CASE("road speed, engine speed and percentages have their own codes") {
  CHECK(oddity_of(Role::speed, 254.0F, "km/h") == Oddity::error_code);
  CHECK(oddity_of(Role::speed, 255.99F, "km/h") == Oddity::not_available);
  CHECK(oddity_of(Role::rpm, 8128.0F, "rpm") == Oddity::error_code);
  CHECK(oddity_of(Role::rpm, 8191.875F, "rpm") == Oddity::not_available);
  CHECK(oddity_of(Role::rpm, 16383.75F, "rpm") == Oddity::not_available); // J1979: FF FF
  CHECK(oddity_of(Role::throttle, 101.6F, "%") == Oddity::error_code);    // FE at 0.4 % a bit
  CHECK(oddity_of(Role::throttle, 102.0F, "%") == Oddity::not_available);
  CHECK(oddity_of(Role::load, 254.0F, "%") == Oddity::error_code); // FE at 1 % a bit
  CHECK(oddity_of(Role::load, 200.0F, "%") == Oddity::out_of_range);
  CHECK(oddity_of(Role::altitude, 12000.0F, "m") == Oddity::out_of_range);
}

TEST_CASE("a good or missing coolant reading is not odd; a jump is, and to zero it has a name") {
  CHECK(oddity_of(Quality::good, 80.0F, "°C") == Oddity::none);
  CHECK(oddity_of(Quality::missing, NAN, "°C") == Oddity::none);
  CHECK(oddity_of(Quality::jump, 40.0F, "°C") == Oddity::jump);
  CHECK(oddity_of(Quality::jump, 0.0F, "°C") == Oddity::zero);
  CHECK(oddity_of(Quality::jump, 0.0F, "°F") == Oddity::jump);
  CHECK(oddity_of(Quality::jump, static_cast<float>(-32.0 / 1.8), "°F") == Oddity::zero);
  CHECK(oddity_of(Quality::off_scale, 215.0F, "°C") == Oddity::not_available);
}
