// SPDX-License-Identifier: Apache-2.0
// The names and numbers of standard parameters as headings: each its role, and no other.
// Sources: SAE J1979 / ISO 15031-5 service 01 (PIDs 04, 05, 0B, 0C, 0D, 0F, 10, 11 as in a public
// table of ISO 15031-5, the others from memory); SAE J1939-71 (numbers, names and units as in a
// public open table of SPNs).
#include "import/heading.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <iterator>
#include <string>
#include <string_view>

using namespace coolband;

namespace {

struct Parameter {
  const char* number; ///< two hexadecimal digits of a PID, or an SPN
  const char* name;
  const char* unit;
  const char* role; ///< empty: none of the roles
};

constexpr Parameter k_pids[] = {
    {"04", "calculated load", "%", "load"},
    {"05", "coolant temperature", "C", "coolant"},
    {"0B", "manifold abs. pressure", "kPa", ""},
    {"0C", "engine speed", "rpm", "rpm"},
    {"0D", "vehicle speed", "km/h", "speed"},
    {"0F", "intake air temperature", "C", "intake"},
    {"10", "air mass flow", "g/s", ""},
    {"11", "throttle position", "%", "throttle"},
    {"1F", "run time since start", "s", "time"},
    {"2F", "fuel level", "%", ""},
    {"33", "barometric pressure", "kPa", ""},
    {"42", "module voltage", "V", ""},
    {"43", "absolute load", "%", "load"},
    {"46", "ambient air temperature", "C", "ambient"},
    {"5C", "engine oil temperature", "C", "oil"},
    {"5E", "engine fuel rate", "L/h", ""},
    {"67", "coolant temperature", "C", "coolant"},
};

constexpr Parameter k_spns[] = {
    {"110", "engine coolant temperature", "C", "coolant"},
    {"1637", "engine coolant temperature (high resolution)", "C", "coolant"},
    {"175", "engine oil temperature 1", "C", "oil"},
    {"174", "fuel temperature 1", "C", ""},
    {"52", "intercooler temperature", "C", ""},
    {"92", "percent load at current speed", "%", "load"},
    {"91", "accelerator position 1", "%", ""},
    {"190", "engine speed", "rpm", "rpm"},
    {"513", "actual engine percent torque", "%", "load"},
    {"84", "wheel-based vehicle speed", "km/h", "speed"},
    {"171", "ambient air temperature", "C", "ambient"},
    {"172", "air inlet temperature", "C", "intake"},
    {"108", "barometric pressure", "kPa", ""},
    {"105", "intake manifold 1 temperature", "C", "intake"},
    {"109", "engine coolant pressure", "kPa", ""},
    {"111", "engine coolant level", "%", ""},
    {"975", "estimated percent fan speed", "%", "fan"},
    {"1639", "fan speed", "rpm", ""},
    {"977", "fan drive state", "", ""}, // an enumeration, neither % nor on and off
    {"986", "requested percent fan speed", "%", ""},
    {"183", "engine fuel rate", "L/h", ""},
    {"247", "total engine hours", "h", ""},
};

std::string role_of(const std::string& heading) {
  const auto reading = read_heading(heading, vocabulary());
  if (!reading) return "";
  REQUIRE_MESSAGE(reading->sense.meaning == Meaning::role, heading);
  return std::string(name_of(reading->sense.role));
}

std::string capitals(std::string text) {
  for (char& c : text) c = c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c;
  return text;
}

void check_names(const Parameter& p, const std::string& address) {
  const std::string name = p.name;
  const std::string unit = p.unit;
  for (const std::string& heading :
       {name, capitals(name), name + " (" + unit + ")", name + " [" + unit + "]",
        address + " " + name, name + " (" + address + ")"}) {
    CHECK_MESSAGE(role_of(heading) == p.role, heading << ": " << role_of(heading));
  }
}

} // namespace

TEST_CASE("the names of SAE J1979 parameters give their role and nothing else") {
  for (const Parameter& p : k_pids) check_names(p, std::string("PID ") + p.number);
}

TEST_CASE("the names of SAE J1939 parameters give their role and nothing else") {
  for (const Parameter& p : k_spns) check_names(p, std::string("SPN ") + p.number);
}

TEST_CASE("the number of a PID alone gives its role") {
  for (const Parameter& p : k_pids) {
    const std::string n = p.number;
    for (const std::string& heading : {"PID " + n, "pid_" + n, "PID" + n, "PID 0x" + n, "01" + n,
                                       "01 " + n, "Mode 01 PID " + n, "Service 01 PID " + n}) {
      CHECK_MESSAGE(role_of(heading) == p.role, heading << ": " << role_of(heading));
    }
  }
}

TEST_CASE("no other PID of one byte is taken for a role by its number") {
  // From memory: 45, 47 and 48 are further throttle positions, 68 is intake air of two sensors.
  const std::string more = " 45 47 48 68 ";
  for (unsigned pid = 0; pid < 256; ++pid) {
    constexpr std::string_view digits = "0123456789ABCDEF";
    const std::string n{digits[pid / 16], digits[pid % 16]};
    const bool known = std::any_of(std::begin(k_pids), std::end(k_pids),
                                   [&](const Parameter& p) { return p.number == n && *p.role; });
    const bool article = n == "DA" || n == "DE"; // "PID de ...": the word before it is left
    if (known || article || more.find(" " + n + " ") != std::string::npos) continue;
    for (const std::string& heading : {"PID " + n, "pid" + n, "01" + n, "01 " + n, "PID 0x" + n})
      CHECK_MESSAGE(role_of(heading) == "", heading << ": " << role_of(heading));
  }
  CHECK(role_of("PID 0") == "");
  CHECK(role_of("010") == "");
}

TEST_CASE("the number of an SPN alone gives its role") {
  for (const Parameter& p : k_spns) {
    const std::string n = p.number;
    for (const std::string& heading : {"SPN " + n, "SPN" + n, "spn_" + n, "SPN-" + n})
      CHECK_MESSAGE(role_of(heading) == p.role, heading << ": " << role_of(heading));
  }
}

TEST_CASE("the measured road speed and the calculated load come before their substitutes") {
  const auto tier = [](const char* heading) {
    return read_heading(heading, vocabulary())->sense.tier;
  };
  CHECK(tier("wheel-based vehicle speed") < tier("navigation-based vehicle speed"));
  CHECK(tier("calculated load") < tier("absolute load"));
  CHECK(tier("percent load at current speed") < tier("actual engine percent torque"));
  CHECK(tier("air inlet temperature") < tier("intake manifold 1 temperature"));
}
