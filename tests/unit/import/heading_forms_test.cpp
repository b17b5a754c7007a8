// SPDX-License-Identifier: Apache-2.0
// The ways to write a unit and a name, for every role that is measured; and what a heading must not
// be taken for however it is written.
#include "unit/import/told_heading.hpp"

#include <vector>

using namespace coolband;
using namespace coolband::test;

namespace {

struct Measured {
  const char* role;
  const char* title;      ///< "Engine Coolant Temperature"
  const char* snake;      ///< "engine_coolant_temp"
  const char* camel;      ///< "engineCoolantTemp"
  const char* unit;       ///< in brackets
  const char* suffix;     ///< behind an underscore
  const char* camel_unit; ///< grown to a camelCase name
  const char* told_unit;
};

const std::vector<Measured>& measured() {
  static const std::vector<Measured> all{
      {"time", "Elapsed Time", "elapsed_time", "elapsedTime", "ms", "ms", "Ms", "ms"},
      {"coolant", "Engine Coolant Temperature", "engine_coolant_temp", "engineCoolantTemp", "degF",
       "deg_f", "DegF", "°F"},
      {"ambient", "Ambient Air Temperature", "ambient_air_temp", "ambientAirTemp", "°C", "c", "C",
       "°C"},
      {"intake", "Intake Air Temperature", "intake_air_temp", "intakeAirTemp", "deg C", "celsius",
       "Celsius", "°C"},
      {"load", "Calculated Engine Load", "calc_engine_load", "calcEngineLoad", "percent", "pct",
       "Pct", "%"},
      {"rpm", "Engine Speed", "engine_speed", "engineSpeed", "1/min", "rpm", "Rpm", "rpm"},
      {"speed", "Vehicle Speed", "vehicle_speed", "vehicleSpeed", "mi/h", "mph", "MPH", "mph"},
      {"throttle", "Throttle Position", "throttle_pos", "throttlePos", "%", "percent", "Percent",
       "%"},
      {"oil", "Engine Oil Temperature", "engine_oil_temp", "engineOilTemp", "K", "k", "Kelvin",
       "K"},
      {"altitude", "GPS Altitude", "gps_altitude", "gpsAltitude", "feet", "ft", "Ft", "ft"},
      {"fan", "Cooling Fan Duty", "cooling_fan_duty", "coolingFanDuty", "%", "pct", "Pct", "%"},
  };
  return all;
}

void expect(const Measured& m, const std::string& heading, bool with_unit) {
  const std::string expected =
      std::string(m.role) + (with_unit ? std::string(" ") + m.told_unit : "");
  const std::string found = told(heading);
  CHECK_MESSAGE(found == expected, heading << ": " << found);
}

/// Minutes are a unit of time, "elapsed time (timestamp)" says time twice, a fan has a status.
bool is_more_of_the_same(std::string_view role, std::string_view word) {
  return (role == "time" && (word == "min" || word == "timestamp")) ||
         (role == "fan" && word == "status");
}

} // namespace

TEST_CASE("a unit stands in brackets, behind a slash, a comma or a blank, or as a suffix") {
  for (const Measured& m : measured()) {
    const std::string title = m.title;
    const std::string unit = m.unit;
    for (const std::string& heading :
         {title + " (" + unit + ")", title + " [" + unit + "]", title + " {" + unit + "}",
          title + "(" + unit + ")", title + ", " + unit, title + " " + unit, title + " in " + unit,
          title + " - " + unit, "\"" + title + "\" (" + unit + ")",
          std::string(m.snake) + "_" + m.suffix, std::string(m.camel) + m.camel_unit}) {
      expect(m, heading, true);
    }
    if (unit.find('/') == std::string::npos) expect(m, title + "/" + unit, true);
  }
}

TEST_CASE("case, underscores, camelCase and order of words do not matter") {
  for (const Measured& m : measured()) {
    for (const std::string& heading :
         {std::string(m.title), std::string(m.snake), std::string(m.camel),
          std::string("  ") + m.title + " ", std::string("sensor_") + m.snake,
          std::string(m.title) + " Value", std::string(m.title) + " 1",
          std::string(m.snake) + "_actual"}) {
      expect(m, heading, false);
    }
  }
  CHECK(told("Temperature, Coolant") == "coolant");
  CHECK(told("Speed - Vehicle [km/h]") == "speed km/h");
  CHECK(told("Load, Calculated") == "load");
  CHECK(told("coolanttempf") == "coolant °F");
  CHECK(told("T_coolant [°C]") == "coolant °C");
  CHECK(told("t [s]") == "time s");
  CHECK(told("T [°C]") == "");
  CHECK(told("t") == "");
}

TEST_CASE("a second sensor has its number, wherever it stands") {
  const auto number = [](std::string_view heading) {
    const auto reading = read_heading(heading, vocabulary());
    return reading ? reading->sense.sensor : 0;
  };
  CHECK(number("Engine Coolant Temperature") == 1);
  CHECK(number("Engine Coolant Temperature 1") == 1);
  CHECK(number("Engine Coolant Temperature 2 [°C]") == 2);
  CHECK(number("ECT3") == 3);
  CHECK(number("coolant_temp_sensor_02") == 2);
  CHECK(number("Engine Intake Manifold 2 Temperature") == 2);
  CHECK(number("H2O temp") == 1);
  CHECK(told("trip 2") == "");
  CHECK(told("value 2") == "");
  CHECK(told("ECT 2 4") == "");
}

