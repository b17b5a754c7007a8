// SPDX-License-Identifier: Apache-2.0
// A walk over valid JSON that keeps places, which the parsed document does not.
#include "core/json_place.hpp"

#include <algorithm>
#include <charconv>
#include <vector>

namespace coolband {

namespace {

class Walk {
 public:
  explicit Walk(std::string_view json) : json_(json) {
    if (json.starts_with("\xEF\xBB\xBF")) at_ = 3; // the byte order mark of a file of UTF-8
    blank();
  }

  [[nodiscard]] std::size_t at() const { return at_; }

  /// From the value here to the member `key` of it; false, and no step, where there is none.
  bool into_member(std::string_view key) {
    if (now() != '{') return false;
    const std::size_t home = at_;
    for (step(); now() != '}'; next_item()) {
      const std::size_t place = at_;
      const std::string_view found = string();
      blank();
      step(); // the colon
      if (found == key) {
        value_ = at_;
        at_ = place;
        return true;
      }
      value();
    }
    at_ = home;
    return false;
  }

  /// A member's place is its key; what comes next is looked for in its value.
  void to_value() {
    if (value_ > 0) at_ = value_;
    value_ = 0;
  }

  bool into_element(std::size_t index) {
    if (now() != '[') return false;
    const std::size_t home = at_;
    for (step(); now() != ']'; next_item()) {
      if (index-- == 0) return true;
      value();
    }
    at_ = home;
    return false;
  }

  /// The text between the quotes.
  std::string_view string() {
    const std::size_t from = ++at_;
    while (now() != '"' && now() != '\0') at_ += now() == '\\' ? 2U : 1U;
    const std::string_view text = json_.substr(std::min(from, json_.size()), at_ - from);
    ++at_;
    return text;
  }

  [[nodiscard]] char now() const { return at_ < json_.size() ? json_[at_] : '\0'; }

  void step() {
    ++at_;
    blank();
  }

  void blank() {
    while (now() == ' ' || now() == '\t' || now() == '\n' || now() == '\r') ++at_;
  }

 private:
  void next_item() {
    blank();
    if (now() == ',') step();
  }

  /// Past the value here, however deep it is.
  void value() {
    int depth = 0;
    do {
      const char c = now();
      if (c == '\0') return;
      if (c == '"') {
        string();
        continue;
      }
      if (c == '{' || c == '[') ++depth;
      if (c == '}' || c == ']') --depth;
      ++at_;
    } while (depth > 0 || (now() != ',' && now() != '}' && now() != ']' && now() != '\0'));
  }

  std::string_view json_;
  std::size_t at_ = 0;
  std::size_t value_ = 0;
};

} // namespace

std::size_t offset_of(std::string_view json, std::string_view path) {
  Walk walk(json);
  while (!path.empty()) {
    walk.to_value();
    if (path.starts_with('.')) path.remove_prefix(1);
    bool found = false;
    if (path.starts_with('[')) {
      std::size_t index = 0;
      std::from_chars(path.data() + 1, path.data() + path.size(), index);
      path.remove_prefix(std::min(path.find(']') + 1, path.size()));
      found = walk.into_element(index);
    } else {
      const std::size_t end = std::min(path.find_first_of(".["), path.size());
      found = walk.into_member(path.substr(0, end));
      path.remove_prefix(end);
    }
    if (!found) break;
  }
  return walk.at();
}

std::optional<RepeatedKey> repeated_key(std::string_view json) {
  Walk walk(json);
  std::vector<std::vector<std::string_view>> open; // the keys of each object or list around
  while (walk.now() != '\0') {
    const char c = walk.now();
    const std::size_t place = walk.at();
    if (c == '"') {
      const std::string_view text = walk.string();
      walk.blank();
      if (walk.now() != ':') continue;
      std::vector<std::string_view>& keys = open.back();
      if (std::find(keys.begin(), keys.end(), text) != keys.end())
        return RepeatedKey{place, std::string(text)};
      keys.push_back(text);
    }
    if (c == '{' || c == '[') open.emplace_back();
    if (c == '}' || c == ']') open.pop_back();
    walk.step();
  }
  return std::nullopt;
}

std::size_t member_count(std::string_view json) {
  Walk walk(json);
  if (walk.now() != '{') return 0;
  std::size_t count = 0;
  int depth = 0;
  for (; walk.now() != '\0'; walk.step()) {
    // What follows a text is looked at by the next turn.
    while (walk.now() == '"') {
      walk.string();
      walk.blank();
    }
    const char c = walk.now();
    if (c == '{' || c == '[') ++depth;
    if ((c == '}' || c == ']') && --depth <= 0) break;
    if (c == ':' && depth == 1) ++count;
  }
  return count;
}

} // namespace coolband
