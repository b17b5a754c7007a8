// SPDX-License-Identifier: Apache-2.0
// The colours of pictures and what a dark page makes of them. A picture by itself is always light.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace coolband {

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
