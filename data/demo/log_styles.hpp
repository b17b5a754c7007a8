// SPDX-License-Identifier: Apache-2.0
// A simulated drive as the text that one of the demo's three invented loggers would write.
#pragma once

#include "support/drive_simulator.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::testing {

enum class Style { csv_snake, csv_prose, csv_comma, json_lines, json_array, json_columns };

struct Scene {
  std::string file; ///< below the vehicle's folder
  Style style = Style::csv_snake;
  std::string date;
  int start_minute = 0; ///< of the day
  DrivePlan plan;
  FaultPlan fault;
};

/// Half up, and never "-0".
inline std::string number(double value, int decimals) {
  const double scale = std::pow(10.0, decimals);
  const double rounded = std::floor(value * scale + 0.5) / scale;
  return fmt::format("{:.{}f}", rounded + 0.0, decimals);
}

inline std::string reading(float value_c, int decimals) {
  return std::isnan(value_c) ? std::string() : number(static_cast<double>(value_c), decimals);
}

inline std::string clock_text(const Scene& scene, float time_s) {
  const int second = scene.start_minute * 60 + static_cast<int>(time_s);
  return fmt::format("{}T{:02}:{:02}:{:02}", scene.date, second / 3600, second / 60 % 60,
                     second % 60);
}

/// Outside air as such a sensor tells it: to half a degree.
inline double outside_c(const DriveLog& log, std::size_t i) {
  return std::floor(static_cast<double>(log.ambient_c[i]) * 2.0 + 0.5) / 2.0;
}

inline std::string conditions(const DriveLog& log, std::size_t i) {
  return fmt::format("{},{},{},{},{}", number(outside_c(log, i), 1), number(log.load_pct[i], 0),
                     number(log.rpm[i], 0), number(log.speed_kmh[i], 0),
                     number(log.altitude_m[i], 0));
}

inline std::string snake_text(const Scene& scene, const DriveLog& log, std::string_view vehicle) {
  std::string text = fmt::format("# INVENTED demo data: {}, rangers of Tarn Vale (see README.md)\n"
                                 "timestamp,coolant_temp_c,ambient_temp_c,engine_load_pct,"
                                 "engine_rpm,speed_kmh,altitude_m\n",
                                 vehicle);
  for (std::size_t i = 0; i < log.size(); ++i) {
    fmt::format_to(std::back_inserter(text), "{},{},{}\n", clock_text(scene, log.time_s[i]),
                   reading(log.coolant_c[i], 0), conditions(log, i));
  }
  return text;
}

inline std::string prose_text(const Scene& scene, const DriveLog& log, std::string_view vehicle) {
  std::string text = fmt::format("# INVENTED demo data: {}, rangers of Tarn Vale (see README.md)\n"
                                 "# Trip of {}\n"
                                 "Time [s],Coolant temperature [°C],Outside air temperature [°C],"
                                 "Engine load [%],Engine speed [rpm],Road speed [km/h],"
                                 "Altitude [m]\n",
                                 vehicle, scene.date);
  for (std::size_t i = 0; i < log.size(); ++i) {
    fmt::format_to(std::back_inserter(text), "{},{},{}\n", number(log.time_s[i], 0),
                   reading(log.coolant_c[i], 0), conditions(log, i));
  }
  return text;
}

inline std::string comma_text(const Scene& scene, const DriveLog& log, std::string_view vehicle) {
  std::string text = fmt::format("# INVENTED demo data: {}, rangers of Tarn Vale (see README.md)\n"
                                 "Date and time;Coolant temp. (°C)\n",
                                 vehicle);
  for (std::size_t i = 0; i < log.size(); ++i) {
    std::string coolant = reading(log.coolant_c[i], 1);
    if (const auto dot = coolant.find('.'); dot != std::string::npos) coolant[dot] = ',';
    fmt::format_to(std::back_inserter(text), "{};{}\n", clock_text(scene, log.time_s[i]), coolant);
  }
  return text;
}

/// Column names of the van's logger, and the values in its units: °F and mph.
struct JsonColumn {
  std::string_view name;
  std::string (*value)(const DriveLog&, std::size_t);
};

inline std::string fahrenheit(double value_c, int decimals) {
  return number(value_c * 1.8 + 32.0, decimals);
}

inline const std::vector<JsonColumn>& json_columns() {
  static const std::vector<JsonColumn> columns{
      {"elapsedTime[s]", [](const DriveLog& l, std::size_t i) { return number(l.time_s[i], 0); }},
      {"coolantTemp[°F]",
       [](const DriveLog& l, std::size_t i) {
         const auto coolant_c = static_cast<double>(l.coolant_c[i]);
         return std::isnan(coolant_c) ? std::string("null") : fahrenheit(coolant_c, 0);
       }},
      {"outsideTemp[°F]",
       [](const DriveLog& l, std::size_t i) { return fahrenheit(outside_c(l, i), 0); }},
      {"engineLoad[%]", [](const DriveLog& l, std::size_t i) { return number(l.load_pct[i], 0); }},
      {"engineSpeed[rpm]", [](const DriveLog& l, std::size_t i) { return number(l.rpm[i], 0); }},
      {"vehicleSpeed[mph]",
       [](const DriveLog& l, std::size_t i) {
         return number(static_cast<double>(l.speed_kmh[i]) / 1.609344, 0);
       }},
  };
  return columns;
}

inline std::string json_object(const DriveLog& log, std::size_t i) {
  std::string text = "{";
  for (const JsonColumn& column : json_columns()) {
    fmt::format_to(std::back_inserter(text), "{}\"{}\":{}", text.size() > 1 ? "," : "", column.name,
                   column.value(log, i));
  }
  return text + "}";
}

inline std::string json_lines_text(const DriveLog& log) {
  std::string text;
  for (std::size_t i = 0; i < log.size(); ++i) text += json_object(log, i) + "\n";
  return text;
}

inline std::string json_array_text(const DriveLog& log) {
  std::string text = "[\n";
  for (std::size_t i = 0; i < log.size(); ++i) {
    text += json_object(log, i) + (i + 1 < log.size() ? ",\n" : "\n");
  }
  return text + "]\n";
}

inline std::string json_columns_text(const DriveLog& log) {
  std::string text = "{";
  for (const JsonColumn& column : json_columns()) {
    fmt::format_to(std::back_inserter(text), "{}\n\"{}\": [", text.size() > 1 ? "," : "",
                   column.name);
    for (std::size_t i = 0; i < log.size(); ++i) {
      text += (i > 0 ? "," : "") + column.value(log, i);
    }
    text += "]";
  }
  return text + "\n}\n";
}

inline std::string scene_text(const Scene& scene, const Vehicle& vehicle, std::string_view name) {
  const DriveLog log = simulate_drive(vehicle, scene.plan, scene.fault);
  switch (scene.style) {
  case Style::csv_snake: return snake_text(scene, log, name);
  case Style::csv_prose: return prose_text(scene, log, name);
  case Style::csv_comma: return comma_text(scene, log, name);
  case Style::json_lines: return json_lines_text(log);
  case Style::json_array: return json_array_text(log);
  case Style::json_columns: return json_columns_text(log);
  }
  return {};
}

} // namespace coolband::testing
