// SPDX-License-Identifier: Apache-2.0
// The proof of a repair in every form: one screen, sound JSON, a picture that stays in its frame
// and a page, whatever the names.
#include "report/verification_report.hpp"

#include "report/history_report.hpp"
#include "report/picture_colours.hpp"
#include "support/texts.hpp"
#include "unit/repair/made_proofs.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <string>

using namespace coolband;
using namespace coolband::testing;

namespace {

constexpr const char* k_hostile_name = "<b>\"x\" & 'y'</b>\x1b[31m.csv";

struct Made {
  NormalBand band = proof_band();
  Verification verification;
  VerificationReport report{verification, band, "V", {}};

  explicit Made(const ProofDrives& drives) : verification(verify(drives, band, {})) {}
};

ProofDrives many(std::size_t count) {
  ProofDrives drives;
  for (std::size_t i = 0; i < count; ++i) {
    drives.before.push_back(faulty_drive(-10.0, "f.csv"));
    drives.after.push_back(sound_drive(i % 2 == 0 ? 0.2 : -0.2, "s.csv"));
  }
  return drives;
}

} // namespace

TEST_CASE("the text fits a screen and answers each question") {
  const Made made(proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3})));
  const std::string text = render_verification(made.report, {});
  for (const char* label : {"VERDICT    verified", "FAULT GONE yes", "LEVEL OK   yes",
                            "WARM-UP OK yes", "AIR GONE   yes", "BEFORE     drive"})
    CHECK(text.find(label) != std::string::npos);
  CHECK(times_in(text, "\n") <= 45);
  const Made bad(many(60));
  CHECK(times_in(render_verification(bad.report, {}), "\n") <= 45);
  CHECK(render_verification(bad.report, {}).find("and 54 earlier drives") != std::string::npos);
}

TEST_CASE("the hottest reading is told where the terminal is wide enough") {
  const Made made(proof_of(faulty_drives(1), sound_drives({0.1})));
  CHECK(render_verification(made.report, {60}).find("hottest") == std::string::npos);
  CHECK(render_verification(made.report, {100}).find("84.0") != std::string::npos);
}

TEST_CASE("nothing reads minus zero") {
  const Made made(proof_of({}, sound_drives({-0.01, 0.02, -0.03})));
  CHECK(render_verification(made.report, {}).find("-0.0  ") == std::string::npos);
  CHECK(picture_words(made.report).find("Mean after 0.0 K") != std::string::npos);
  CHECK(draw_verification(made.report).find(">mean 0.0<") != std::string::npos);
}

TEST_CASE("what a warm-up took is told with its unit, and what the brackets mean") {
  auto drives = proof_of(faulty_drives(1), sound_drives({0.1, 0.2}));
  drives.after[1].warm_up = ProofWarmUp{12.0, {}, 660.0, false};
  const std::string text = render_verification(Made(drives).report, {});
  for (const char* words : {"no end", "10 min (10)", "cut off",
                            "warm-up: the time it took, in brackets the minutes that are usual"})
    CHECK(text.find(words) != std::string::npos);
  for (ProofDrive& drive : drives.after) drive.warm_up.reset();
  drives.before.clear();
  CHECK(render_verification(Made(drives).report, {}).find("in brackets") == std::string::npos);
}

TEST_CASE("a narrow terminal gets the drives as lines that it can hold") {
  const Made made(proof_of(faulty_drives(1), sound_drives({0.1})));
  const std::string text = render_verification(made.report, {40});
  CHECK(text.find("s1.csv: 80.1 °C, +0.1 K off") != std::string::npos);
  CHECK(text.find("drive  ") == std::string::npos);
}

TEST_CASE("the JSON has all drives, and null for what cannot be asked or tested") {
  const Made made(proof_of({}, sound_drives({0.1})));
  const auto json = nlohmann::json::parse(render_verification_json(made.report, -1));
  CHECK(json["schema"] == "coolband.verify/1");
  CHECK(json["verdict"]["checks"][0]["state"].is_null());
  CHECK(json["fault"]["missed_chance"].is_null());
  CHECK(json["level"]["against_band"]["p"].is_null());
  CHECK(json["level"]["change"].is_null());
  CHECK(json["drives"].size() == 1);
}

TEST_CASE("the drives after stand in the JSON as they were judged in the end") {
  auto drives = proof_of(faulty_drives(3), sound_drives({6.1, 5.6, 6.3}));
  for (ProofDrive& drive : drives.after) {
    drive.showing = Showing::shows;
    drive.condition = Condition::thermostat_stuck_closed;
  }
  move(drives, 6.0);
  const Made made(drives);
  const auto json = nlohmann::json::parse(render_verification_json(made.report, -1));
  CHECK(json["level"]["judged_by_moved_band"] == true);
  CHECK(json["drives"][3]["condition"] == "normal");
}

TEST_CASE("names cannot break the picture, the page or the terminal") {
  auto drives = proof_of(faulty_drives(1), sound_drives({0.1, 0.2}));
  drives.after[0].source = k_hostile_name;
  drives.after[0].unable = {{Condition::thermostat_stuck_open, k_hostile_name}};
  const Made made(drives);
  VerificationReport report{made.verification, made.band, k_hostile_name, {}};
  for (const std::string& text : {draw_verification(report), render_verification_page(report)}) {
    CHECK(text.find("<b>") == std::string::npos);
    CHECK(text.find('\x1b') == std::string::npos);
    CHECK(text.find("&lt;b&gt;") != std::string::npos);
  }
  CHECK(render_verification(report, {}).find('\x1b') == std::string::npos);
}

