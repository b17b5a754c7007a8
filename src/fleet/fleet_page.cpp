// SPDX-License-Identifier: Apache-2.0
// The fleet on one page: one row a vehicle, the gravest first, each with a small picture.
#include "fleet/fleet_report.hpp"

#include "fleet/fleet_words.hpp"
#include "fleet/judge_log.hpp"
#include "fleet/percent_code.hpp"
#include "report/layout.hpp"
#include "report/page.hpp"
#include "report/svg_canvas.hpp"

#include <algorithm>

#include <fmt/core.h>

namespace coolband {

namespace {

/// More rows no browser shows with ease; the JSON has all.
constexpr std::size_t k_most_rows = 2000;

std::vector<TripOfLog> latest_of(const VehicleRecord& vehicle) {
  std::vector<TripOfLog> trips = trips_in_time(vehicle);
  if (trips.size() > k_latest_trips)
    trips.erase(trips.begin(), trips.end() - static_cast<std::ptrdiff_t>(k_latest_trips));
  return trips;
}

/// What the picture shows, in numbers.
struct Course {
  std::vector<double> medians; ///< °C, of the latest trips that have one
  double low = 0.0;            ///< of the picture
  double high = 0.0;
};

Course course_of(const VehicleRecord& vehicle) {
  Course course;
  for (const TripOfLog& trip : latest_of(vehicle)) {
    if (trip.trip->median_c) course.medians.push_back(*trip.trip->median_c);
  }
  if (course.medians.empty()) return course;
  const auto [low, high] = std::minmax_element(course.medians.begin(), course.medians.end());
  course.low = std::min(*low, vehicle.band.lower_c.value_or(*low)) - 1.0;
  course.high = std::max(*high, vehicle.band.upper_c.value_or(*high)) + 1.0;
  return course;
}

std::string course_words(const VehicleRecord& vehicle, const Course& course) {
  const auto [low, high] = std::minmax_element(course.medians.begin(), course.medians.end());
  std::string text =
      fmt::format("{} of {}: {:.1f} to {:.1f} °C, the latest {:.1f} °C",
                  course.medians.size() == 1 ? "median" : "medians",
                  counted(course.medians.size(), "trip"), *low, *high, course.medians.back());
  if (vehicle.band.lower_c)
    text += fmt::format("; band {:.1f} to {:.1f} °C", *vehicle.band.lower_c, *vehicle.band.upper_c);
  return text;
}

/// The trips' medians by time, before the band where there is one.
std::string course_picture(const VehicleRecord& vehicle, std::size_t row) {
  const Course course = course_of(vehicle);
  if (course.medians.empty()) return "–";
  constexpr double k_width = 150.0;
  constexpr double k_height = 36.0;
  SvgCanvas canvas(fmt::format("course-{}", row), {k_width, k_height}, "Median of each trip",
                   course_words(vehicle, course));
  const Scale y{course.low, course.high, k_height - 3.0, 3.0};
  if (vehicle.band.lower_c && vehicle.band.upper_c) {
    const double top = y.at(*vehicle.band.upper_c);
    const double bottom = y.at(*vehicle.band.lower_c);
    canvas.path({{0.0, top}, {k_width, top}, {k_width, bottom}, {0.0, bottom}}, true,
                {.fill = "#cfe2f1"});
  }
  const Scale x{0.0, std::max(1.0, static_cast<double>(course.medians.size() - 1)), 6.0,
                k_width - 6.0};
  std::vector<Spot> spots;
  for (std::size_t i = 0; i < course.medians.size(); ++i)
    spots.push_back({x.at(static_cast<double>(i)), y.at(course.medians[i])});
  canvas.path(spots, false, {.stroke = "#0a3d62", .width = 1.5});
  const bool well = vehicle.state.action == Action::none;
  canvas.circle(spots.back(), 3.5, {.fill = well ? "#0a3d62" : "#c44e00"});
  return canvas.take();
}

std::string trip_words(const TripOfLog& trip) {
  const std::string name = trip.log->path.substr(trip.log->path.find_last_of('/') + 1);
  std::string text = name;
  if (trip.log->trips.size() > 1) text += fmt::format(" trip {}", trip.number);
  if (!trip.trip->start.empty()) text += ", " + trip.trip->start;
  return text + ": " + action_words(trip.trip->action);
}

/// Of a path: unreserved characters and the slash (RFC 3986, section 2.3).
constexpr std::string_view k_plain_in_links = "/._-~";

/// The trip's place in a list of pages; empty where it has none.
std::string page_item(const SummaryOptions& options, const VehicleRecord& vehicle,
                      const TripOfLog& trip) {
  FleetSettings settings;
  settings.pages = options.pages;
  settings.pages_for_all = options.pages_for_all;
  if (!wants_page(settings, *trip.trip)) return "";
  const std::string page = options.pages + "/" + page_path(vehicle.id, trip.log->path, trip.number);
  return fmt::format("<li><a href=\"{}\">{}</a></li>\n",
                     xml_escaped(percent_encoded(page, k_plain_in_links)),
                     xml_escaped(trip_words(trip)));
}

/// The number of trips; where pages are written, those that have one.
std::string trips_cell(const VehicleRecord& vehicle, const SummaryOptions& options) {
  std::string words = counted(vehicle.state.trips, "trip");
  if (options.pages.empty()) return words;
  std::string items;
  const std::vector<TripOfLog> trips = latest_of(vehicle);
  for (auto trip = trips.rbegin(); trip != trips.rend(); ++trip)
    items += page_item(options, vehicle, *trip);
  if (items.empty()) return words;
  return fmt::format("<details><summary>{}</summary>\n<ul>\n{}</ul>\n</details>", words, items);
}

std::string name_cell(const VehicleRecord& vehicle) {
  std::string html = xml_escaped(vehicle.id);
  if (!vehicle.label.empty()) html += "<br>" + xml_escaped(vehicle.label);
  return html;
}

/// A vehicle and what there is to say of it as one of the fleet.
struct Ranked {
  const VehicleRecord& vehicle;
  const Outlook& outlook;
};

std::string outlook_words(const Outlook& outlook) {
  std::string html;
  if (outlook.trend) html += "<br>Trend: " + xml_escaped(joined(creeping_words(outlook), "; "));
  if (outlook.siblings)
    html += "<br>Among its like: " + xml_escaped(joined(odd_words(outlook), "; "));
  return html;
}

std::string finding_cell(const Ranked& ranked, const SummaryOptions& options, std::size_t run) {
  const VehicleRecord& vehicle = ranked.vehicle;
  const VehicleState& state = vehicle.state;
  if (state.trips == 0) return xml_escaped(not_judged_words(vehicle));
  std::string html = xml_escaped(state.headline) + "<br>" + xml_escaped(ground_words(state));
  html += outlook_words(ranked.outlook);
  if (options.has_store) {
    if (const std::string change = change_words(vehicle, run); !change.empty())
      html += "<br><strong>" + xml_escaped(change) + "</strong>";
  }
  if (vehicle.problem_count() > 0)
    html += "<br>" + counted(vehicle.problem_count(), "problem") + ": see below";
  return html;
}

std::string row_of(const Ranked& ranked, const SummaryOptions& options, std::size_t row,
                   std::size_t run) {
  const VehicleRecord& vehicle = ranked.vehicle;
  const Action action = todo_of(vehicle, ranked.outlook);
  const std::string todo =
      vehicle.state.trips == 0
          ? "not judged"
          : fmt::format("<span class=\"{}\">{}</span>", name_of(action), action_words(action));
  return fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td>"
                     "<td class=\"themed\">{}</td><td>{}</td></tr>\n",
                     name_cell(vehicle), todo, finding_cell(ranked, options, run),
                     course_picture(vehicle, row), trips_cell(vehicle, options));
}

constexpr std::string_view k_table_head =
    "<div class=\"scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Vehicles\">\n<table>\n"
    "<caption>Vehicles, the gravest first. The picture: the median of each of the latest trips, "
    "before the band where the vehicle has one; the dot is the latest.</caption>\n<thead>\n<tr>"
    "<th scope=\"col\">vehicle</th><th scope=\"col\">to do</th><th scope=\"col\">finding</th>"
    "<th scope=\"col\">coolant by trip</th><th scope=\"col\">trips</th></tr>\n</thead>\n<tbody>\n";

struct Rows {
  std::string html;
  std::size_t count = 0;
  std::vector<std::string> problems;
  std::optional<Action> worst; ///< none: no vehicle was judged
  std::string worst_words;
};

void take(Rows& rows, const Ranked& ranked, const SummaryOptions& options, std::size_t run) {
  const VehicleRecord& vehicle = ranked.vehicle;
  if (++rows.count == 1 && vehicle.state.trips > 0) {
    rows.worst = todo_of(vehicle, ranked.outlook);
    rows.worst_words = vehicle.id + ": " + finding_words(vehicle, ranked.outlook);
  }
  if (rows.count <= k_most_rows) rows.html += row_of(ranked, options, rows.count, run);
  for (const Problem& problem : problems_of(vehicle)) {
    if (rows.problems.size() < options.most) rows.problems.push_back(words_of(problem));
  }
}

void add_banner(HtmlPage& page, const FleetCounts& counts, const Rows& rows) {
  if (!rows.worst) return;
  page.banner(*rows.worst,
              *rows.worst == Action::none ? "No vehicle needs anything" : rows.worst_words,
              "In all: " + fleet_state_words(counts));
}

void add_rest(HtmlPage& page, const FleetSummary& summary, const Rows& rows) {
  const FleetCounts& counts = summary.counts();
  if (counts.vehicles > k_most_rows)
    page.paragraph(
        fmt::format("The other {} vehicles are in the JSON.", counts.vehicles - k_most_rows));
  if (counts.problems > 0) {
    page.section("What could not be used");
    page.list(rows.problems);
    if (counts.problems > rows.problems.size())
      page.paragraph(fmt::format("And {} more.", counts.problems - rows.problems.size()));
  }
  page.section("How the vehicles were judged");
  std::vector<std::pair<std::string, std::string>> facts{{"Bands", fleet_band_words(counts)}};
  if (const auto words = creeping_count_words(summary.outlooks()); !words.empty())
    facts.emplace_back("Trends", words);
  if (const auto words = odd_count_words(summary.outlooks()); !words.empty())
    facts.emplace_back("Siblings", words);
  if (counts.rows_set_aside > 0)
    facts.emplace_back("Rows", counted(counts.rows_set_aside, "row") + " set aside while reading");
  if (counts.passed_over > 0)
    facts.emplace_back("Passed by",
                       counted(counts.passed_over, "file") + " whose names are no log's");
  page.facts(facts);
}

} // namespace

Result<std::string> render_fleet_html(const FleetSummary& summary, const SummaryOptions& options) {
  const FleetCounts& counts = summary.counts();
  Rows rows;
  for (const Problem& problem : summary.problems()) rows.problems.push_back(words_of(problem));
  if (auto error =
          summary.for_each_with_outlook([&](const VehicleRecord& vehicle, const Outlook& outlook) {
            take(rows, {vehicle, outlook}, options, summary.run());
            return true;
          }))
    return *error;
  HtmlPage page("Fleet", fleet_size_words(counts));
  add_banner(page, counts, rows);
  page.section("Vehicles");
  page.add(std::string(k_table_head) + rows.html + "</tbody>\n</table>\n</div>\n");
  add_rest(page, summary, rows);
  return page.finished();
}

} // namespace coolband
