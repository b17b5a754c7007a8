// SPDX-License-Identifier: Apache-2.0
// Reading what a user says of a job.
#include "cli/plan_options.hpp"

#include "band/json_fields.hpp"
#include "cli/coolant_measures.hpp"
#include "cli/json_group.hpp"
#include "cli/options.hpp"
#include "cli/usage_error.hpp"
#include "core/text_file.hpp"

#include <algorithm>
#include <charconv>
#include <string_view>

#include <fmt/core.h>
#include <nlohmann/json.hpp>

namespace coolband::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr Range k_price{0.0, 1e7};
constexpr Range k_life_km{100.0, 1e7};
constexpr Range k_shape{0.1, 20.0};
constexpr Range k_odometer_km{0.0, 1e7};

std::vector<std::string> part_names() {
  std::vector<std::string> names;
  for (const PartKind& kind : part_kinds()) names.emplace_back(kind.id);
  return names;
}

std::optional<Error> unknown_part(const std::string& option, const std::string& part) {
  const std::vector<std::string> names = part_names();
  if (std::find(names.begin(), names.end(), part) != names.end()) return std::nullopt;
  return usage(fmt::format("{}: '{}' is no part that is known here", option, part),
               choice_remedy(part, names));
}

/// A number that fills the whole text and lies in the range.
std::optional<double> number_in(std::string_view text, Range range) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  if (!(value >= range.low && value <= range.high)) return std::nullopt;
  return value;
}

/// "PART=REST"; the rest is empty where there is no "=".
std::pair<std::string, std::string> halves(const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) return {text, ""};
  return {text.substr(0, equals), text.substr(equals + 1)};
}

template <class Item>
void put(std::vector<Item>& items, Item item) {
  std::erase_if(items, [&](const Item& old) { return old.id == item.id; });
  items.push_back(std::move(item));
}

std::optional<Error> read_price(const std::string& text, JobOptions& options) {
  const auto [part, amount] = halves(text);
  if (auto error = unknown_part("--price", part)) return error;
  const auto price = number_in(amount, k_price);
  if (!price)
    return usage(fmt::format("--price '{}': '{}' is no price", text, amount),
                 "write PART=AMOUNT, e.g. --price thermostat=24.50");
  put(options.prices, PartPrice{part, *price});
  return std::nullopt;
}

std::vector<std::string> split(const std::string& text, char between) {
  std::vector<std::string> fields;
  std::size_t from = 0;
  for (std::size_t at = text.find(between); at != std::string::npos;
       at = text.find(between, from)) {
    fields.push_back(text.substr(from, at - from));
    from = at + 1;
  }
  fields.push_back(text.substr(from));
  return fields;
}

std::optional<Error> read_life(const std::string& text, JobOptions& options) {
  const auto [part, rest] = halves(text);
  if (auto error = unknown_part("--life", part)) return error;
  const std::vector<std::string> fields = split(rest, ':');
  const auto at = [&](std::size_t i, Range range, std::optional<double> usual) {
    return i < fields.size() ? number_in(fields[i], range) : usual;
  };
  const auto life_km = at(0, k_life_km, std::nullopt);
  const auto shape = at(1, k_shape, std::nullopt);
  const auto fitted_km = at(2, k_odometer_km, std::nullopt);
  if (fields.size() > 3 || !life_km || !shape || (fields.size() == 3 && !fitted_km))
    return usage(
        fmt::format("--life '{}': not a life in km, a shape and where it was fitted", text),
        "write PART=KM:SHAPE[:FITTED_KM], e.g. --life belt=120000:3:80000 (km by which "
        "63 % have failed, 100 to 1e7; shape 0.1 to 20)");
  put(options.lives, PartLife{part, *life_km, *shape, fitted_km});
  return std::nullopt;
}

/// The object of a file, with complaints that know where.
template <class Read>
std::optional<Error> read_object(const std::string& path, const Read& read) {
  if (path.empty()) return std::nullopt;
  const auto text = read_text_file(path);
  if (!text) return text.error();
  const auto json = parse_json(*text, path);
  if (!json) return json.error();
  JsonComplaints complaints(path, *text);
  if (!json->is_object())
    complaints.at(std::size_t{0}, "must be an object: { ... }", "mend the file");
  else
    read(JsonGroup(complaints, &*json, ""));
  return complaints.first();
}

std::optional<Error> read_price_file(const std::string& path, JobOptions& options) {
  return read_object(path, [&](JsonGroup root) {
    std::optional<std::string> currency;
    root.text("currency", currency);
    options.currency = currency.value_or("");
    for (const PartKind& kind : part_kinds()) {
      double price = 0.0;
      const std::string id(kind.id);
      if (root.number(id, price, k_price)) put(options.prices, PartPrice{id, price});
    }
    root.ignore({"schema", "note"});
    root.only_known();
  });
}

void read_life_of(JsonGroup& root, const std::string& id, JobOptions& options) {
  JsonGroup group = root.group(id);
  if (!group.given()) return;
  PartLife life{id, 0.0, 0.0, {}};
  group.number("life_km", life.life_km, k_life_km);
  group.number("shape", life.shape, k_shape);
  double fitted_km = 0.0;
  if (group.number("fitted_km", fitted_km, k_odometer_km)) life.fitted_km = fitted_km;
  group.ignore({"note"});
  group.only_known(); // first, as a misspelt key is missing too
  for (const char* key : {"life_km", "shape"})
    if (!group.has(key)) group.complain(key, "is missing", "give life_km and shape");
  put(options.lives, std::move(life));
}

