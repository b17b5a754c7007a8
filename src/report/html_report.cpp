// SPDX-License-Identifier: Apache-2.0
// One page of HTML on one trip or several.
#include "coolband/report/report.hpp"
#include "report/job_words.hpp"
#include "report/page.hpp"
#include "report/reading_words.hpp"

#include <fmt/core.h>

#include <algorithm>

namespace coolband {

namespace {

std::string title_of(const std::vector<TripPage>& trips) {
  const std::string& vehicle = trips.front().vehicle;
  const bool one = std::all_of(trips.begin(), trips.end(),
                               [&](const TripPage& trip) { return trip.vehicle == vehicle; });
  return one && !vehicle.empty() ? "Cooling report: " + vehicle : "Cooling report";
}

void add_job(HtmlPage& page, const JobCard& job) {
  if (job.empty()) return;
  page.section("Job");
  page.facts(job_pairs(job));
}

void add_sections(HtmlPage& page, const TripPage& trip) {
  for (const auto& [heading, html] : trip.sections) {
    page.section(heading);
    page.add(html);
  }
}

void add_band(HtmlPage& page, const NormalBand* band) {
  if (band == nullptr) return;
  page.section("What is normal for this vehicle");
  page.picture(draw_band(*band), "The band that the vehicle is judged by, against load and outside "
                                 "temperature, with the drives that it was learned from.");
}

std::size_t urgency(const TripPage& trip) { return static_cast<std::size_t>(trip.action); }

/// Those that get a part of their own: the most urgent, in the order of the logs.
std::vector<const TripPage*> shown_of(const std::vector<TripPage>& trips) {
  std::vector<const TripPage*> shown;
  for (const TripPage& trip : trips) {
    if (!trip.sections.empty()) shown.push_back(&trip);
  }
  return shown;
}

PageTable summary_of(const std::vector<TripPage>& trips) {
  constexpr std::size_t k_most_rows = 500;
  PageTable table{
      "In the order of the logs", {"trip", "action", "condition", "finding"}, {}, {}, {}, true};
  for (const TripPage& trip : trips) {
    if (table.rows.size() == k_most_rows) break;
    table.rows.push_back(
        {trip.name, std::string(name_of(trip.action)), trip.condition, trip.headline});
    table.links.push_back(trip.sections.empty() ? "" : trip.id);
  }
  if (trips.size() > k_most_rows)
    table.caption += fmt::format(" (the first {} of {})", k_most_rows, trips.size());
  return table;
}

void add_worst(HtmlPage& page, const std::vector<TripPage>& trips) {
  const auto worst = std::max_element(trips.begin(), trips.end(), [](const auto& a, const auto& b) {
    return urgency(a) < urgency(b);
  });
  const auto as_bad = std::count_if(trips.begin(), trips.end(), [&](const TripPage& trip) {
    return trip.action == worst->action;
  });
  page.banner(worst->action, worst->headline,
              fmt::format("{} of {} trips call for this; the first of them: {}", as_bad,
                          trips.size(), worst->name));
}

std::string render_one(const TripPage& trip, const JobCard& job, const NormalBand* band) {
  HtmlPage page(title_of({trip}), trip.about);
  page.add(trip.banner);
  add_job(page, job);
  add_sections(page, trip);
  add_band(page, band);
  return page.finished();
}

} // namespace

void keep_page(std::vector<TripPage>& trips, TripPage page) {
  trips.push_back(std::move(page));
  const auto shown = std::count_if(trips.begin(), trips.end(),
                                   [](const TripPage& trip) { return !trip.sections.empty(); });
  if (shown <= static_cast<std::ptrdiff_t>(k_most_trip_pages)) return;
  // Of the least urgent the last one is left to the table.
  TripPage* least = nullptr;
  for (TripPage& trip : trips) {
    if (trip.sections.empty()) continue;
    if (least == nullptr || trip.action <= least->action) least = &trip;
  }
  if (least != nullptr) least->sections.clear();
}

std::string render_html(const std::vector<TripPage>& trips, const JobCard& job,
                        const NormalBand* band) {
  if (trips.size() == 1) return render_one(trips.front(), job, band);
  HtmlPage page(title_of(trips), fmt::format("{} trips", trips.size()));
  add_worst(page, trips);
  add_job(page, job);
  page.section("All trips");
  page.table(summary_of(trips));
  const auto shown = shown_of(trips);
  if (shown.size() < trips.size()) {
    page.paragraph(fmt::format("The {} most urgent trips follow in full; check the others one by "
                               "one, or as JSON.",
                               shown.size()));
  }
  add_band(page, band);
  for (const TripPage* trip : shown) {
    page.part(trip->name, trip->id);
    page.paragraph(trip->about);
    page.add(trip->banner);
    add_sections(page, *trip);
  }
  return page.finished();
}

} // namespace coolband
