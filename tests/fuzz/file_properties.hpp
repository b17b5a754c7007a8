// SPDX-License-Identifier: Apache-2.0
// What must hold for files that a person or coolband itself wrote: bands, profiles, scenarios and
// reports.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/core/error.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace coolband::testing {

/// What was read, to be compared: numbers to a few last bits, words to the letter.
class Told {
 public:
  void number(double value) { numbers_.push_back(value); }
  void number(const std::optional<double>& value);
  void word(std::string_view text) { words_.emplace_back(text); }
  void maybe_word(const std::optional<std::string>& text) { word(text.value_or("(none)")); }

  /// Each number is finite; what may be endless or unknown is no number.
  void require_finite() const;
  void require_same(const Told& other, const std::string& how) const;

 private:
  std::vector<double> numbers_;
  std::vector<std::string> words_;
};

/// The error of a file: it names `name`, a line and column that are there or a field in quotes, and
/// what to do.
void check_file_error(const Error& error, std::string_view text, const std::string& name);

/// A JSON document with other blanks and line ends between its parts; nothing if it is none.
std::optional<std::string> respaced(std::string_view json);

/// What is written of the band is read again, and written again it is the same to the byte. Gives
/// what is written.
std::string check_band_file(const NormalBand& band);

} // namespace coolband::testing
