// SPDX-License-Identifier: Apache-2.0
// A short road for flat objects without escapes, which is what logs are made of; the library's
// parser for everything else, so that it alone decides what is valid JSON.
#include "import/json_record.hpp"

#include "import/number_text.hpp"

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::json;

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }

/// Collects the scalars of one object. Places in the arena are kept, not views: it grows.
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
    if (arrays_ > 0) return true;
    path_.resize(path_sizes_.back());
    path_sizes_.pop_back();
    return true;
  }
  bool start_array(std::size_t) override {
    if (path_sizes_.empty()) return false;
    ++arrays_;
    return true;
  }
  bool end_array() override {
    --arrays_;
    return true;
  }
  bool parse_error(std::size_t, const std::string&, const nlohmann::detail::exception&) override {
    return false;
  }

  [[nodiscard]] const std::vector<Span>& spans() const { return spans_; }

 private:
  bool add(std::string_view text) {
    if (path_sizes_.empty()) return false;
    if (arrays_ > 0) return true;
    spans_.push_back({arena_.size(), path_.size(), arena_.size() + path_.size(), text.size()});
    arena_ += path_;
    arena_ += text;
    return true;
  }

  std::string& arena_;
  std::string path_;
  std::vector<std::size_t> path_sizes_;
  std::size_t arrays_ = 0;
  std::vector<Span> spans_;
};

/// Reads the marks of a flat object; every `take` fails rather than guesses.
class FlatReader {
 public:
  explicit FlatReader(std::string_view text) : at_(text.data()), end_(at_ + text.size()) {}

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
  /// A number in JSON's own grammar, or null; other words are for the library.
  bool take_scalar(std::string_view& text) {
    skip_blanks();
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
    if (at_ == end_ || (*at_ != ',' && *at_ != '}' && !is_blank(*at_))) return false;
    text = {from, static_cast<std::size_t>(at_ - from)};
    return true;
  }
  bool at_end() {
    skip_blanks();
    return at_ == end_;
  }

 private:
  void skip_blanks() {
    while (at_ != end_ && is_blank(*at_)) ++at_;
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

bool JsonRecord::parse(std::string_view text) {
  fields_.clear();
  if (parse_flat(text)) return true;
  fields_.clear();
  return parse_any(text);
}

bool JsonRecord::parse_flat(std::string_view text) {
  FlatReader reader(text);
  if (!reader.take('{')) return false;
  if (reader.take('}')) return reader.at_end();
  for (;;) {
    Field field;
    if (!reader.take_string(field.name) || !reader.take(':') || !reader.take_scalar(field.text))
      return false;
    fields_.push_back(field);
    if (reader.take('}')) return reader.at_end();
    if (!reader.take(',')) return false;
  }
}

bool JsonRecord::parse_any(std::string_view text) {
  arena_.clear();
  FieldCollector collector(arena_);
  if (!Json::sax_parse(text.begin(), text.end(), &collector)) return false;
  arena_.append(k_cell_padding, '\0');
  const std::string_view arena = arena_;
  for (const auto& span : collector.spans()) {
    fields_.push_back(
        {arena.substr(span.name_at, span.name_size), arena.substr(span.text_at, span.text_size)});
  }
  return true;
}

} // namespace coolband
