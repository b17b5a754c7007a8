// SPDX-License-Identifier: Apache-2.0
// Responses to service 01 of SAE J1979 / ISO 15031-5, with what the data link puts around them.
#pragma once

#include "import/frame_decoder.hpp"

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

namespace coolband {

/// One cell that is not empty; `values` is empty before.
FrameOutcome decode_j1979(std::string_view identifier, std::string_view frame,
                          std::vector<FrameValue>& values);

/// The checksum of SAE J1850: CRC-8, polynomial 1D, from FF, inverted.
std::uint8_t crc_of(std::span<const std::uint8_t> bytes);

/// The checksum of ISO 9141-2 and ISO 14230-2: the sum, modulo 256.
std::uint8_t sum_of(std::span<const std::uint8_t> bytes);

} // namespace coolband
