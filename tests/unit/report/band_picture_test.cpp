// SPDX-License-Identifier: Apache-2.0
// The picture of a band: well-formed whatever the names, nothing outside the frame, and every drive
// in it.
#include "coolband/report/report.hpp"
#include "report/band_picture.hpp"
#include "report/svg_canvas.hpp"

#include "unit/band/made_drives.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

using namespace coolband;
using namespace coolband::testing;

namespace {

struct Element {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text; ///< as it stands in the file
};

/// The references that XML 1.0 knows by itself (section 4.6), and those by number.
bool references_are_sound(std::string_view text) {
  for (auto at = text.find('&'); at != std::string_view::npos; at = text.find('&', at + 1)) {
    const auto name = text.substr(at + 1, text.find(';', at) - at - 1);
    if (name != "amp" && name != "lt" && name != "gt" && name != "quot" && name != "#39")
      return false;
  }
  return true;
}

/// name="value" …; false where something else stands there.
bool read_attributes(std::string_view rest, Element& element) {
  while (!rest.empty()) {
    if (rest.front() == ' ') {
      rest.remove_prefix(1);
      continue;
    }
    const auto equals = rest.find("=\"");
    if (equals == std::string_view::npos) return false;
    const auto end = rest.find('"', equals + 2);
    if (end == std::string_view::npos) return false;
    const std::string value(rest.substr(equals + 2, end - equals - 2));
    if (!references_are_sound(value) || value.find('<') != std::string::npos) return false;
    if (!element.attributes.emplace(rest.substr(0, equals), value).second) return false;
    rest.remove_prefix(end + 1);
  }
  return true;
}

/// All elements in order; none where the text is not well-formed (of what the canvas may write).
std::optional<std::vector<Element>> parsed(std::string_view text) {
  std::vector<Element> elements;
  std::vector<std::size_t> open;
  while (!text.empty()) {
    if (text.front() != '<') {
      const auto words = text.substr(0, text.find('<'));
      if (open.empty() || !references_are_sound(words)) return std::nullopt;
      elements[open.back()].text += words;
      text.remove_prefix(words.size());
      continue;
    }
    const auto end = text.find('>');
    if (end == std::string_view::npos) return std::nullopt;
    std::string_view tag = text.substr(1, end - 1);
    text.remove_prefix(end + 1);
    if (tag.front() == '/') {
      if (open.empty() || elements[open.back()].name != tag.substr(1)) return std::nullopt;
      open.pop_back();
      continue;
    }
    const bool whole = tag.back() == '/';
    if (whole) tag.remove_suffix(1);
    if (open.empty() && !elements.empty()) return std::nullopt; // a second root
    Element element;
    element.name = tag.substr(0, tag.find(' '));
    if (!read_attributes(tag.substr(element.name.size()), element)) return std::nullopt;
    elements.push_back(std::move(element));
    if (!whole) open.push_back(elements.size() - 1);
  }
  if (!open.empty()) return std::nullopt;
  return elements;
}

std::vector<double> numbers_in(const std::string& text) {
  std::vector<double> numbers;
  const char* at = text.data();
  const char* const end = at + text.size();
  while (at < end) {
    double value = std::numeric_limits<double>::quiet_NaN();
    const auto [stop, code] = std::from_chars(at, end, value);
    numbers.push_back(value);
    at = std::max(stop, at) + 1;
  }
  return numbers;
}

double number(const Element& element, const std::string& name) {
  return numbers_in(element.attributes.at(name)).at(0);
}

/// Each reference as the one character that it stands for.
std::string shown(std::string text) {
  for (auto at = text.find('&'); at != std::string::npos; at = text.find('&', at + 1))
    text.replace(at, text.find(';', at) - at + 1, "&");
  return text;
}

/// Where a text lies, by the canvas's own measure, which errs on the wide side.
Box box_of(const Element& text) {
  const double size = number(text, "font-size");
  const double width = text_width(shown(text.text), size);
  const auto anchor = text.attributes.find("text-anchor");
  double left = number(text, "x");
  if (anchor != text.attributes.end()) left -= anchor->second == "end" ? width : width / 2.0;
  const double y = number(text, "y");
  return {left, y - 0.75 * size, left + width, y + 0.2 * size};
}

/// The picture is well-formed; all of it lies in the view box; no text is small or covers another.
std::vector<Element> checked(const NormalBand& band) {
  const std::string picture = draw_band(band);
  const auto elements = parsed(picture);
  REQUIRE_MESSAGE(elements.has_value(), picture);
  CHECK(picture.find("nan") == std::string::npos);
  CHECK(picture.find("script") == std::string::npos);
  CHECK(picture == draw_band(band));
  const auto view = numbers_in(elements->front().attributes.at("viewBox"));
  REQUIRE(view.size() == 4);
  const Box whole{view[0], view[1], view[2], view[3]};
  std::vector<std::pair<Box, std::string>> texts;
  for (const Element& element : *elements) {
    for (const auto& [name, value] : element.attributes) {
      const bool across = name == "x" || name == "x1" || name == "x2" || name == "cx";
      const bool down = name == "y" || name == "y1" || name == "y2" || name == "cy";
      if (!across && !down && name != "points") continue;
      const std::string told = name + "=" + value;
      const auto places = numbers_in(value);
      for (std::size_t i = 0; i < places.size(); ++i) {
        const double most = down || i % 2 == 1 ? whole.bottom : whole.right;
        CHECK_MESSAGE((places[i] >= 0.0 && places[i] <= most), told);
      }
    }
    if (element.name != "text") continue;
    CHECK(number(element, "font-size") >= 11.0);
    if (element.attributes.count("transform") > 0) continue;
    texts.emplace_back(box_of(element), element.text);
    CHECK_MESSAGE(whole.holds(texts.back().first), element.text);
  }
  for (std::size_t i = 0; i < texts.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j)
      CHECK_MESSAGE(!texts[i].first.overlaps(texts[j].first),
                    texts[i].second << " | " << texts[j].second);
  }
  return *elements;
}

