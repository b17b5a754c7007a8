// SPDX-License-Identifier: Apache-2.0
// Reads the vocabulary file and looks headings up in it, by exact equality of what remains.
#include "import/vocabulary.hpp"

#include "import/number_text.hpp"
#include "import/vocabulary_text.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::vector<std::string_view> split(std::string_view text, char mark) {
  std::vector<std::string_view> parts;
  while (true) {
    const std::size_t at = text.find(mark);
    parts.push_back(trimmed(text.substr(0, at)));
    if (at == std::string_view::npos) return parts;
    text.remove_prefix(at + 1);
  }
}

/// "coolant 2" or "date"; nothing for an unknown word.
std::optional<Sense> sense_named(std::string_view head) {
  const std::size_t blank = head.find(' ');
  const std::string_view name = head.substr(0, blank);
  Sense sense;
  if (blank != std::string_view::npos) {
    const auto tier = number_in(head.substr(blank), {});
    if (!tier || *tier < 1 || *tier > 9) return std::nullopt;
    sense.tier = static_cast<int>(*tier);
  }
  if (name == "date")
    sense.meaning = Meaning::date;
  else if (name == "bare")
    sense.meaning = Meaning::bare;
  else if (name == "weather")
    sense.meaning = Meaning::weather;
  else if (const auto role = role_named(name))
    sense.role = *role;
  else
    return std::nullopt;
  return sense;
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (auto at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
}

} // namespace

Vocabulary::Vocabulary(std::string_view text) {
  std::size_t number = 0;
  for (std::string_view line : split(text, '\n')) {
    ++number;
    if (!line.empty() && line[0] != '#') read_line(line, number);
  }
}

void Vocabulary::read_line(std::string_view line, std::size_t number) {
  const std::size_t colon = line.find(':');
  if (colon == std::string_view::npos) {
    complaints_.push_back(fmt::format("line {}: no colon", number));
    return;
  }
  const std::string_view head = trimmed(line.substr(0, colon));
  const auto sense = sense_named(head);
  const bool filler = head == "filler";
  const bool same = head.starts_with("same ");
  if (!sense && !filler && !same) {
    complaints_.push_back(fmt::format("line {}: unknown word '{}'", number, head));
    return;
  }
  for (std::string_view phrase : split(line.substr(colon + 1), ',')) {
    const auto words = words_of(phrase);
    if (words.empty()) continue;
    if (filler)
      fillers_.insert(words.front());
    else if (same)
      same_.emplace_back(words.front(), words_of(head.substr(5)).front());
    else
      add_phrase(phrase, words, *sense, number);
  }
}

void Vocabulary::add_phrase(std::string_view phrase, const std::vector<std::string>& words,
                            const Sense& sense, std::size_t number) {
  const auto [place, fresh] = senses_.emplace(key_of(words), sense);
  if (!fresh && (place->second.meaning != sense.meaning || place->second.role != sense.role)) {
    complaints_.push_back(fmt::format("line {}: '{}' has a meaning already", number, phrase));
  }
  if (fresh && sense.meaning == Meaning::role) {
    phrases_[static_cast<std::size_t>(sense.role)].emplace_back(phrase);
  }
}

/// Words are joined without blanks, so that "coolant temp" and "CoolantTemp" and "coolanttemp"
/// meet.
std::string Vocabulary::key_of(const std::vector<std::string>& words) const {
  std::string key;
  for (const std::string& word : words) {
    if (!fillers_.contains(word)) key += word;
  }
  for (const auto& [spelling, stands_for] : same_) replace_all(key, spelling, stands_for);
  return key;
}

std::optional<Sense> Vocabulary::sense_of(const std::vector<std::string>& words) const {
  const auto found = senses_.find(key_of(words));
  if (found == senses_.end()) return std::nullopt;
  return found->second;
}

const Vocabulary& vocabulary() {
  static const Vocabulary known{vocabulary_text()};
  return known;
}

} // namespace coolband