TEST_CASE("leading containers of a path are left out, and only those") {
  const std::pair<const char*, const char*> cases[] = {
      {"engine.coolantTemp", "coolant"},
      {"data.sensors.ect.value", "coolant"},
      {"obd/coolant", "coolant"},
      {"vehicle.engine.speed", "rpm"},
      {"vehicle.speed", "speed"},
      {"telemetry.vehicle.speed_kmh", "speed km/h"},
      {"payload.record.oil.temp", "oil"},
      {"data.engine.load [%]", "load %"},
      {"sensors.0.coolant_c", "coolant °C"},
      {"position.altitude", "altitude"},
      {"gps.speed", "speed"},
      {"cooling.fan", "fan"},
      {"record.time", "time"},
      {"data.value", "value"},
      {"engine.coolant.max", ""},
      {"engine.coolant.setpoint", ""},
      {"engine.coolant.level", ""},
      {"coolant.status", ""},
      {"status.coolant", ""},
      {"limits.coolant", ""},
      {"previous.coolant", ""},
      {"max.engine.coolantTemp", ""},
      {"transmission.temp", ""},
      {"engine.value", ""},
      {"engine.hours", ""},
      {"engine.", ""},
      {"data..", "frame"},
  };
  for (const auto& [heading, expected] : cases) {
    const std::string understood = std::string(heading) + ": " + told(heading);
    CHECK_MESSAGE(told(heading) == expected, understood);
  }
}

TEST_CASE("statistics, targets and other properties are no role, in brackets, paths and suffixes") {
  for (const Measured& m : measured()) {
    for (const char* word : {"max",    "min",     "avg",       "average",   "mean",   "setpoint",
                             "target", "limit",   "previous",  "warning",   "status", "median",
                             "delta",  "error",   "threshold", "requested", "raw",    "voltage",
                             "fault",  "quality", "unit",      "timestamp", "std dev"}) {
      if (is_more_of_the_same(m.role, word)) continue;
      for (const std::string& heading :
           {std::string(m.title) + " " + word, std::string(word) + " " + m.title,
            std::string(m.snake) + "_" + word, std::string(m.title) + " (" + word + ")",
            std::string(m.snake) + "." + word, std::string("data.") + word + "." + m.snake}) {
        CHECK_MESSAGE(told(heading) == "", heading << ": " << told(heading));
      }
    }
  }
}

TEST_CASE("the properties of coolant other than its temperature are not coolant") {
  for (const char* property : {"level", "pressure", "flow", "pump speed", "valve", "hose", "volume",
                               "concentration", "type", "low", "lamp", "fan", "thermostat"}) {
    const std::string heading = std::string("Engine coolant ") + property;
    CHECK_MESSAGE(told(heading).find("coolant") == std::string::npos, heading);
  }
}

TEST_CASE("time and speeds name their unit by themselves, and an hour meter is no clock") {
  CHECK(told("Minutes") == "time min");
  CHECK(told("hours") == "time h");
  CHECK(told("Seconds") == "time s");
  CHECK(told("milliseconds") == "time ms");
  CHECK(told("seconds since start") == "time s");
  CHECK(told("Stunden") == "time h");
  CHECK(told("Hora") == "time");
  CHECK(told("Heure") == "time");
  CHECK(told("Time of day") == "time");
  CHECK(told("Time (hh:mm:ss)") == "time");
  CHECK(told("Datum [TT.MM.JJJJ]") == "date");
  CHECK(told("km/h") == "speed km/h");
  CHECK(told("U/min") == "rpm rpm");
  CHECK(told("Engine hours") == "");
  CHECK(told("Betriebsstunden") == "");
}

TEST_CASE("an address agrees with the name beside it, or the heading means nothing") {
  CHECK(told("PID 05 Engine coolant temperature") == "coolant");
  CHECK(told("SPN 110 - Engine Coolant Temperature [°C]") == "coolant °C");
  CHECK(told("spn190_engine_speed") == "rpm");
  CHECK(told("Temperature (SPN 110)") == "coolant");
  CHECK(told("Temperature (PID 0F) [°C]") == "intake °C");
  CHECK(told("SPN 175 Engine coolant temperature") == "");
  CHECK(told("Engine coolant temperature (SPN 175)") == "");
  CHECK(told("PID 9A Engine coolant temperature") == "coolant"); // an unknown address says nothing
  CHECK(told("Mode 01 PID 05") == "coolant");
  CHECK(told("PID 06") == "");
  CHECK(told("PID 2") == "");
}

TEST_CASE("a phrase that needs a unit takes it from the units row too") {
  CHECK(told("fan speed") == "");
  CHECK(told("fan speed [%]") == "fan %");
  CHECK(told("fan speed [rpm]") == "");
  CHECK(told("fan speed", "%") == "fan");
  CHECK(told("fan speed", "rpm") == "");
}

TEST_CASE("fillers alone are the cells of long tables, and never more than that") {
  CHECK(told("Value") == "value");
  CHECK(told("data") == "frame");
  CHECK(told("Sensor") == "signal");
  CHECK(told("Reading") == "value");
  CHECK(told("PID") == "identifier");
  CHECK(told("CAN ID (hex)") == "identifier");
  CHECK(told("Data (hex)") == "frame");
  CHECK(told("Unit") == "unit");
  CHECK(told("data sensor") == "");
  CHECK(told("coolant data") == "coolant");
  CHECK(told("sensor voltage") == "");
  CHECK(told("value max") == "");
}