bool says(const std::vector<Element>& elements, std::string_view words) {
  return std::any_of(elements.begin(), elements.end(), [&](const Element& element) {
    return element.name == "text" && element.text.find(words) != std::string::npos;
  });
}

std::size_t count_of(const std::vector<Element>& elements, const std::string& name) {
  return static_cast<std::size_t>(
      std::count_if(elements.begin(), elements.end(),
                    [&](const Element& element) { return element.name == name; }));
}

std::vector<DriveSummary> dated(std::vector<DriveSummary> drives) {
  for (std::size_t i = 0; i < drives.size(); ++i) {
    const std::size_t day = i % 28 + 1;
    const std::size_t month = i / 28 % 12 + 1;
    const auto two = [](std::size_t n) { return (n < 10 ? "0" : "") + std::to_string(n); };
    drives[i].start =
        std::to_string(2030 + i / 336) + "-" + two(month) + "-" + two(day) + "T08:00:00";
  }
  return drives;
}

NormalBand learned(std::vector<DriveSummary> drives) {
  auto band = learn_band(std::move(drives), "van-3");
  REQUIRE(band);
  return *band;
}

void drop_load(DriveSummary& drive) {
  drive.moments = {{Factor::coolant}, {drive.level_c}, {1.0}};
  drive.load_seen_pct = std::nullopt;
}

void drop_ambient(DriveSummary& drive) {
  drive.ambient_mean_c = std::nullopt;
  drive.ambient_seen_c = std::nullopt;
}

} // namespace

TEST_CASE("a band of several drives shows each of them in both panels") {
  const auto elements = checked(learned(made_drives(8)));
  CHECK(count_of(elements, "circle") == 8 + 8 + 1); // and one in the legend
  CHECK(says(elements, "engine load (%, lagged by "));
  CHECK(says(elements, "outside temperature (°C)"));
  CHECK(says(elements, "8 drives: mean, own slope (left), scatter (right)"));
  CHECK(elements[1].name == "title");
  CHECK(elements[2].name == "desc");
  CHECK(elements[2].text.find("learned from 8 drives") != std::string::npos);
  CHECK(elements.front().attributes.at("role") == "img");
}

TEST_CASE("one drive makes a picture, too") {
  const auto elements = checked(learned(made_drives(1)));
  CHECK(says(elements, "1 drive: mean"));
  CHECK(says(elements, "no ambient effect learned: the band is level"));
}

