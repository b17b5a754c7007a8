// SPDX-License-Identifier: Apache-2.0
// The library's event parser over an iterator that counts, so that each event has a place.
#include "import/json_outline.hpp"

#include "import/json_words.hpp"

#include <algorithm>
#include <iterator>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::json;

constexpr std::size_t k_deepest_path = 3;
constexpr std::size_t k_longest_list = 4096;

class CountingIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  CountingIterator(const char* at, std::size_t* count) : at_(at), count_(count) {}
  reference operator*() const { return *at_; }
  CountingIterator& operator++() {
    ++at_;
    ++*count_;
    return *this;
  }
  CountingIterator operator++(int) {
    const CountingIterator before = *this;
    ++*this;
    return before;
  }
  bool operator==(const CountingIterator& other) const { return at_ == other.at_; }
  bool operator!=(const CountingIterator& other) const { return at_ != other.at_; }

 private:
  const char* at_;
  std::size_t* count_;
};

class OutlineCollector : public nlohmann::json_sax<Json> {
 public:
  explicit OutlineCollector(const std::size_t& place) : place_(place) {}

  bool null() override { return scalar({}, false); }
  bool boolean(bool) override { return scalar("true", false); }
  bool number_integer(number_integer_t) override { return scalar("0", false); }
  bool number_unsigned(number_unsigned_t) override { return scalar("0", false); }
  bool number_float(number_float_t, const string_t&) override { return scalar("0", false); }
  bool string(string_t& value) override { return scalar(value, true); }
  bool binary(binary_t&) override { return false; }

  bool start_object(std::size_t) override {
    if (inside_ == 0) {
      path_.emplace_back();
      return true;
    }
    if (inside_ == 1) element(JsonArray::Kind::objects);
    ++inside_;
    return true;
  }
  bool key(string_t& name) override {
    key_ = name;
    if (inside_ == 0) {
      path_.back() = name;
      if (path_.size() <= k_deepest_path && members_.size() < k_longest_list)
        members_.push_back(path_);
    } else if (inside_ >= 2 && array().elements == 1 && is_short(array().first)) {
      if (array().kind == JsonArray::Kind::objects) array().first.push_back(name);
    }
    return true;
  }
  bool end_object() override {
    if (inside_ == 0)
      path_.pop_back();
    else
      --inside_;
    return true;
  }
  bool start_array(std::size_t) override {
    if (inside_ == 0) {
      outline_.arrays.push_back({});
      array().path = path_;
      array().begin = place_;
    } else if (inside_ == 1) {
      element(JsonArray::Kind::rows);
    }
    ++inside_;
    cells_ = 0;
    return true;
  }
  bool end_array() override {
    --inside_;
    if (inside_ == 1 && array().kind == JsonArray::Kind::rows && array().elements == 1)
      array().width = cells_;
    return true;
  }
  bool parse_error(std::size_t at, const std::string&,
                   const nlohmann::detail::exception&) override {
    error_at_ = at;
    return false;
  }

  [[nodiscard]] std::size_t error_at() const { return error_at_; }
  JsonOutline finish() {
    for (std::size_t i = 0; i < members_.size(); ++i) {
      // A member that only leads to the next one says nothing of its own.
      if (i + 1 == members_.size() || !leads_to(members_[i], members_[i + 1]))
        outline_.beside.push_back(json_path(members_[i]));
    }
    return std::move(outline_);
  }

 private:
  using Kind = JsonArray::Kind;

  JsonArray& array() { return outline_.arrays.back(); }
  static bool is_short(const std::vector<std::string>& list) {
    return list.size() < k_longest_list;
  }
  static bool leads_to(const std::vector<std::string>& path, const std::vector<std::string>& to) {
    return to.size() > path.size() && std::equal(path.begin(), path.end(), to.begin());
  }
  void element(Kind kind) {
    JsonArray& in = array();
    ++in.elements;
    const bool simple =
        in.kind == Kind::empty || in.kind == Kind::strings || in.kind == Kind::scalars;
    if (in.kind == Kind::empty || (simple && kind != Kind::strings)) in.kind = kind;
    if (kind == Kind::objects && is_short(in.names)) {
      in.names.emplace_back();
      in.units.emplace_back();
    }
  }
  bool scalar(std::string_view text, bool quoted) {
    if (inside_ == 0) return true;
    JsonArray& in = array();
    if (inside_ == 1) {
      element(quoted ? Kind::strings : Kind::scalars);
      if (quoted && is_short(in.names)) in.names.emplace_back(text);
    } else if (inside_ == 2 && in.kind == Kind::rows) {
      ++cells_;
      if (in.elements == 1 && is_short(in.first)) in.first.emplace_back(text);
    } else if (inside_ == 2 && in.kind == Kind::objects && quoted && is_short(in.names)) {
      if (key_ == "name") in.names.back() = text;
      if (key_ == "unit" || key_ == "units") in.units.back() = text;
    }
    return true;
  }

  const std::size_t& place_;
  JsonOutline outline_;
  std::vector<std::string> path_; ///< keys of the open objects outside of arrays
  std::vector<std::vector<std::string>> members_;
  std::string key_;
  std::size_t inside_ = 0; ///< brackets open from an array of the outline on
  std::size_t cells_ = 0;
  std::size_t error_at_ = 0;
};

} // namespace

std::string json_path(const std::vector<std::string>& path) {
  std::string text;
  for (const std::string& key : path) text += (text.empty() ? "" : ".") + key;
  return text;
}

JsonOutline outline_json(std::string_view text) {
  std::string mended(text);
  mend_json_words(mended);
  std::size_t place = 0;
  OutlineCollector collector(place);
  const char* const from = mended.data();
  const bool whole = Json::sax_parse(CountingIterator(from, &place),
                                     CountingIterator(from + mended.size(), &place), &collector,
                                     Json::input_format_t::json, false);
  JsonOutline outline = collector.finish();
  if (whole)
    outline.end = place;
  else
    outline.valid = collector.error_at() > text.size();
  return outline;
}

} // namespace coolband
