// SPDX-License-Identifier: Apache-2.0
// Headings as loggers write them, and what each must (not) be taken for.
// Parameter names follow SAE J1979 and SAE J1939-71 (from memory); the rest is common practice, no
// source.
#include "unit/import/told_heading.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

struct Case {
  const char* heading;
  const char* expected;
};

} // namespace

TEST_CASE("the vocabulary has no line that cannot be read and no phrase with two meanings") {
  for (const std::string& complaint : vocabulary().complaints()) FAIL_CHECK(complaint);
  CHECK(vocabulary().phrases(Role::coolant).size() > 50);
}

TEST_CASE("headings of many loggers are understood with their units") {
  const Case cases[] = {
      {"time_s", "time s"},
      {"Time (ms)", "time ms"},
      {"timestamp_ms", "time ms"},
      {"Elapsed time [min]", "time min"},
      {"DateTime", "time"},
      {"coolant_c", "coolant °C"},
      {"Engine Coolant Temperature [\xC2\xB0"
       "C]",
       "coolant °C"},
      {"Engine Coolant Temperature [\xC3\x82\xC2\xB0"
       "C]",
       "coolant °C"},
      {"Engine Coolant Temperature [\xB0"
       "C]",
       "coolant °C"},
      {"engineCoolantTempF", "coolant °F"},
      {"ENGINE_COOLANT_TEMP", "coolant"},
      {"Coolant/\xC2\xB0"
       "C",
       "coolant °C"},
      {"coolant temp, degF", "coolant °F"},
      {"coolant_temp_deg_c", "coolant °C"},
      {"Coolant temperature degrees Celsius", "coolant °C"},
      {"ECT", "coolant"},
      {"ECT (\xC2\xB0"
       "F)",
       "coolant °F"},
      {"CLT", "coolant"},
      {"Engine Coolant Temperature (ECT) [K]", "coolant K"},
      {"Engine coolant temperature (PID 05)", "coolant"},
      {"Engine Coolant Temperature (SPN 110) (\xC2\xB0"
       "C)",
       "coolant °C"},
      {"Temperature (coolant)", "coolant"},
      {"Engine Coolant Temperature 1", "coolant"},
      {"engine_temperature", "coolant"},
      {"Water temp", "coolant"},
      {"AAT", "ambient"},
      {"Ambient air temperature (F)", "ambient °F"},
      {"Outside temp", "ambient"},
      {"IAT", "intake"},
      {"Intake Air Temperature [C]", "intake °C"},
      {"load_pct", "load %"},
      {"engine_load_value", "load"},
      {"Calculated engine load (%)", "load %"},
      {"Engine Percent Load At Current Speed", "load"},
      {"load (0-1)", "load fraction"},
      {"EngineRPM", "rpm rpm"},
      {"Engine RPM [RPM]", "rpm rpm"},
      {"Engine speed (1/min)", "rpm rpm"},
      {"rpm", "rpm rpm"},
      {"Vehicle Speed Sensor [km/h]", "speed km/h"},
      {"speed_kmh", "speed km/h"},
      {"Vehicle speed km/h", "speed km/h"},
      {"speed (mph)", "speed mph"},
      {"VSS", "speed"},
      {"Wheel-Based Vehicle Speed", "speed"},
      {"Speed (GPS) [km/h]", "speed km/h"},
      {"Absolute Throttle Position [%]", "throttle %"},
      {"Engine Oil Temperature", "oil"},
      {"altitude", "altitude"},
      {"GPS Altitude (ft)", "altitude ft"},
      {"Estimated percent fan speed", "fan"},
      {"trip_id", "trip"},
      {"id_vehicle", "vehicle"},
      {"temp", "bare"},
      {"Temperature [\xC2\xB0"
       "C]",
       "bare °C"},
      {"Date", "date"},
      {"relative_humidity", "weather"},
  };
  for (const Case& c : cases)
    CHECK_MESSAGE(told(c.heading) == c.expected, std::string(c.heading) << ": " << told(c.heading));
}

