// SPDX-License-Identifier: Apache-2.0
// Which log, which vehicle, and how it was read, in words that every report shares.
#pragma once

#include "coolband/report/report.hpp"

#include <string>
#include <vector>

namespace coolband {

/// "tour.csv, 2031-06-01T08:00:00, 52 min, 41.2 km, every 1 s"
std::string trip_words(const Recording& recording, const Trip& trip);

/// "tour.csv, 2031-06-01T08:00:00": without the folder, and no more than tells trips apart.
std::string short_trip_words(const Recording& recording, const Trip& trip);

/// Id and label; empty when nothing names the vehicle.
std::string vehicle_words(const TripReport& report);
/// The id alone: of the profile, else the band, else the log's own column; may be empty.
std::string vehicle_id(const TripReport& report);

/// "csv, gzip, UTF-16, long": the outer form of the input, as far as it is known.
std::string form_words(const HowRead& how);

/// "csv, comma; time = 'time_s' [s]; coolant = 'coolant_c' [°C]; …"
std::string reading_words(const HowRead& how);
/// What is not as usual of the form, the coolant column, those whose unit no heading tells, and the
/// number of the rest.
std::string reading_in_short(const HowRead& how);

/// "3 rows: time not readable (first: row 17, line 21)"
/// `noun` is what an item counts: "row" or "cell".
std::vector<std::string> set_aside_words(const std::vector<SetAside>& items, std::string_view noun);

/// The time between two rows: "0.25 s", "2 s", "122 s".
std::string seconds_words(double seconds);

} // namespace coolband