TEST_CASE("a condition that no log has is said in place of its panel") {
  auto drives = made_drives(6);
  for (DriveSummary& drive : drives) drop_load(drive);
  auto elements = checked(learned(drives));
  CHECK(says(elements, "no load in these logs"));
  CHECK(says(elements, "6 drives: mean, scatter (right)"));

  for (DriveSummary& drive : drives) drop_ambient(drive);
  elements = checked(learned(drives));
  CHECK(says(elements, "no load in these logs"));
  CHECK(says(elements, "no outside temperature in these logs"));
  CHECK(count_of(elements, "circle") == 0); // nothing is drawn, so no legend explains it

  drives = made_drives(6);
  for (DriveSummary& drive : drives) drop_ambient(drive);
  drives.push_back(made_drive("cold.csv", 62.0));
  drop_ambient(drives.back());
  elements = checked(learned(drives));
  CHECK(says(elements, "no outside temperature in these logs"));
  CHECK(says(elements, "cold.csv, 62.0 °C")); // else it stands in the other panel
}

TEST_CASE("drives that lack a condition are counted where they cannot be drawn") {
  auto drives = made_drives(7);
  drop_load(drives[2]);
  drop_load(drives[5]);
  drop_ambient(drives[0]);
  const auto elements = checked(learned(drives));
  CHECK(says(elements, "not drawn: 2 drives without load"));
  CHECK(says(elements, "not drawn: 1 drive without outside temperature"));
}

TEST_CASE("a load that does nothing that can be learned makes a level band") {
  auto drives = made_drives(4);
  for (DriveSummary& drive : drives) set_load(drive, {35.0, 1.0, 0.0});
  const NormalBand band = learned(drives);
  REQUIRE_FALSE(band.load_c_per_pct.has_value());
  CHECK(says(checked(band), "no load effect learned: the band is level"));
}

TEST_CASE("drives left out stand at the edge when they lie far off, in place when they do not") {
  auto drives = made_drives(9);
  drives.push_back(made_drive("open.csv", 55.0, 12.0));
  NormalBand band = learned(drives);
  REQUIRE(band.left_out.size() == 1);
  auto elements = checked(band);
  CHECK(says(elements, "open.csv, 55.0 °C"));
  CHECK(says(elements, "left out, beyond the edge"));
  CHECK(elements[2].text.find("Left out: open.csv, 55.0 °C.") != std::string::npos);

  band.left_out[0].drive = made_drive("near.csv", 82.0, 12.0);
  elements = checked(band);
  CHECK(says(elements, "near.csv"));
  CHECK_FALSE(says(elements, "left out, beyond the edge"));
}

TEST_CASE("drives since a drift have a mark of their own") {
  auto drives = dated(made_drives(26, 3));
  for (std::size_t i = 14; i < drives.size(); ++i)
    drives[i] =
        made_drive(drives[i].source, drives[i].level_c + 4.0, *drives[i - 14].ambient_mean_c);
  NormalBand band = learned(dated(drives));
  REQUIRE(band.drift.has_value());
  const auto elements = checked(band);
  const std::size_t before = band.drives.size() - band.drift->drives;
  CHECK(count_of(elements, "circle") == 2 * before + 1);
  CHECK(says(elements, "since " + band.drift->since.substr(0, 10)));
}

TEST_CASE("a thousand drives are sixty marks and a cross") {
  const NormalBand band = learned(dated(made_drives(1000)));
  REQUIRE_FALSE(band.folded.empty());
  const auto elements = checked(band);
  std::size_t folded = 0;
  for (const FoldedDrives& sums : band.folded) folded += sums.count;
  CHECK(says(elements, std::to_string(folded) + " earlier drives"));
  CHECK(says(elements, "earlier drives: range seen, scatter"));
  CHECK(draw_band(band).size() < 64 * 1024);
}

TEST_CASE("names from a log are text, whatever they hold") {
  auto drives = made_drives(9);
  drives.push_back(made_drive("</text><b a=\"'&\x01\xFF.csv", 60.0, 12.0));
  NormalBand band = learned(drives);
  band.vehicle = "<!-- & \xC3\x28 ]]> van with a name that is far longer than any title may be";
  REQUIRE(band.left_out.size() == 1);
  const auto elements = checked(band);
  CHECK(says(elements, "&lt;/text&gt;&lt;b a=&quot;&#39;&amp;\uFFFD\uFFFD"));
  CHECK(says(elements, "&lt;!-- &amp; \uFFFD( ]]&gt; van"));
}

