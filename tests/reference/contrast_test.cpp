// SPDX-License-Identifier: Apache-2.0
// Colours of a page against the contrast that WCAG 2.2 asks for (W3C Recommendation, 5 October
// 2023): 1.4.3 at least 4.5:1 for text, 1.4.11 at least 3:1 for lines that mean something. The
// formulas are those of "contrast ratio" and "relative luminance" in its glossary.
#include "report/page.hpp"
#include "report/picture_colours.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <regex>
#include <string>

using namespace coolband;

namespace {

using Colours = std::map<std::string, std::string>; ///< "paper-ink" to "#1c2227"

double luminance(const std::string& hex) {
  std::array<double, 3> linear{};
  for (std::size_t i = 0; i < 3; ++i) {
    const double share = std::stoi(hex.substr(1 + 2 * i, 2), nullptr, 16) / 255.0;
    linear.at(i) = share <= 0.04045 ? share / 12.92 : std::pow((share + 0.055) / 1.055, 2.4);
  }
  return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2];
}

double contrast(const std::string& one, const std::string& other) {
  const auto [dark, light] = std::minmax({luminance(one), luminance(other)});
  return (light + 0.05) / (dark + 0.05);
}

/// Those that the n-th `:root` of the style sets, over the ones given.
Colours with_root(Colours colours, std::size_t n) {
  std::string style(page_style());
  std::size_t at = 0;
  for (std::size_t i = 0; i <= n; ++i) {
    at = style.find(":root {", at);
    REQUIRE(at != std::string::npos);
    at += 1;
  }
  const std::string block = style.substr(at, style.find('}', at) - at);
  const std::regex setting("--([a-z-]+): (#[0-9a-f]{6});");
  for (std::sregex_iterator it(block.begin(), block.end(), setting), end; it != end; ++it)
    colours[(*it)[1]] = (*it)[2];
  return colours;
}

void check_pairs(const Colours& colours) {
  std::size_t pairs = 0;
  for (const auto& one : colours) {
    const std::string& name = one.first;
    const auto& colour = one.second;
    const auto ground = colours.find(name.substr(0, name.find('-')) + "-ground");
    REQUIRE(ground != colours.end());
    INFO(name);
    INFO(colour);
    INFO(ground->second);
    if (name.ends_with("ink")) CHECK(contrast(colour, ground->second) >= 4.5);
    if (name.ends_with("-line")) CHECK(contrast(colour, ground->second) >= 3.0);
    if (name.ends_with("ink")) ++pairs;
  }
  CHECK(pairs >= 10);
}

} // namespace

TEST_CASE("the formula gives what WCAG's own examples give") {
  CHECK(contrast("#000000", "#ffffff") == doctest::Approx(21.0));
  CHECK(contrast("#ffffff", "#ffffff") == doctest::Approx(1.0));
  // Technique G18's often-quoted border case: #777777 on white just fails (from memory: 4.48).
  CHECK(contrast("#777777", "#ffffff") == doctest::Approx(4.48).epsilon(0.002));
}

TEST_CASE("every ink of a page is readable on its ground: light, dark, paper") {
  const Colours light = with_root({}, 0);
  const Colours dark = with_root(light, 1);
  check_pairs(light);
  check_pairs(dark);
  check_pairs(with_root(light, 2));
  check_pairs(with_root(dark, 2));
}

TEST_CASE("the style names colours only where the pairs are told") {
  const std::string style(page_style());
  const std::regex free_colour("[^-a-z](color|background|border-color): ?(#|rgb|[a-z]+;)");
  CHECK(!std::regex_search(style, free_colour));
  // Text on a ground other than the paper says both, and of one name.
  const std::regex grounded(
      "background: var\\(--([a-z]+)-ground\\);\\s*color: var\\(--([a-z]+)-ink\\)");
  std::size_t rules = 0;
  for (std::sregex_iterator it(style.begin(), style.end(), grounded), end; it != end; ++it, ++rules)
    CHECK((*it)[1] == (*it)[2]);
  std::size_t grounds = 0;
  for (std::size_t at = style.find("background:"); at != std::string::npos;
       at = style.find("background:", at + 1))
    ++grounds;
  CHECK(rules == grounds);
}

TEST_CASE("the inks of pictures are readable on white and on the dark page's ground") {
  const auto colours = picture_colours();
  const auto dark_of = [&](std::string_view light) {
    const auto found = std::find_if(colours.begin(), colours.end(),
                                    [&](const PictureColour& c) { return c.light == light; });
    REQUIRE(found != colours.end());
    return std::string(found->dark);
  };
  // Text stands on the ground and on the shades of episodes; lines are seen on the ground.
  for (const std::string_view ink : {"#1a1a1a", "#444444", "#8a2f6b", "#c44e00", "#0a3d62"}) {
    INFO(ink);
    CHECK(contrast(std::string(ink), "#ffffff") >= 4.5);
    CHECK(contrast(dark_of(ink), dark_of("#ffffff")) >= 4.5);
  }
  for (const std::string_view ground : {"#fbe3d0", "#ececec"}) {
    CHECK(contrast("#8a2f6b", std::string(ground)) >= 4.5);
    CHECK(contrast(dark_of("#8a2f6b"), dark_of(ground)) >= 4.5);
  }
  for (const std::string_view line : {"#2b7bb3", "#555555", "#6a6a6a"}) {
    CHECK(contrast(std::string(line), "#ffffff") >= 3.0);
    CHECK(contrast(dark_of(line), dark_of("#ffffff")) >= 3.0);
  }
}
