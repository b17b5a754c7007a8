// SPDX-License-Identifier: Apache-2.0
// The colours of pictures and what a dark page makes of them.
#include "report/picture_colours.hpp"

#include <algorithm>
#include <array>

#include <fmt/core.h>

namespace coolband {

namespace {

// Inks grow lighter and grounds darker; which of two is the stronger stays so.
constexpr std::array<PictureColour, 21> k_colours{
    {{"#ffffff", "#1c2329"}, {"#f6f6f6", "#242c33"}, {"#ececec", "#343d45"}, {"#e3e3e3", "#333d45"},
     {"#dddddd", "#3d4850"}, {"#b9bfc4", "#4d5861"}, {"#a9a9a9", "#737d84"}, {"#999999", "#7f898f"},
     {"#7d7d7d", "#939ca2"}, {"#6a6a6a", "#a3abb1"}, {"#555555", "#a3abb1"}, {"#444444", "#b8bfc4"},
     {"#262626", "#dcd9d2"}, {"#1a1a1a", "#e9e6df"}, {"#0a3d62", "#8fcbe6"}, {"#2b7bb3", "#5aa9da"},
     {"#93b8d3", "#4d7c9d"}, {"#cfe2f1", "#1f4763"}, {"#c44e00", "#f0904a"}, {"#fbe3d0", "#4b301d"},
     {"#8a2f6b", "#ec9fd0"}}};

constexpr std::size_t k_length = 7; ///< of "#1a1a1a"

bool is_known(std::string_view colour) {
  return std::any_of(k_colours.begin(), k_colours.end(),
                     [&](const PictureColour& known) { return known.light == colour; });
}

} // namespace

std::span<const PictureColour> picture_colours() { return k_colours; }

bool has_dark_colours(std::string_view svg) {
  // Colours stand in attributes; a text cannot hold a quotation mark.
  for (std::size_t at = svg.find("=\"#"); at != std::string_view::npos;
       at = svg.find("=\"#", at + 1)) {
    if (!is_known(svg.substr(at + 2, k_length))) return false;
  }
  return true;
}

std::string dark_pictures_style() {
  std::string rules = "@media screen and (prefers-color-scheme: dark) {\n";
  for (const auto& [light, dark] : k_colours) {
    rules += fmt::format("  .themed [fill=\"{0}\"] {{ fill: {1}; }} .themed [stroke=\"{0}\"] {{ "
                         "stroke: {1}; }}\n",
                         light, dark);
  }
  return rules + "}\n";
}

} // namespace coolband