TEST_CASE("figures that are no numbers leave no trace in the picture") {
  NormalBand band = learned(made_drives(6));
  band.drives[1].level_c = std::numeric_limits<double>::quiet_NaN();
  band.drives[2].ambient_mean_c = std::numeric_limits<double>::infinity();
  band.drives[3].moments.mean[1] = 1e300;
  const auto elements = checked(band);
  // One has no level, one no load, and one no temperature to be brought to the reference from.
  CHECK(says(elements, "not drawn: 3 drives without load"));
  CHECK(says(elements, "not drawn: 3 drives without outside temperature"));
}

TEST_CASE("a band that no drive stands behind says so") {
  NormalBand band;
  band.origin = BandOrigin::profile;
  band.vehicle = "van-3";
  band.centre_c = 85.0;
  band.half_width_c = 6.0;
  const auto elements = checked(band);
  CHECK(says(elements, "no drives behind this band"));
  CHECK(says(elements, "as the vehicle&#39;s profile states it"));
}

TEST_CASE("a drive's point has the other conditions at the reference") {
  NormalBand band;
  band.load_c_per_pct = 0.1;
  band.reference_load_pct = 40.0;
  band.ambient_c_per_c = 0.05;
  band.reference_ambient_c = 10.0;
  band.drives.push_back(made_drive("d", 80.0, 30.0)); // mean load 35 %, own slope 0.05
  const auto load = over_load(band).drives.at(0);
  CHECK(load.x == doctest::Approx(35.0));
  CHECK(load.level_c == doctest::Approx(80.0 - 0.05 * 20.0));
  CHECK(load.slope.value() == doctest::Approx(0.05));
  const auto ambient = over_ambient(band).drives.at(0);
  CHECK(ambient.x == doctest::Approx(30.0));
  CHECK(ambient.level_c == doctest::Approx(80.0 + 0.1 * 5.0));
}

TEST_CASE("ticks are round, few, and within the range") {
  CHECK(nice_ticks(0.0, 10.0, 6).values == std::vector<double>{0.0, 2.0, 4.0, 6.0, 8.0, 10.0});
  CHECK(nice_ticks(-7.0, 33.0, 6).values == std::vector<double>{0.0, 10.0, 20.0, 30.0});
  CHECK(nice_ticks(0.0, 10.0, 6).decimals == 0);
  const Ticks fine = nice_ticks(79.93, 80.31, 5);
  CHECK(fine.decimals == 1);
  REQUIRE(fine.values.size() == 4);
  CHECK(fine.values[0] == doctest::Approx(80.0));
  CHECK(fine.values[3] == doctest::Approx(80.3));
  CHECK(nice_ticks(5.0, 5.0, 6).values.empty());
  CHECK(nice_ticks(0.0, std::numeric_limits<double>::infinity(), 6).values.empty());
  CHECK(nice_ticks(9.0, 1.0, 6).values.empty());
}

TEST_CASE("only UTF-8 that XML allows gets through") {
  // Ill-formed sequences of the Unicode Standard (section 3.9): overlong, surrogate, cut off.
  CHECK(xml_escaped("\xC0\xAF") == "\uFFFD\uFFFD");
  CHECK(xml_escaped("\xED\xA0\x80") == "\uFFFD\uFFFD\uFFFD");
  CHECK(xml_escaped("a\xE2\x82") == "a\uFFFD\uFFFD");
  // Production Char of XML 1.0 (section 2.2).
  CHECK(xml_escaped(std::string("\0\x0B", 2)) == "\uFFFD\uFFFD");
  CHECK(xml_escaped("\xEF\xBF\xBF") == "\uFFFD");
  CHECK(xml_escaped("°C \U0001F697\n") == "°C \U0001F697 ");
  CHECK(shortened("°°°°", 4) == "°°°°");
  CHECK(shortened("°°°°°", 4) == "°°°…");
}

TEST_CASE("a line is cut where it leaves the box") {
  const Box box{0.0, 0.0, 10.0, 10.0};
  const auto cut = clipped(box, {-5.0, 5.0}, {15.0, 5.0});
  REQUIRE(cut.has_value());
  CHECK(cut->first.x == doctest::Approx(0.0));
  CHECK(cut->second.x == doctest::Approx(10.0));
  const auto slanted = clipped(box, {5.0, 5.0}, {5.0, 25.0});
  REQUIRE(slanted.has_value());
  CHECK(slanted->second.y == doctest::Approx(10.0));
  CHECK_FALSE(clipped(box, {-5.0, 5.0}, {-1.0, 9.0}).has_value());
  CHECK_FALSE(clipped(box, {11.0, -1.0}, {11.0, 12.0}).has_value());
}
