// SPDX-License-Identifier: Apache-2.0
// A walk over the document; numbers and odd strings are left to the library.
#include "band/dump_json.hpp"

#include "core/code_point.hpp"

#include <array>
#include <charconv>
#include <cmath>
#include <cstddef>
#include <string_view>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// Bytes from `at` on that stand in JSON as they are. Beyond ASCII whole characters are tested.
std::size_t plain_size(std::string_view text, std::size_t at) {
  const std::size_t from = at;
  while (at < text.size()) {
    const auto byte = static_cast<unsigned char>(text[at]);
    if (byte < 0x20 || byte == '"' || byte == '\\') break;
    if (byte < 0x80) {
      ++at;
      continue;
    }
    const CodePoint code = first_code_point(text.substr(at));
    if (!code.sound) break;
    at += code.bytes;
  }
  return at - from;
}

/// The letter behind the backslash; 0 where it takes a number.
char short_escape(char c) {
  switch (c) {
  case '"':
  case '\\': return c;
  case '\b': return 'b';
  case '\f': return 'f';
  case '\n': return 'n';
  case '\r': return 'r';
  case '\t': return 't';
  default: return '\0';
  }
}

class JsonDump {
 public:
  JsonDump(std::string& text, int indent)
      : text_(text), pretty_(indent >= 0), step_(pretty_ ? static_cast<std::size_t>(indent) : 0) {}

  void put(const Json& json, std::size_t depth) {
    switch (json.type()) {
    case Json::value_t::object: return put_object(json, depth);
    case Json::value_t::array: return put_array(json, depth);
    case Json::value_t::string: return put_string(json.get_ref<const std::string&>());
    case Json::value_t::boolean: text_ += json.get<bool>() ? "true" : "false"; return;
    case Json::value_t::number_integer: return put_whole(json.get<Json::number_integer_t>());
    case Json::value_t::number_unsigned: return put_whole(json.get<Json::number_unsigned_t>());
    case Json::value_t::number_float: return put_number(json.get<double>());
    case Json::value_t::null: text_ += "null"; return;
    case Json::value_t::binary:
    case Json::value_t::discarded: break;
    }
    text_ += json.dump(pretty_ ? static_cast<int>(step_) : -1);
  }

 private:
  void put_object(const Json& json, std::size_t depth) {
    const auto& members = json.get_ref<const Json::object_t&>();
    if (members.empty()) {
      text_ += "{}";
      return;
    }
    text_ += '{';
    bool first = true;
    for (const auto& [key, value] : members) {
      begin_item(first, depth + 1);
      first = false;
      put_string(key);
      text_ += pretty_ ? ": " : ":";
      put(value, depth + 1);
    }
    end_items(depth);
    text_ += '}';
  }

  void put_array(const Json& json, std::size_t depth) {
    if (json.empty()) {
      text_ += "[]";
      return;
    }
    text_ += '[';
    bool first = true;
    for (const Json& value : json) {
      begin_item(first, depth + 1);
      first = false;
      put(value, depth + 1);
    }
    end_items(depth);
    text_ += ']';
  }

  void begin_item(bool first, std::size_t depth) {
    if (!first) text_ += ',';
    end_items(depth);
  }
  void end_items(std::size_t depth) {
    if (!pretty_) return;
    text_ += '\n';
    text_.append(depth * step_, ' ');
  }

  void put_string(const std::string& value) {
    const std::size_t begin = text_.size();
    text_ += '"';
    for (std::size_t at = 0; at < value.size();) {
      const std::size_t plain = plain_size(value, at);
      text_.append(value, at, plain);
      at += plain;
      if (at == value.size()) break;
      const char c = value[at++];
      if (static_cast<unsigned char>(c) >= 0x80) {
        // What is no UTF-8 is replaced by rules of the library's own.
        text_.resize(begin);
        text_ += Json(value).dump(-1, ' ', false, Json::error_handler_t::replace);
        return;
      }
      put_escape(c);
    }
    text_ += '"';
  }

  void put_escape(char c) {
    text_ += '\\';
    if (const char letter = short_escape(c); letter != '\0') {
      text_ += letter;
      return;
    }
    constexpr std::string_view k_digits = "0123456789abcdef";
    const auto byte = static_cast<unsigned char>(c);
    text_ += "u00";
    text_ += k_digits[byte / 16];
    text_ += k_digits[byte % 16];
  }

  template <class Whole>
  void put_whole(Whole value) {
    std::array<char, 24> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
    text_.append(digits.data(), end);
  }

  void put_number(double value) {
    if (!std::isfinite(value)) {
      text_ += "null";
      return;
    }
    std::array<char, 64> digits{};
    const char* const end =
        nlohmann::detail::to_chars(digits.data(), digits.data() + digits.size(), value);
    text_.append(digits.data(), static_cast<std::size_t>(end - digits.data()));
  }

  std::string& text_;
  bool pretty_;
  std::size_t step_;
};

} // namespace

std::string dumped(const Json& json, int indent) {
  std::string text;
  JsonDump(text, indent).put(json, 0);
  return text;
}

} // namespace coolband