TEST_CASE("headings in other languages are understood, whatever the encoding") {
  const Case cases[] = {
      {"K\xC3\xBChlmitteltemperatur [\xC2\xB0"
       "C]",
       "coolant °C"},
      {"K\xC3\x83\xC2\xBChlmitteltemperatur", "coolant"}, // encoded twice
      {"K\xFChlmitteltemperatur", "coolant"},             // Latin-1
      {"KUEHLMITTEL-TEMPERATUR", "coolant"},
      {"K\xC3\xBChlwassertemperatur", "coolant"},
      {"Au\xC3\x9F"
       "entemperatur",
       "ambient"},
      {"Motordrehzahl [U/min]", "rpm rpm"},
      {"Geschwindigkeit (km/h)", "speed km/h"},
      {"Uhrzeit", "time"},
      {"Temp\xC3\xA9rature du liquide de refroidissement", "coolant"},
      {"R\xC3\xA9gime moteur (tr/min)", "rpm rpm"},
      {"Vitesse", "speed"},
      {"Temperatura del refrigerante", "coolant"},
      {"Temperatura do l\xC3\xADquido de arrefecimento", "coolant"},
      {"Temperatura liquido di raffreddamento", "coolant"},
      {"Koelvloeistoftemperatuur", "coolant"},
      {"Kylv\xC3\xA4tsketemperatur", "coolant"},
      {"Temperatura p\xC5\x82ynu ch\xC5\x82odz\xC4\x85"
       "cego",
       "coolant"},
      {"Pr\xC4\x99"
       "dko\xC5\x9B\xC4\x87 pojazdu",
       "speed"},
  };
  for (const Case& c : cases)
    CHECK_MESSAGE(told(c.heading) == c.expected, std::string(c.heading) << ": " << told(c.heading));
}

TEST_CASE("words that change the meaning are never taken for coolant temperature") {
  for (const char* heading :
       {"Engine coolant level", "Engine coolant pressure [kPa]", "coolant sensor voltage (V)",
        "Coolant temperature target", "coolant temp status", "Transmission oil temperature",
        "Fuel temperature 1", "Temperature (fuel)", "Catalyst temperature", "Coolant flow [l/min]",
        "Exhaust gas temperature", "Battery temperature", "coolant_temp_warning", "acceleration",
        "pressure", "design_speed", "Accelerator Pedal Position D [%]", "fan current (A)", ""}) {
    CHECK_MESSAGE(told(heading) == "", heading << ": " << told(heading));
  }
}

TEST_CASE("a unit that the quantity cannot have makes the heading unknown") {
  CHECK(told("coolant (kPa)") == "");
  CHECK(told("vehicle speed (rpm)") == "");
}

TEST_CASE("words are split at signs, changes of case and digits") {
  CHECK(words_of("EngineCoolantTemp_1") ==
        std::vector<std::string>{"engine", "coolant", "temp", "1"});
  CHECK(words_of("RPMValue") == std::vector<std::string>{"rpm", "value"});
  CHECK(words_of("\xC3\x9C"
                 "ber-Ma\xC3\x9F") == std::vector<std::string>{"uber", "mass"});
}

TEST_CASE("a heading means the same the second time, and after many others") {
  const auto told = [](const std::string& heading, std::string_view unit_below) {
    const auto found = read_heading(heading, vocabulary(), unit_below);
    return found ? std::to_string(static_cast<int>(found->sense.role)) +
                       std::string(found->unit ? found->unit->name : "-")
                 : std::string("none");
  };
  const std::string coolant = told("Coolant [°F]", "");
  const std::string nothing = told("Remarks", "");
  CHECK(coolant != nothing);
  for (int i = 0; i < 600; ++i) CHECK(told("Remarks " + std::to_string(i), "") == "none");
  CHECK(told("Remarks" + std::string(300, 's'), "") == "none");
  CHECK(told("Coolant [°F]", "") == coolant);
  CHECK(told("Remarks", "") == nothing);
  // Another list of words gives another answer.
  CHECK_FALSE(read_heading("Coolant [°F]", Vocabulary("")));
  CHECK(told("Coolant [°F]", "") == coolant);
}
