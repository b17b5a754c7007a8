// SPDX-License-Identifier: Apache-2.0
// A short road for flat records without escapes, which is what logs are made of; the library's
// parser for everything else, so that it alone decides what is valid JSON.
#include "import/json_record.hpp"

#include "import/json_borders.hpp"
#include "import/json_words.hpp"
#include "import/number_text.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::json;

/// Collects the scalars of one record. Places in the arena are kept, not views: it grows.
class FieldCollector : public nlohmann::json_sax<Json> {
 public:
  struct Span {
    std::size_t name_at;
    std::size_t name_size;
    std::size_t text_at;
    std::size_t text_size;
  };

  explicit FieldCollector(std::string& arena) : arena_(arena) {}

  bool null() override { return add({}); }
  bool boolean(bool value) override { return add(value ? "true" : "false"); }
  bool number_integer(number_integer_t value) override { return add(std::to_string(value)); }
  bool number_unsigned(number_unsigned_t value) override { return add(std::to_string(value)); }
  bool number_float(number_float_t, const string_t& text) override { return add(text); }
  bool string(string_t& value) override { return add(value); }
  bool binary(binary_t&) override { return false; }
  bool start_object(std::size_t) override {
    if (!open()) return false;
    if (arrays_ == 0) path_sizes_.push_back(path_.size());
    return true;
  }
  bool key(string_t& name) override {
    if (arrays_ > 0) return true;
    path_.resize(path_sizes_.back());
    if (path_sizes_.size() > 1) path_ += '.';
    path_ += name;
    return true;
  }
  bool end_object() override {
    --depth_;
    if (arrays_ > 0) return true;
    path_.resize(path_sizes_.back());
    path_sizes_.pop_back();
    return true;
  }
  bool start_array(std::size_t) override {
    if (depth_ == 0) is_row_ = true;
    if (!open()) return false;
    ++arrays_;
    return true;
  }
  bool end_array() override {
    --depth_;
    --arrays_;
    return true;
  }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override {
    return false;
  }

  [[nodiscard]] const std::vector<Span>& spans() const { return spans_; }
  [[nodiscard]] bool too_deep() const { return depth_ > k_json_depth; }

 private:
  bool open() {
    // A value nested in a row still takes a cell, or those behind it would move.
    if (is_row_ && depth_ == 1) put({});
    return ++depth_ <= k_json_depth;
  }
  bool add(std::string_view text) {
    if (depth_ == 0) return false;
    if (is_row_ ? depth_ == 1 : arrays_ == 0) put(text);
    return true;
  }
  void put(std::string_view text) {
    spans_.push_back({arena_.size(), path_.size(), arena_.size() + path_.size(), text.size()});
    arena_ += path_;
    arena_ += text;
  }

  std::string& arena_;
  std::string path_;
  std::vector<std::size_t> path_sizes_;
  std::size_t depth_ = 0;
  std::size_t arrays_ = 0;
  bool is_row_ = false;
  std::vector<Span> spans_;
};

/// Reads the marks of a flat record; every `take` fails rather than guesses.
class FlatReader {
 public:
  explicit FlatReader(std::string_view text) : at_(text.data()), end_(at_ + text.size()) {}

  bool read(std::vector<JsonRecord::Field>& fields) {
    const bool row = !take('{');
    if (row && !take('[')) return false;
    const char closer = row ? ']' : '}';
    if (take(closer)) return at_end();
    for (;;) {
      JsonRecord::Field field;
      if (!row && (!take_string(field.name) || !take(':'))) return false;
      if (!take_value(field)) return false;
      fields.push_back(field);
      if (take(closer)) return at_end();
      if (!take(',')) return false;
    }
  }

 private:
  bool take(char c) {
    skip_blanks();
    if (at_ == end_ || *at_ != c) return false;
    ++at_;
    return true;
  }
  bool take_string(std::string_view& text) {
    if (!take('"')) return false;
    const char* const from = at_;
    while (at_ != end_ && *at_ != '"') {
      // Escapes and control characters are for the library; so is proof of valid UTF-8.
      if (*at_ == '\\' || static_cast<unsigned char>(*at_) < 0x20 ||
          static_cast<unsigned char>(*at_) >= 0x80) {
        return false;
      }
      ++at_;
    }
    if (at_ == end_) return false;
    text = {from, static_cast<std::size_t>(at_++ - from)};
    return true;
  }
  bool take_value(JsonRecord::Field& field) {
    skip_blanks();
    const char* const from = at_;
    if (!take_scalar(field.text)) return false;
    field.raw = {from, static_cast<std::size_t>(at_ - from)};
    return true;
  }
  /// A number in JSON's own grammar, or null; other words are for the library.
  bool take_scalar(std::string_view& text) {
    if (at_ != end_ && *at_ == '"') return take_string(text);
    if (end_ - at_ >= 4 && std::string_view(at_, 4) == "null") {
      at_ += 4;
      text = {};
      return true;
    }
    const char* const from = at_;
    if (at_ != end_ && *at_ == '-') ++at_;
    const char* const whole = at_;
    if (!skip_digits() || (*whole == '0' && at_ - whole > 1)) return false;
    if (at_ != end_ && *at_ == '.') {
      ++at_;
      if (!skip_digits()) return false;
    }
    text = {from, static_cast<std::size_t>(at_ - from)};
    return true;
  }
  bool at_end() {
    skip_blanks();
    return at_ == end_;
  }
  void skip_blanks() {
    while (at_ != end_ && is_json_space(*at_)) ++at_;
  }
  bool skip_digits() {
    const char* const from = at_;
    while (at_ != end_ && *at_ >= '0' && *at_ <= '9') ++at_;
    return at_ != from;
  }

  const char* at_;
  const char* end_;
};

} // namespace

std::string_view JsonRecord::parse(std::string_view text) {
  words_ = 0;
  fields_.clear();
  flat_ = FlatReader(text).read(fields_);
  if (flat_) return {};
  // The library takes a zero byte for the end of its input.
  if (text.find('\0') != std::string_view::npos) return "not valid JSON";
  std::string_view fault = parse_any(text);
  if (fault != "not valid JSON") return fault;
  mended_ = text;
  const JsonWords words = mend_json_words(mended_);
  if (words.missing + words.too_large == 0) return fault;
  fault = parse_any(mended_);
  if (fault.empty()) words_ = words.missing;
  return fault;
}

std::string_view JsonRecord::parse_any(std::string_view text) {
  fields_.clear();
  arena_.clear();
  FieldCollector collector(arena_);
  if (!Json::sax_parse(text.begin(), text.end(), &collector))
    return collector.too_deep() ? "nested too deeply" : "not valid JSON";
  arena_.append(k_cell_padding, '\0');
  const std::string_view arena = arena_;
  for (const auto& span : collector.spans()) {
    fields_.push_back({arena.substr(span.name_at, span.name_size),
                       arena.substr(span.text_at, span.text_size),
                       {}});
  }
  return {};
}

} // namespace coolband