std::optional<Error> read_life_file(const std::string& path, JobOptions& options) {
  return read_object(path, [&](JsonGroup root) {
    for (const PartKind& kind : part_kinds()) read_life_of(root, std::string(kind.id), options);
    root.ignore({"schema", "note"});
    root.only_known();
  });
}

std::optional<Error> read_measure(const std::optional<std::string>& text, const MeasureRule& rule,
                                  std::optional<double>& target) {
  if (!text) return std::nullopt;
  const auto measure = parse_measure(*text, rule);
  if (!measure) return measure.error();
  target = measure->own;
  return std::nullopt;
}

std::optional<Error> read_coolant(const JobWords& words, CoolantOptions& coolant) {
  std::optional<double> product;
  const std::pair<const std::optional<std::string>*, const MeasureRule*> texts[] = {
      {&words.capacity, &k_capacity},
      {&words.drained, &k_drained},
      {&words.concentration, &k_concentration},
      {&words.target, &k_target},
      {&words.product, &k_product}};
  std::optional<double>* const targets[] = {&coolant.capacity_l, &coolant.drained_l,
                                            &coolant.present_pct, &coolant.target_pct, &product};
  for (std::size_t i = 0; i < std::size(texts); ++i) {
    if (auto error = read_measure(*texts[i].first, *texts[i].second, *targets[i])) return error;
  }
  coolant.product_pct = product.value_or(coolant.product_pct);
  return std::nullopt;
}

void add_coolant_options(CLI::App& app, JobWords& words) {
  const auto add = [&](const char* name, std::optional<std::string>& text, const char* type,
                       const char* what) { app.add_option(name, text, what)->type_name(type); };
  add("--capacity", words.capacity, "VOLUME",
      "what the whole cooling system holds, where the profile does not tell");
  add("--drained", words.drained, "VOLUME", "what was let out, once it is measured");
  add("--concentration", words.concentration, "PERCENT", "glycol by volume in it now, measured");
  add("--target", words.target, "PERCENT", "the mix to fill in (the profile's if not given)");
  add("--product", words.product, "PERCENT",
      "glycol in what is filled in: 100 is concentrate (the default), 50 a premix");
}

} // namespace

void add_job_options(CLI::App& app, JobWords& words) {
  app.add_option("--trip", words.trip, "which trip of several, from 1 (the worst if not given)")
      ->type_name("N")
      ->check(within(1, 1e6));
  app.add_option("--confirmed", words.confirmed, "the cause that the checks found: plan its work")
      ->type_name("CONDITION")
      ->check(CLI::IsMember(cause_names()));
  add_coolant_options(app, words);
  app.add_option("--price", words.prices, "for a piece, a litre or labour-hour (repeatable)")
      ->type_name("PART=AMOUNT")
      ->allow_extra_args(false);
  app.add_option("--prices", words.price_file, "the same as a JSON object, with \"currency\"")
      ->type_name("FILE");
  app.add_option("--life", words.lives,
                 "Weibull life of a part: km by which 63 % have failed, shape, odometer when it "
                 "was fitted (repeatable)")
      ->type_name("PART=KM:SHAPE[:FITTED_KM]")
      ->allow_extra_args(false);
  app.add_option("--lives", words.life_file,
                 "the same as a JSON object: {\"belt\": {\"life_km\": 120000, \"shape\": 3}}")
      ->type_name("FILE");
  app.add_option("--hours", words.hours,
                 "hours of work that the workshop counts for the job: with the price of a "
                 "labour-hour they are in the cost")
      ->type_name("H")
      ->check(within(0, 1000));
  app.add_option("--next", words.next_km, "km over which a part that stays may fail (20000)")
      ->type_name("KM")
      ->check(within(1, 1e7));
  app.add_option("--odometer", words.odometer_km, "km now, over profile and job card")
      ->type_name("KM")
      ->check(within(0, 1e7));
  app.add_option("--shows", words.shows_pct,
                 "share of drives that showed the fault, where you know it better than the report")
      ->type_name("PERCENT")
      ->check(within(1, 100));
  app.add_option("--miss", words.miss_pct,
                 "chance that the proof may miss a fault that is still there (5)")
      ->type_name("PERCENT")
      ->check(within(0.1, 50));
}

Result<JobOptions> job_options(const JobWords& words) {
  JobOptions options;
  if (words.trip) options.trip = *words.trip - 1;
  options.confirmed = cause_named(words.confirmed);
  if (auto error = read_coolant(words, options.coolant)) return *error;
  if (auto error = read_price_file(words.price_file, options)) return *error;
  for (const std::string& text : words.prices)
    if (auto error = read_price(text, options)) return *error;
  if (auto error = read_life_file(words.life_file, options)) return *error;
  for (const std::string& text : words.lives)
    if (auto error = read_life(text, options)) return *error;
  options.next_km = words.next_km.value_or(options.next_km);
  options.odometer_km = words.odometer_km;
  options.hours = words.hours;
  if (words.shows_pct) options.share = *words.shows_pct / 100.0;
  if (words.miss_pct) options.miss = *words.miss_pct / 100.0;
  return options;
}

} // namespace coolband::cli
