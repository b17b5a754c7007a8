// SPDX-License-Identifier: Apache-2.0
// Everything that is known, as strings. Nothing here opens a file or asks a clock: the same input
// gives the same bytes.
#pragma once

#include "coolband/analyse.hpp"
#include "coolband/repair/advice.hpp"

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace coolband {

/// One line of a job card, carried through as it is.
struct JobField {
  std::string key; ///< "number", "complaint", "odometer_km", "date", ...
  std::variant<std::string, std::int64_t, double> value;
};
using JobCard = std::vector<JobField>;

/// One trip's report: views of the stages' results, which must outlive it.
struct TripReport {
  const Recording& recording;
  const TripFinding& finding;
  const std::optional<VehicleProfile>& profile;
  Advice advice;
  bool explain = false; ///< show the chain of reasons as well
  JobCard job = {};     ///< empty: none was given
};

TripReport make_report(const Recording& recording, const TripFinding& finding,
                       const std::optional<VehicleProfile>& profile);

struct TextStyle {
  int width = 80;      ///< columns, 40 or more
  bool colour = false; ///< ANSI; never the only carrier of a meaning
  bool ascii = false;  ///< pictures in plain characters
};

/// One screen for a person; longer with `TripReport::explain`. Ends with a newline.
std::string render_text(const TripReport& report, const TextStyle& style);

/// `coolband.report/1` as one object, indented (`indent` >= 0) or on one line (-1). No newline at
/// the end.
std::string render_json(const TripReport& report, int indent);

/// What a page of HTML says of one trip. It holds its own texts: the report may go.
struct TripPage {
  std::string id; ///< unique within the page
  Action action = Action::none;
  std::string vehicle;
  std::string name;  ///< of the trip, in short
  std::string about; ///< which trip
  std::string headline;
  std::string condition;
  std::string banner;                                        ///< HTML
  std::vector<std::pair<std::string, std::string>> sections; ///< heading, HTML
};
/// `number` tells the trips of one page apart.
TripPage page_of(const TripReport& report, std::size_t number);

/// So many trips are shown in full on one page; the rest only stands in its table.
inline constexpr std::size_t k_most_trip_pages = 25;
/// Adds a trip; of too many, the least urgent loses its sections.
void keep_page(std::vector<TripPage>& trips, TripPage page);

/// One self-contained page on a trip, or on several with a table before them. `band` may be null.
std::string render_html(const std::vector<TripPage>& trips, const JobCard& job,
                        const NormalBand* band);

/// How a log was read and what can be judged from it, for a person or as `coolband.inspection/1`.
std::string render_inspection(const Recording& recording, const std::vector<TripFinding>& findings,
                              const TextStyle& style);
std::string render_inspection_json(const Recording& recording,
                                   const std::vector<TripFinding>& findings, int indent);

/// What `learn` tells a person of a new band.
std::string render_band(const NormalBand& band, const std::vector<LearningDrive>& too_short,
                        const TextStyle& style);

/// The band as one SVG: coolant over load and over outside temperature, with the drives behind it.
/// No newline at the end.
std::string draw_band(const NormalBand& band);

/// One trip over time as one SVG: coolant with the band as it moves with the conditions, episodes,
/// boiling and first openings; below, opening, load, road speed and outside temperature. However
/// long the trip, less than half a megabyte. `id` begins the ids in it. No newline at the end.
std::string draw_trip(const TripReport& report, const std::string& id = "trip");

/// One trip's apparent valve curve as one SVG: what the radiator must have carried by the balance
/// of heat, against coolant temperature, road speed and time. No newline at the end.
std::string draw_valve(const TripReport& report, const std::string& id = "valve");

/// True, false or unknown: would the dash needle have hidden the finding? A typical needle does not
/// visibly move between 70 and 90 °C (common practice, no source).
std::optional<bool> hidden_from_dash_needle(const Judgement& judgement);

} // namespace coolband
