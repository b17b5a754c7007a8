// SPDX-License-Identifier: Apache-2.0
// Typed fields out of a JSON document in which nothing may be misspelt.
#include "cli/json_group.hpp"

#include "core/json_place.hpp"
#include "core/suggest.hpp"

#include <algorithm>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr const char* k_mend = "mend the field";

} // namespace

std::string choice_remedy(const std::string& word, std::span<const std::string> known) {
  const std::string near = nearest(word, known);
  if (!near.empty()) return fmt::format("did you mean '{}'?", near);
  std::string text;
  for (const std::string& name : known) text += (text.empty() ? "" : ", ") + name;
  return "there are: " + text;
}

void JsonComplaints::at(const std::string& path, const std::string& message,
                        const std::string& remedy) {
  if (!first_) at(offset_of(text_, path), message, remedy);
}

void JsonComplaints::at(std::size_t offset, const std::string& message, const std::string& remedy) {
  if (first_) return;
  const std::size_t at = std::min(offset, text_.size());
  const std::size_t from = at == 0 ? 0 : text_.rfind('\n', at - 1) + 1;
  const auto lines =
      std::count(text_.begin(), text_.begin() + static_cast<std::ptrdiff_t>(from), '\n');
  first_ = Error{ErrorKind::usage,
                 {name_, static_cast<std::size_t>(lines) + 1, at - from + 1},
                 message,
                 text_.substr(from, text_.find('\n', from) - from),
                 remedy.empty() ? k_mend : remedy};
}

std::string JsonGroup::path_of(const std::string& key) const {
  return path_.empty() ? key : path_ + "." + key;
}

void JsonGroup::complain(const std::string& key, const std::string& what,
                         const std::string& remedy) {
  const std::string path = path_of(key);
  complaints_.at(path, path + " " + what, remedy);
}

const Json* JsonGroup::find(const std::string& key) {
  known_.push_back(key);
  return has(key) ? &*object_->find(key) : nullptr;
}

bool JsonGroup::has(const std::string& key) const {
  if (object_ == nullptr) return false;
  const auto found = object_->find(key);
  return found != object_->end() && !found->is_null();
}

bool JsonGroup::number(const std::string& key, double& target) {
  const Json* const found = find(key);
  if (found == nullptr) return false;
  if (!found->is_number()) {
    complain(key, "must be a number", k_mend);
    return false;
  }
  target = found->get<double>();
  return true;
}

bool JsonGroup::number(const std::string& key, double& target, Range allowed) {
  if (!number(key, target)) return false;
  if (!(target >= allowed.low && target <= allowed.high)) {
    complain(key, fmt::format("is {}, outside {} to {}", target, allowed.low, allowed.high),
             k_mend);
  }
  return true;
}

void JsonGroup::number(const std::string& key, std::optional<double>& target) {
  double value = 0.0;
  if (number(key, value)) target = value;
}

void JsonGroup::flag(const std::string& key, std::optional<bool>& target) {
  const Json* const found = find(key);
  if (found == nullptr) return;
  if (found->is_boolean())
    target = found->get<bool>();
  else
    complain(key, "must be true or false", "leave it out for the usual way");
}

void JsonGroup::text(const std::string& key, std::optional<std::string>& target) {
  const Json* const found = find(key);
  if (found == nullptr) return;
  if (found->is_string())
    target = found->get<std::string>();
  else
    complain(key, "must be a text", k_mend);
}

std::optional<std::size_t> JsonGroup::one_of(const std::string& key,
                                             std::span<const std::string> names) {
  std::optional<std::string> word;
  text(key, word);
  if (!word) return std::nullopt;
  const auto found = std::find(names.begin(), names.end(), *word);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  complain(key, fmt::format("is '{}', which is unknown", *word), choice_remedy(*word, names));
  return std::nullopt;
}

JsonGroup JsonGroup::group(const std::string& key) {
  const Json* found = find(key);
  if (found != nullptr && !found->is_object()) {
    complain(key, "must be an object: { ... }", k_mend);
    found = nullptr;
  }
  return {complaints_, found, path_of(key)};
}

std::vector<JsonGroup> JsonGroup::list(const std::string& key) {
  std::vector<JsonGroup> groups;
  const Json* const found = find(key);
  if (found == nullptr) return groups;
  if (!found->is_array()) {
    complain(key, "must be a list: [ ... ]", k_mend);
    return groups;
  }
  for (std::size_t i = 0; i < found->size(); ++i) {
    const std::string path = fmt::format("{}[{}]", path_of(key), i);
    const Json& item = (*found)[i];
    if (!item.is_object()) complaints_.at(path, path + " must be an object: { ... }", k_mend);
    groups.emplace_back(complaints_, item.is_object() ? &item : nullptr, path);
  }
  return groups;
}

void JsonGroup::ignore(std::initializer_list<std::string> keys) {
  known_.insert(known_.end(), keys);
}

void JsonGroup::only_known() {
  if (object_ == nullptr) return;
  for (const auto& item : object_->items()) {
    if (std::find(known_.begin(), known_.end(), item.key()) != known_.end()) continue;
    if (complaints_.strangers() == Strangers::pass && nearest(item.key(), known_).empty()) continue;
    complaints_.at(path_of(item.key()),
                   fmt::format("\"{}\" is no field{}", item.key(),
                               path_.empty() ? " that is known here" : " of " + path_),
                   choice_remedy(item.key(), known_));
  }
}

} // namespace coolband::cli
