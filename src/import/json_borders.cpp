// SPDX-License-Identifier: Apache-2.0
// A walk over the marks; which kind of bracket is open at each depth is kept as one bit.
#include "import/json_borders.hpp"

#include "import/json_record.hpp"

#include <algorithm>
#include <cstdint>

namespace coolband {

namespace {

struct StringEnd {
  std::size_t at = 0; ///< behind the string; 0 if it has no end
  bool broken = false;
};

StringEnd skip_string(std::string_view text, std::size_t at) {
  for (++at; at < text.size(); ++at) {
    if (text[at] == '"') return {at + 1, false};
    if (text[at] == '\\' && at + 1 < text.size() && text[at + 1] != '\n') ++at;
    if (text[at] == '\n') return {at, true};
  }
  return {};
}

class Brackets {
 public:
  [[nodiscard]] std::size_t depth() const { return depth_; }
  void open(char c) {
    kinds_ = (kinds_ << 1) | (c == '{' ? 1U : 0U);
    ++depth_;
  }
  /// False if another kind is open.
  bool close(char c) {
    if ((kinds_ & 1U) != (c == '}' ? 1U : 0U)) return false;
    kinds_ >>= 1;
    --depth_;
    return true;
  }
  /// Whether a nested value may begin behind the mark `before`.
  [[nodiscard]] bool may_open(char before) const {
    if (depth_ == 0) return true;
    return (kinds_ & 1U) != 0 ? before == ':' : before == '[' || before == ',';
  }

 private:
  static_assert(k_json_depth <= 63);
  std::uint64_t kinds_ = 0;
  std::size_t depth_ = 0;
};

bool is_mark(char c) { return c == ',' || c == ':' || c == '{' || c == '['; }

} // namespace

RecordEnd find_record_end(std::string_view text) {
  using State = RecordEnd::State;
  Brackets brackets;
  char before = ','; // the last mark; 'v' inside or behind a word, '"' behind a string
  for (std::size_t at = 0; at < text.size();) {
    const char c = text[at];
    if (is_json_space(c)) {
      if (before == 'v') before = '}';
      ++at;
    } else if (c == '"') {
      if (!is_mark(before)) return {State::broken, at};
      const StringEnd end = skip_string(text, at);
      if (end.broken) return {State::broken, end.at};
      if (end.at == 0) return {State::more_needed, text.size()};
      at = end.at;
      before = '"';
    } else if (c == '{' || c == '[') {
      if (!brackets.may_open(before)) return {State::broken, at};
      if (brackets.depth() == k_json_depth) return {State::too_deep, at};
      brackets.open(c);
      before = c;
      ++at;
    } else if (c == '}' || c == ']') {
      if (!brackets.close(c)) return {State::broken, at};
      ++at;
      if (brackets.depth() == 0) return {State::whole, at};
      before = '}';
    } else {
      if (c != ',' && c != ':' && !is_mark(before) && before != 'v') return {State::broken, at};
      before = c == ',' || c == ':' ? c : 'v';
      ++at;
    }
  }
  return {State::more_needed, text.size()};
}

std::size_t find_next_record(std::string_view text, char opener) {
  const char closer = opener == '{' ? '}' : ']';
  const auto not_blank = [&](std::size_t at) {
    while (at < text.size() && is_json_space(text[at])) ++at;
    return at;
  };
  for (std::size_t at = 1; at < text.size(); ++at) {
    const char c = text[at];
    if (c == '\x1E') return at;
    if (c != '\n' && c != closer) continue;
    std::size_t next = not_blank(at + 1);
    if (c == closer && next < text.size() && text[next] == ',') next = not_blank(next + 1);
    if (next < text.size() && text[next] == opener) return at + 1;
  }
  return std::string_view::npos;
}

} // namespace coolband