TEST_CASE("the picture marks each drive, those without a level too, and bounds their number") {
  auto drives = proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3}));
  drives.after[0].residual_k.reset();
  const std::string svg = draw_verification(Made(drives).report);
  CHECK(svg.find("before and after the repair") != std::string::npos);
  const std::string two = draw_verification(Made(many(40)).report);
  const std::string hundred = draw_verification(Made(many(100)).report);
  CHECK(hundred.size() < two.size() + 200);
}

namespace {

/// From the panel of the warm-ups on.
std::string warm_up_panel(const ProofDrives& drives) {
  const std::string svg = draw_verification(Made(drives).report);
  const auto at = svg.find("warm-up, × usual time");
  return at == std::string::npos ? "" : svg.substr(at);
}

} // namespace

TEST_CASE("a fault that shows in the warm-up alone shows in the picture") {
  auto drives = proof_of({}, sound_drives({0.0, 0.0, 0.0}));
  const std::string usual = warm_up_panel(drives);
  CHECK(usual.find(">mean 1.02<") != std::string::npos);
  CHECK(usual.find("up to 1.25 times the usual time is allowed") != std::string::npos);
  for (ProofDrive& drive : drives.after) drive.warm_up->reached_s = 840.0;
  CHECK(warm_up_panel(drives).find(">mean 1.40<") != std::string::npos);
  CHECK(picture_words(Made(drives).report)
            .find("3 warm-ups after took 1.40 times the usual time on average. Up to 1.25") !=
        std::string::npos);
}

TEST_CASE("a warm-up that never ended, one that is not told and one far off have their marks") {
  auto drives = proof_of({}, sound_drives({0.0, 0.0, 0.0}));
  const std::string usual = warm_up_panel(drives);
  const auto arrows = [](const std::string& svg) { return times_in(svg, "stroke-width=\"2.2\""); };
  const auto crosses = [](const std::string& svg) { return times_in(svg, "stroke-width=\"1.8\""); };
  drives.after[1].warm_up->reached_s.reset();
  const std::string endless = warm_up_panel(drives);
  CHECK(arrows(endless) == arrows(usual) + 2); // a shaft and a head
  CHECK(picture_words(Made(drives).report).find("1 warm-up after never came to the level.") !=
        std::string::npos);
  drives.after[1].warm_up->given_time = false;
  const std::string untold = warm_up_panel(drives);
  CHECK(arrows(untold) == arrows(usual));
  CHECK(crosses(untold) == crosses(usual) + 2);
  drives.after[1].warm_up->reached_s = 6000.0;
  CHECK(warm_up_panel(drives).find(">10.0<") != std::string::npos);
}

TEST_CASE("where no drive tells of a warm-up the picture has no panel for it") {
  auto drives = proof_of({}, sound_drives({0.0, 0.0}));
  for (ProofDrive& drive : drives.after) drive.warm_up.reset();
  CHECK(warm_up_panel(drives) == "");
  CHECK(picture_words(Made(drives).report).find("warm-up") == std::string::npos);
}

TEST_CASE("the picture turns dark with its page") {
  auto drives = proof_of(faulty_drives(2), sound_drives({0.1, 0.2, 0.3, 0.4}));
  drives.after[1].showing = Showing::doubtful;
  drives.after[2].showing = Showing::cannot_tell;
  drives.after[3].residual_k.reset();
  const Made made(drives);
  CHECK(has_dark_colours(draw_verification(made.report)));
  CHECK(render_verification_page(made.report).find("<figure class=\"usual themed\">") !=
        std::string::npos);
}

TEST_CASE("the page carries the picture and the drives of both sides") {
  const Made made(proof_of(faulty_drives(3), sound_drives({0.1, -0.4, 0.3})));
  const std::string page = render_verification_page(made.report);
  CHECK(times_in(page, "<table") == 3);
  CHECK(page.find("id=\"verification") != std::string::npos);
  CHECK(page.find("Is the fault gone?") != std::string::npos);
  CHECK(page.find("<script") == std::string::npos);
}

TEST_CASE("a history reads from the oldest to the latest and says what is gone") {
  NormalBand band = proof_band();
  band.since = "2031-05-06";
  History history;
  CHECK(render_history(band, history, {}).find("nothing is recorded yet") != std::string::npos);
  history.dropped = 7;
  add_event(history, {"2031-05-06", EventKind::service, "thermostat", "", "bay 4"});
  add_event(history,
            {"2031-04-01", EventKind::finding, "it hangs open", "thermostat-stuck-open", "x"});
  const std::string text = render_history(band, history, {});
  CHECK(text.find("7 older events no longer kept") != std::string::npos);
  CHECK(text.find("2031-04-01 finding (thermostat-stuck-open): it hangs open [x]") <
        text.find("2031-05-06 service: thermostat [bay 4]"));
  const auto json = nlohmann::json::parse(render_history_json(band, history, -1));
  CHECK(json["dropped"] == 7);
  CHECK(json["entries"][1]["state"].is_null());
}
