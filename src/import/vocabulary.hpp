// SPDX-License-Identifier: Apache-2.0
// The phrases that headings are made of, and what each means.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

namespace coolband {

/// What a phrase can mean besides a role.
enum class Meaning {
  role,    ///< `Sense::role` says which
  date,    ///< a calendar date, to be joined with a clock time
  bare,    ///< a temperature of nobody knows what
  weather, ///< tells that weather stands beside the engine's columns
};

struct Sense {
  Meaning meaning = Meaning::role;
  Role role = Role::time;
  int tier = 1; ///< 1 is preferred
};

/// Words of a heading: split at separators, changes of case and digits; lower case; accents
/// taken off. "EngineCoolantTemp_1" gives engine, coolant, temp, 1.
std::vector<std::string> words_of(std::string_view heading);

/// UTF-8 for text that may be UTF-8, UTF-8 encoded twice, or Latin-1.
std::string as_utf8(std::string_view text);

class Vocabulary {
 public:
  /// Reads the format that data/vocabulary/headings.txt describes; lines it cannot read are kept
  /// in `complaints`.
  explicit Vocabulary(std::string_view text);

  [[nodiscard]] std::optional<Sense> sense_of(const std::vector<std::string>& words) const;
  [[nodiscard]] const std::vector<std::string>& complaints() const { return complaints_; }
  /// Every phrase of a role, as written in the text; for suggestions.
  [[nodiscard]] const std::vector<std::string>& phrases(Role role) const {
    return phrases_[static_cast<std::size_t>(role)];
  }

 private:
  void read_line(std::string_view line, std::size_t number);
  void add_phrase(std::string_view phrase, const std::vector<std::string>& words,
                  const Sense& sense, std::size_t number);
  [[nodiscard]] std::string key_of(const std::vector<std::string>& words) const;

  std::unordered_set<std::string> fillers_;
  std::vector<std::pair<std::string, std::string>> same_; ///< spelling, what it stands for
  std::unordered_map<std::string, Sense> senses_;
  std::array<std::vector<std::string>, k_role_count> phrases_;
  std::vector<std::string> complaints_;
};

/// The vocabulary that is compiled in.
const Vocabulary& vocabulary();

} // namespace coolband
