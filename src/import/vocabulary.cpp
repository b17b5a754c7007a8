// SPDX-License-Identifier: Apache-2.0
// Reads the vocabulary file and looks headings up in it, by exact equality of what remains.
#include "import/vocabulary.hpp"

#include "import/number_text.hpp"
#include "import/vocabulary_text.hpp"

#include <algorithm>

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

std::string joined(const Words& words) {
  std::string text;
  for (const std::string& word : words) text += word;
  return text;
}

std::optional<Meaning> meaning_named(std::string_view name) {
  if (name == "date") return Meaning::date;
  if (name == "bare") return Meaning::bare;
  if (name == "weather") return Meaning::weather;
  if (name == "other") return Meaning::other;
  return std::nullopt;
}

/// "coolant 2", "fan 2 with unit" or "date"; nothing for an unknown word.
std::optional<Sense> sense_named(std::string_view head) {
  Sense sense;
  sense.needs_unit = head.ends_with(" with unit");
  if (sense.needs_unit) head.remove_suffix(std::string_view(" with unit").size());
  const std::size_t blank = head.find(' ');
  const std::string_view name = head.substr(0, blank);
  if (blank != std::string_view::npos) {
    const auto tier = number_in(head.substr(blank), {});
    if (!tier || *tier < 1 || *tier > 9) return std::nullopt;
    sense.tier = static_cast<int>(*tier);
  }
  if (const auto meaning = meaning_named(name))
    sense.meaning = *meaning;
  else if (const auto role = role_named(name))
    sense.role = *role;
  else
    return std::nullopt;
  return sense;
}

bool is_of_cells(const Sense& sense) {
  return sense.meaning == Meaning::role && static_cast<std::size_t>(sense.role) >= k_role_count;
}

bool begins_with_digit(const std::string& word) { return word[0] >= '0' && word[0] <= '9'; }

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
  const std::string_view list = line.substr(colon + 1);
  if (read_kind(head, list)) return;
  const auto sense = sense_named(head);
  if (!sense) {
    complaints_.push_back(fmt::format("line {}: unknown word '{}'", number, head));
    return;
  }
  for (const std::string_view phrase : split(list, ',')) add_phrase(phrase, *sense, number);
}

/// The lines that are no phrases. Words that stand for others must come before the phrases.
bool Vocabulary::read_kind(std::string_view head, std::string_view list) {
  const std::string_view kind = head.substr(0, head.find(' '));
  const std::string meant = joined(words_of(head.substr(kind.size())));
  const bool known = kind == "article" || kind == "filler" || kind == "path" || kind == "thing" ||
                     ((kind == "word" || kind == "same") && !meant.empty());
  if (!known) return false;
  for (const std::string_view entry : split(list, ',')) {
    const std::string word = joined(words_of(entry));
    if (word.empty()) continue;
    if (kind == "article")
      articles_.insert(word);
    else if (kind == "filler")
      fillers_.insert(word);
    else if (kind == "word")
      words_.emplace(word, meant);
    else if (kind == "same")
      same_.emplace_back(word, meant);
    else
      path_parts_.emplace(word, kind == "path" ? PathPart::container : PathPart::thing);
  }
  return true;
}

void Vocabulary::add_phrase(std::string_view phrase, const Sense& sense, std::size_t number) {
  const Words words = words_of(phrase);
  if (words.empty()) return;
  Words core = core_of(words);
  bool alone = add_key(exact_, key_of(words, true), sense);
  // A number in a phrase is an address ("PID 1F") or else part of the name: nothing to drop.
  const bool numbered = std::any_of(words.begin(), words.end(), begins_with_digit);
  if (!is_of_cells(sense) && !numbered) {
    alone &= add_key(loose_, key_of(words, false), sense);
    if (core.size() > 1) alone &= add_key(sorted_, sorted_key_of(core), sense);
  }
  if (!alone) {
    complaints_.push_back(fmt::format("line {}: '{}' has a meaning already", number, phrase));
  }
  if (sense.meaning == Meaning::role) {
    phrases_[static_cast<std::size_t>(sense.role)].emplace_back(phrase);
    phrase_words_[static_cast<std::size_t>(sense.role)].push_back(std::move(core));
  }
}

/// False when the key means something else already.
bool Vocabulary::add_key(std::unordered_map<std::string, Sense>& senses, std::string key,
                         const Sense& sense) {
  if (key.empty()) return true;
  const auto [place, fresh] = senses.emplace(std::move(key), sense);
  return fresh || (place->second.meaning == sense.meaning && place->second.role == sense.role);
}

std::string Vocabulary::common_spelling(std::string word) const {
  if (const auto found = words_.find(word); found != words_.end()) return found->second;
  for (const auto& [spelling, stands_for] : same_) replace_all(word, spelling, stands_for);
  return word;
}

/// Behind a number a letter is a digit of it: "PID 0D", "010E".
bool Vocabulary::is_article(const Words& words, std::size_t i) const {
  return articles_.contains(words[i]) && (i == 0 || !begins_with_digit(words[i - 1]));
}

/// Words are joined without blanks, so that "coolant temp" and "CoolantTemp" and "coolanttemp"
/// meet.
std::string Vocabulary::key_of(const Words& words, bool with_fillers) const {
  std::string key;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (is_article(words, i) || (!with_fillers && fillers_.contains(words[i]))) continue;
    const auto found = words_.find(words[i]);
    key += found == words_.end() ? words[i] : found->second;
  }
  for (const auto& [spelling, stands_for] : same_) replace_all(key, spelling, stands_for);
  return key;
}

Words Vocabulary::core_of(const Words& words) const {
  Words core;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (!is_article(words, i) && !fillers_.contains(words[i]))
      core.push_back(common_spelling(words[i]));
  }
  return core;
}

std::string Vocabulary::sorted_key_of(Words core) {
  std::sort(core.begin(), core.end());
  std::string key;
  for (const std::string& word : core) key += word + ' ';
  return key;
}

std::optional<Sense> Vocabulary::sense_of(const Words& words) const {
  const auto look = [](const auto& senses, const std::string& key) -> std::optional<Sense> {
    const auto found = senses.find(key);
    if (found == senses.end()) return std::nullopt;
    return found->second;
  };
  if (auto sense = look(exact_, key_of(words, true))) return sense;
  if (auto sense = look(loose_, key_of(words, false))) return sense;
  return look(sorted_, sorted_key_of(core_of(words)));
}

PathPart Vocabulary::path_part(const Words& words) const {
  if (const auto whole = path_parts_.find(joined(words)); whole != path_parts_.end())
    return whole->second;
  PathPart part = PathPart::none;
  for (const std::string& word : words) {
    const bool number = word.find_first_not_of("0123456789") == std::string::npos;
    const auto found = path_parts_.find(word);
    if (found == path_parts_.end() && !number) return PathPart::none;
    if (found != path_parts_.end()) part = std::max(part, found->second);
    part = std::max(part, PathPart::container);
  }
  return part;
}

const Vocabulary& vocabulary() {
  static const Vocabulary known{vocabulary_text()};
  return known;
}

} // namespace coolband
