// SPDX-License-Identifier: Apache-2.0
// Typed fields out of a JSON document in which nothing may be misspelt: every complaint names the
// place, and a key that nobody asked for is one.
#pragma once

#include "coolband/band/normal_band.hpp"
#include "coolband/core/error.hpp"

#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include <nlohmann/json_fwd.hpp>

namespace coolband::cli {

/// What becomes of a key that nobody asked for: refused, or passed over unless it is so near a
/// known one that it must be a slip.
enum class Strangers { refuse, pass };

/// Keeps the first complaint about one document, so that callers check once at the end.
class JsonComplaints {
 public:
  JsonComplaints(std::string name, std::string text, Strangers strangers = Strangers::refuse)
      : name_(std::move(name)), text_(std::move(text)), strangers_(strangers) {}

  /// `path` as in "route[2].minutes".
  void at(const std::string& path, const std::string& message, const std::string& remedy);
  void at(std::size_t offset, const std::string& message, const std::string& remedy);
  [[nodiscard]] const std::optional<Error>& first() const { return first_; }
  [[nodiscard]] const std::string& text() const { return text_; }
  [[nodiscard]] Strangers strangers() const { return strangers_; }

 private:
  std::string name_;
  std::string text_;
  Strangers strangers_;
  std::optional<Error> first_;
};

/// One object of the document. Absent and null leave what is read into as it is.
class JsonGroup {
 public:
  /// `object` may be null (absent); it must outlive the group.
  JsonGroup(JsonComplaints& complaints, const nlohmann::ordered_json* object, std::string path)
      : complaints_(complaints), object_(object), path_(std::move(path)) {}

  bool number(const std::string& key, double& target); ///< true when it was given
  bool number(const std::string& key, double& target, Range allowed);
  void number(const std::string& key, std::optional<double>& target);
  void flag(const std::string& key, std::optional<bool>& target);
  void text(const std::string& key, std::optional<std::string>& target);
  /// A text that must be one of `names`; its index.
  std::optional<std::size_t> one_of(const std::string& key, std::span<const std::string> names);
  JsonGroup group(const std::string& key);
  std::vector<JsonGroup> list(const std::string& key);

  /// Keys that are known and not used.
  void ignore(std::initializer_list<std::string> keys);
  /// Complains of a key that was neither read nor ignored. To be called last.
  void only_known();

  [[nodiscard]] bool has(const std::string& key) const; ///< present and not null
  [[nodiscard]] bool given() const { return object_ != nullptr; }
  [[nodiscard]] std::string path_of(const std::string& key) const;
  void complain(const std::string& key, const std::string& what, const std::string& remedy);

 private:
  const nlohmann::ordered_json* find(const std::string& key);

  JsonComplaints& complaints_;
  const nlohmann::ordered_json* object_;
  std::string path_;
  std::vector<std::string> known_;
};

/// "did you mean 'x'?", or what there is to choose from.
std::string choice_remedy(const std::string& word, std::span<const std::string> known);

} // namespace coolband::cli
