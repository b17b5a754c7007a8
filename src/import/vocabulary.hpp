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
#include <utility>
#include <vector>

namespace coolband {

/// What a phrase can mean besides a role.
enum class Meaning {
  role,    ///< `Sense::role` says which
  date,    ///< a calendar date, to be joined with a clock time
  bare,    ///< a temperature of nobody knows what
  weather, ///< tells that weather stands beside the engine's columns
  other,   ///< known, and none of these
};

struct Sense {
  Meaning meaning = Meaning::role;
  Role role = Role::time;
  int tier = 1;            ///< 1 is preferred
  int sensor = 1;          ///< 2 to 9 where the heading numbers one of several alike
  bool needs_unit = false; ///< counts only where a unit of the role is stated
};

/// From this tier on a column only stands in for its role, which is said in a note.
inline constexpr int k_stand_in_tier = 7;

using Words = std::vector<std::string>;

/// Words of a heading: split at separators, changes of case and digits; lower case; accents
/// taken off. "EngineCoolantTemp_1" gives engine, coolant, temp, 1.
Words words_of(std::string_view heading);

/// UTF-8 for text that may be UTF-8, UTF-8 encoded twice, or Latin-1.
std::string as_utf8(std::string_view text);

/// What a leading part of a dotted path may be.
enum class PathPart { none, container, thing };

class Vocabulary {
 public:
  /// Reads the format that data/vocabulary/headings.txt describes; lines it cannot read are kept
  /// in `complaints`.
  explicit Vocabulary(std::string_view text);

  /// The whole of `words` as a phrase: as it stands, without fillers, or in another order. Roles
  /// of cells ("data", "value") match only as they stand.
  [[nodiscard]] std::optional<Sense> sense_of(const Words& words) const;

  /// "data", "sensors", "engine": what may be left out in front of a path's last names.
  [[nodiscard]] PathPart path_part(const Words& words) const;

  /// The words that carry meaning, each in its common spelling.
  [[nodiscard]] Words core_of(const Words& words) const;

  [[nodiscard]] const std::vector<std::string>& complaints() const { return complaints_; }
  /// Every phrase of a role as its core words; for suggestions.
  [[nodiscard]] const std::vector<Words>& phrase_words(Role role) const {
    return phrase_words_[static_cast<std::size_t>(role)];
  }
  /// The same as written in the text.
  [[nodiscard]] const std::vector<std::string>& phrases(Role role) const {
    return phrases_[static_cast<std::size_t>(role)];
  }

 private:
  void read_line(std::string_view line, std::size_t number);
  bool read_kind(std::string_view head, std::string_view list);
  void add_phrase(std::string_view phrase, const Sense& sense, std::size_t number);
  static bool add_key(std::unordered_map<std::string, Sense>& senses, std::string key,
                      const Sense& sense);
  [[nodiscard]] bool is_article(const Words& words, std::size_t i) const;
  [[nodiscard]] std::string common_spelling(std::string word) const;
  [[nodiscard]] std::string key_of(const Words& words, bool with_fillers) const;
  [[nodiscard]] static std::string sorted_key_of(Words core);

  std::unordered_set<std::string> articles_;
  std::unordered_set<std::string> fillers_;
  std::unordered_map<std::string, std::string> words_;    ///< whole word, what it stands for
  std::vector<std::pair<std::string, std::string>> same_; ///< spelling, what it stands for
  std::unordered_map<std::string, PathPart> path_parts_;
  std::unordered_map<std::string, Sense> exact_;  ///< by all words but articles
  std::unordered_map<std::string, Sense> loose_;  ///< without fillers
  std::unordered_map<std::string, Sense> sorted_; ///< without fillers, words in order of alphabet
  std::array<std::vector<std::string>, k_any_role_count> phrases_;
  std::array<std::vector<Words>, k_any_role_count> phrase_words_;
  std::vector<std::string> complaints_;
};

/// The vocabulary that is compiled in.
const Vocabulary& vocabulary();

} // namespace coolband
