// SPDX-License-Identifier: Apache-2.0
// The colours of pictures and what a dark page makes of them. A picture by itself is always light.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace coolband {

// What is drawn alike in every picture. Told apart by shape and lightness first; the hues are those
// that colour-blind readers tell apart.
inline constexpr std::string_view k_band_fill = "#cfe2f1";
inline constexpr std::string_view k_band_edge = "#2b7bb3";
inline constexpr std::string_view k_centre = "#0a3d62"; ///< of the band
inline constexpr std::string_view k_note = "#444444";
inline constexpr std::string_view k_frame = "#555555";
inline constexpr std::string_view k_grid = "#e3e3e3";
inline constexpr double k_small_print = 11.0; ///< px, the smallest text

struct PictureColour {
  std::string_view light; ///< "#1a1a1a", as the picture has it
  std::string_view dark;
};

std::span<const PictureColour> picture_colours();

/// Every colour of the picture has a dark one; else it stays light in a dark page.
bool has_dark_colours(std::string_view svg);

/// Rules that turn the pictures of class "themed" dark where the reader wishes it.
std::string dark_pictures_style();

} // namespace coolband
