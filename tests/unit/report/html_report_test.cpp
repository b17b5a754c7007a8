// SPDX-License-Identifier: Apache-2.0
// The page of one trip and of many: what it holds, and that it stays within bounds.
#include "coolband/report/report.hpp"
#include "report/confidence_words.hpp"

#include "support/texts.hpp"
#include "unit/diagnose/made_trips.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

TripPage page(std::size_t number, Action action = Action::none) {
  static const NormalBand band = made_band();
  TripFinding finding{MadeTrip{}.add(60, {}).add(60, {.coolant = 60.0F}).take(), band, {}};
  const Recording recording = recording_for(finding.trip);
  finding.judgement = judge(recording, finding.trip, band, std::nullopt);
  finding.judgement.action = action;
  finding.judgement.headline = "headline " + std::to_string(number);
  const std::optional<VehicleProfile> no_profile;
  return page_of(make_report(recording, finding, no_profile), number);
}

} // namespace

TEST_CASE("the page of one trip: verdict, then what to do, then the rest") {
  const std::string html =
      render_html({page(1, Action::service)}, {{"number", "A-12"}, {"odometer_km", 5.5}}, nullptr);
  std::size_t at = 0;
  for (const char* part :
       {"<title>Cooling report: V</title>", "class=\"banner service\"", "headline 1", ">Job<",
        "A-12", "5.5\xC2\xA0km", ">What to do<", ">Why<", "Causes, the most probable first",
        ">The trip<", "trip-1-time-title", ">Episodes<", ">The numbers<",
        ">What the log could not show<", "All the evidence", ">How the log was read<", "</html>"}) {
    INFO(part);
    const std::size_t found = html.find(part, at);
    REQUIRE(found != std::string::npos);
    at = found;
  }
  CHECK(times_in(html, "<article") == 0);
}

TEST_CASE("several trips: the worst first, a table with links, a part for each") {
  const NormalBand band = made_band();
  const std::string html =
      render_html({page(1), page(2, Action::stop), page(3, Action::monitor)}, {}, &band);
  CHECK(html.find("class=\"banner stop\"") < html.find(">All trips<"));
  CHECK(times_in(html, "<article") == 3);
  CHECK(times_in(html, "<h1>") == 1);
  CHECK(times_in(html, "href=\"#trip-2\"") == 1);
  CHECK(times_in(html, "id=\"trip-2\"") == 1);
  CHECK(times_in(html, "band-title\"") == 2); // once said, once referred to
  CHECK(html.find("1 of 3 trips call for this") != std::string::npos);
}

TEST_CASE("of very many trips the urgent ones are shown, and all are listed") {
  std::vector<TripPage> trips;
  const TripPage calm = page(1);
  for (std::size_t i = 0; i < 2 * k_most_trip_pages; ++i) {
    TripPage trip = calm;
    trip.id = "trip-" + std::to_string(i);
    if (i % 10 == 9) trip.action = Action::service;
    keep_page(trips, std::move(trip));
  }
  CHECK(trips.size() == 2 * k_most_trip_pages);
  std::size_t shown = 0;
  for (const TripPage& trip : trips) {
    shown += trip.sections.empty() ? 0U : 1U;
    if (trip.action == Action::service) CHECK_FALSE(trip.sections.empty());
  }
  CHECK(shown == k_most_trip_pages);
  const std::string html = render_html(trips, {}, nullptr);
  CHECK(times_in(html, "<article") == k_most_trip_pages);
  CHECK(html.find("The 25 most urgent trips follow in full") != std::string::npos);
}

TEST_CASE("probabilities in words at the borders of the scale") {
  CHECK(confidence_words(1.0) == "virtually certain, over 99 %");
  CHECK(confidence_words(0.95) == "extremely likely, 95 %");
  CHECK(confidence_words(0.90) == "very likely, 90 %");
  CHECK(confidence_words(0.66) == "likely, 66 %");
  CHECK(confidence_words(0.5) == "more likely than not, 50 %");
  CHECK(confidence_words(0.33) == "about as likely as not, 33 %");
  CHECK(confidence_words(0.1) == "unlikely, 10 %");
  CHECK(confidence_words(0.0) == "very unlikely, below 1 %");
}
