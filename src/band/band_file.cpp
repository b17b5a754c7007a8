// SPDX-License-Identifier: Apache-2.0
// Writing and reading `coolband.band/1`.
#include "coolband/band/band_file.hpp"

#include "band/circuit_json.hpp"
#include "band/drive_json.hpp"
#include "band/json_fields.hpp"
#include "band/written_band.hpp"
#include "core/code_point.hpp"
#include "core/text_file.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <utility>

#include <nlohmann/json.hpp>

namespace coolband {

namespace {

using Json = nlohmann::ordered_json;

/// As in a drive's summary: no digits that differ between math libraries.
double rounded(double value) { return std::round(value * 1e6) / 1e6; }

Json maybe(const std::optional<double>& value) {
  return value ? Json(rounded(*value)) : Json(nullptr);
}
Json maybe(const std::optional<Range>& value) {
  return value ? Json::array({value->low, value->high}) : Json(nullptr);
}

Json effect_json(const std::optional<Effect>& effect) {
  if (!effect) return nullptr;
  Json json;
  json["slope"] = rounded(effect->slope);
  json["error"] = rounded(effect->error);
  json["reference"] = rounded(effect->reference);
  json["seen"] = maybe(effect->seen);
  return json;
}

Json trait_json(const std::optional<Trait>& trait) {
  if (!trait) return nullptr;
  Json json;
  json["value"] = rounded(trait->value);
  json["error"] = rounded(trait->error);
  json["scatter"] = rounded(trait->scatter);
  json["drives"] = trait->drives;
  return json;
}

Json traits_json(const Traits& traits) {
  Json json;
  json["warm_up"] = nullptr;
  if (traits.warm_up) {
    json["warm_up"] = {{"rate_k_per_min", trait_json(traits.warm_up->rate_k_per_min)},
                       {"load", effect_json(traits.warm_up->load)},
                       {"ambient", effect_json(traits.warm_up->ambient)}};
  }
  json["opens_c"] = trait_json(traits.opens_c);
  json["amplitude_k"] = trait_json(traits.amplitude_k);
  json["period_s"] = trait_json(traits.period_s);
  json["hottest_idle_c"] = trait_json(traits.hottest_idle_c);
  json["best_cooling_k_per_min"] = trait_json(traits.best_cooling_k_per_min);
  json["dips_per_h"] = trait_json(traits.dips_per_h);
  json["roughness_k"] = trait_json(traits.roughness_k);
  return json;
}

Json drift_json(const std::optional<Drift>& drift) {
  if (!drift) return nullptr;
  return {{"since", drift->since}, {"shift_c", rounded(drift->shift_c)}, {"drives", drift->drives}};
}

Json earlier_json(const std::optional<EarlierBand>& earlier) {
  if (!earlier) return nullptr;
  Json json;
  json["drives"] = earlier->drives;
  json["centre_c"] = rounded(earlier->centre_c);
  json["half_width_c"] = rounded(earlier->half_width_c);
  json["between_c"] = rounded(earlier->between_c);
  json["within_c"] = rounded(earlier->within_c);
  json["load_c_per_pct"] = maybe(earlier->load_c_per_pct);
  json["ambient_c_per_c"] = maybe(earlier->ambient_c_per_c);
  json["reference"] = {{"load_pct", maybe(earlier->reference_load_pct)},
                       {"ambient_c", maybe(earlier->reference_ambient_c)}};
  json["opens_c"] = maybe(earlier->opens_c);
  return json;
}

Json model_json(const NormalBand& band) {
  Json json;
  json["schema"] = "coolband.band/1";
  json["vehicle"] = band.vehicle;
  json["centre_c"] = rounded(band.centre_c);
  json["centre_error_c"] = rounded(band.centre_error_c);
  json["load_c_per_pct"] = maybe(band.load_c_per_pct);
  json["load_error_c_per_pct"] = rounded(band.load_error_c_per_pct);
  json["load_lag_s"] = rounded(band.load_lag_s);
  json["ambient_c_per_c"] = maybe(band.ambient_c_per_c);
  json["ambient_error_c_per_c"] = rounded(band.ambient_error_c_per_c);
  json["reference"] = {{"load_pct", maybe(band.reference_load_pct)},
                       {"ambient_c", maybe(band.reference_ambient_c)}};
  json["speed"] = effect_json(band.speed);
  json["idle"] = effect_json(band.idle);
  json["climb"] = effect_json(band.climb);
  json["between_c"] = rounded(band.between_c);
  json["within_c"] = rounded(band.within_c);
  json["half_width_c"] = rounded(band.half_width_c);
  Json widening = Json::array();
  for (const double factor : band.widening) widening.push_back(rounded(factor));
  json["widening"] = std::move(widening);
  json["content"] = band.content;
  json["confidence"] = band.confidence;
  // From what is written, so that the file read again gives the same bytes.
  json["lower_c"] = rounded(rounded(band.centre_c) - rounded(band.half_width_c));
  json["upper_c"] = rounded(rounded(band.centre_c) + rounded(band.half_width_c));
  json["freedom"] = rounded(band.freedom);
  json["correlation_s"] = rounded(band.correlation_s);
  json["opens_c"] = maybe(band.opens_c);
  json["load_seen_pct"] = maybe(band.load_seen_pct);
  json["ambient_seen_c"] = maybe(band.ambient_seen_c);
  json["traits"] = traits_json(band.traits);
  json["circuit"] = circuit_json(band.circuit);
  json["drift"] = drift_json(band.drift);
  json["since"] = band.since.empty() ? Json(nullptr) : Json(band.since);
  json["earlier"] = earlier_json(band.earlier);
  json["left_out_before"] = band.left_out_before;
  json["notes"] = band.notes;
  return json;
}

Json left_out_json(const LeftOut& left) {
  Json json = drive_json(left.drive);
  json["reason"] = left.reason;
  return json;
}

/// What is no UTF-8 is replaced.
std::string dumped(const Json& json, int indent) {
  return json.dump(indent, ' ', false, Json::error_handler_t::replace);
}

/// A list of the file, a line an entry, so that a band of many drives stays small and readable.
void append_list(std::string& text, const char* key, const Json& entries) {
  text += std::string(",\n  \"") + key + "\": [";
  const char* before = "\n    ";
  for (const Json& entry : entries) {
    text += before;
    text += dumped(entry, -1);
    before = ",\n    ";
  }
  text += entries.empty() ? "]" : "\n  ]";
}

template <class Entries, class ToJson>
Json list_json(const Entries& entries, ToJson to_json) {
  Json list = Json::array();
  for (const auto& entry : entries) list.push_back(to_json(entry));
  return list;
}

/// A list among the kept fields, which then goes with the other lists; null where it is none.
Json take_list(Json& model, const char* key) {
  const auto found = model.find(key);
  if (found == model.end() || !found->is_array()) return nullptr;
  Json list = std::move(*found);
  model.erase(found);
  return list;
}

std::optional<Effect> effect_from(FieldReader& reader, const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end() || found->is_null()) return std::nullopt;
  Effect effect;
  effect.slope = reader.required_number(*found, "slope", k_any);
  effect.error = reader.required_number(*found, "error", k_positive);
  effect.reference = reader.required_number(*found, "reference", k_any);
  effect.seen = reader.range(*found, "seen");
  return effect;
}

std::optional<Trait> trait_from(FieldReader& reader, const Json& json, const char* key) {
  const auto found = json.find(key);
  if (found == json.end() || found->is_null()) return std::nullopt;
  Trait trait;
  trait.value = reader.required_number(*found, "value", k_any);
  trait.error = reader.required_number(*found, "error", k_positive);
  trait.scatter = reader.required_number(*found, "scatter", k_positive);
  trait.drives = reader.required_count(*found, "drives");
  return trait;
}

void read_model(FieldReader& reader, const Json& json, NormalBand& band) {
  band.vehicle = reader.required_text(json, "vehicle");
  band.centre_c = reader.required_number(json, "centre_c", k_reading_c);
  band.centre_error_c = reader.required_number(json, "centre_error_c", k_positive);
  band.load_c_per_pct = reader.number(json, "load_c_per_pct", k_any);
  band.load_error_c_per_pct = reader.number(json, "load_error_c_per_pct", k_positive).value_or(0.0);
  band.load_lag_s = reader.number(json, "load_lag_s", {1.0, 3600.0}).value_or(60.0);
  band.ambient_error_c_per_c =
      reader.number(json, "ambient_error_c_per_c", k_positive).value_or(0.0);
  band.speed = effect_from(reader, json, "speed");
  band.idle = effect_from(reader, json, "idle");
  band.climb = effect_from(reader, json, "climb");
  if (const auto widening = json.find("widening"); widening != json.end()) {
    const bool good =
        widening->is_array() &&
        std::all_of(widening->begin(), widening->end(), [](const Json& factor) {
          return factor.is_number() && factor.get<double>() >= 0.1 && factor.get<double>() <= 100.0;
        });
    if (good) band.widening = widening->get<std::vector<double>>();
    // What lies behind the table goes straight on, and must not come out below nothing.
    if (!good || !std::is_sorted(band.widening.begin(), band.widening.end()))
      return reader.complain("widening", "must be a list of factors that do not fall");
  }
  band.content = reader.number(json, "content", {0.5, 0.9999}).value_or(0.95);
  band.confidence = reader.number(json, "confidence", {0.5, 0.9999}).value_or(0.95);
  band.ambient_c_per_c = reader.number(json, "ambient_c_per_c", k_any);
  band.between_c = reader.required_number(json, "between_c", k_positive);
  band.within_c = reader.required_number(json, "within_c", k_positive);
  band.half_width_c = reader.required_number(json, "half_width_c", {1e-3, 100.0});
  band.freedom = reader.required_number(json, "freedom", k_positive);
  band.correlation_s = reader.required_number(json, "correlation_s", k_positive);
  band.opens_c = reader.number(json, "opens_c", k_reading_c);
  band.load_seen_pct = reader.range(json, "load_seen_pct");
  band.ambient_seen_c = reader.range(json, "ambient_seen_c");
  const auto reference = json.find("reference");
  if (reference == json.end() || !reference->is_object())
    return reader.complain("reference", "is missing");
  band.reference_load_pct = reader.number(*reference, "load_pct", k_any);
  band.reference_ambient_c = reader.number(*reference, "ambient_c", k_any);
}

void read_traits(FieldReader& reader, const Json& json, Traits& traits) {
  const auto found = json.find("traits");
  if (found == json.end() || !found->is_object()) return;
  traits.opens_c = trait_from(reader, *found, "opens_c");
  traits.amplitude_k = trait_from(reader, *found, "amplitude_k");
  traits.period_s = trait_from(reader, *found, "period_s");
  traits.hottest_idle_c = trait_from(reader, *found, "hottest_idle_c");
  traits.best_cooling_k_per_min = trait_from(reader, *found, "best_cooling_k_per_min");
  traits.dips_per_h = trait_from(reader, *found, "dips_per_h");
  traits.roughness_k = trait_from(reader, *found, "roughness_k");
  const auto warm_up = found->find("warm_up");
  if (warm_up == found->end() || !warm_up->is_object()) return;
  const auto rate = trait_from(reader, *warm_up, "rate_k_per_min");
  if (!rate) return reader.complain("rate_k_per_min", "is missing");
  traits.warm_up = WarmUpNormal{*rate, effect_from(reader, *warm_up, "load"),
                                effect_from(reader, *warm_up, "ambient")};
}

void read_history(FieldReader& reader, const Json& json, NormalBand& band) {
  band.since = reader.text(json, "since").value_or("");
  band.left_out_before = reader.count(json, "left_out_before");
  if (const auto drift = json.find("drift"); drift != json.end() && drift->is_object()) {
    band.drift = Drift{reader.required_text(*drift, "since"),
                       reader.required_number(*drift, "shift_c", k_any),
                       reader.required_count(*drift, "drives")};
  }
  const auto found = json.find("earlier");
  if (found == json.end() || !found->is_object()) return;
  EarlierBand earlier;
  earlier.drives = reader.required_count(*found, "drives");
  earlier.centre_c = reader.required_number(*found, "centre_c", k_reading_c);
  earlier.half_width_c = reader.required_number(*found, "half_width_c", k_positive);
  earlier.between_c = reader.required_number(*found, "between_c", k_positive);
  earlier.within_c = reader.required_number(*found, "within_c", k_positive);
  earlier.load_c_per_pct = reader.number(*found, "load_c_per_pct", k_any);
  earlier.ambient_c_per_c = reader.number(*found, "ambient_c_per_c", k_any);
  earlier.opens_c = reader.number(*found, "opens_c", k_reading_c);
  if (const auto reference = found->find("reference"); reference != found->end()) {
    earlier.reference_load_pct = reader.number(*reference, "load_pct", k_any);
    earlier.reference_ambient_c = reader.number(*reference, "ambient_c", k_any);
  }
  band.earlier = earlier;
}

/// Calls `take` with each object of a list; false and a complaint when it is none.
template <class Take>
void read_list(FieldReader& reader, const Json& json, const char* key, Take take) {
  const auto list = json.find(key);
  if (list == json.end()) return;
  if (!list->is_array()) return reader.complain(key, "must be a list");
  for (const Json& entry : *list) {
    if (!entry.is_object()) return reader.complain(key, "must hold objects");
    take(entry);
  }
}

void read_drives(FieldReader& reader, const Json& json, NormalBand& band) {
  if (!json.contains("drives")) return reader.complain("drives", "is missing");
  read_list(reader, json, "drives",
            [&](const Json& entry) { band.drives.push_back(drive_from(reader, entry)); });
  read_list(reader, json, "folded",
            [&](const Json& entry) { band.folded.push_back(folded_from(reader, entry)); });
  read_list(reader, json, "left_out", [&](const Json& entry) {
    band.left_out.push_back({drive_from(reader, entry), reader.text(entry, "reason").value_or("")});
  });
}

Result<NormalBand> band_from(const Json& json, const std::string& name) {
  FieldReader reader(name);
  NormalBand band;
  read_model(reader, json, band);
  read_traits(reader, json, band.traits);
  band.circuit = circuit_from(reader, json);
  read_history(reader, json, band);
  read_drives(reader, json, band);
  if (const auto notes = json.find("notes"); notes != json.end() && notes->is_array()) {
    for (const Json& note : *notes) {
      if (note.is_string()) band.notes.push_back(note.get<std::string>());
    }
  }
  if (reader.complaint()) return *reader.complaint();
  Json known = model_json(band);
  for (const char* list : {"drives", "folded", "left_out"}) known[list] = nullptr;
  band.extra_json = unknown_fields(json, known);
  return band;
}

/// A band as a document; its lists, which are most of it, are made once for all texts.
class BandDocument {
 public:
  explicit BandDocument(const NormalBand& band)
      : model_(model_json(band)), drives_(list_json(band.drives, drive_json)),
        folded_(list_json(band.folded, folded_json)),
        left_out_(list_json(band.left_out, left_out_json)) {
    append_list(lists_text_, "drives", drives_);
    append_list(lists_text_, "folded", folded_);
    append_list(lists_text_, "left_out", left_out_);
  }

  [[nodiscard]] std::string text(const std::string& extra_json) const {
    Json model = with_extra(extra_json);
    const Json history = take_list(model, "history");
    std::string text = dumped(model, 2);
    text.resize(text.size() - 2); // the end of line and the brace: the lists follow
    text += lists_text_;
    if (!history.is_null()) append_list(text, "history", history);
    return text + "\n}\n";
  }

  /// What the text holds, in its order.
  [[nodiscard]] Json whole(const std::string& extra_json) && {
    Json whole = with_extra(extra_json);
    Json history = take_list(whole, "history");
    whole["drives"] = std::move(drives_);
    whole["folded"] = std::move(folded_);
    whole["left_out"] = std::move(left_out_);
    if (!history.is_null()) whole["history"] = std::move(history);
    return whole;
  }

 private:
  [[nodiscard]] Json with_extra(const std::string& extra_json) const {
    Json model = model_;
    if (!extra_json.empty()) model.update(Json::parse(extra_json));
    return model;
  }

  Json model_;
  Json drives_;
  Json folded_;
  Json left_out_;
  std::string lists_text_;
};

bool is_sound_text(std::string_view text) {
  while (!text.empty()) {
    const CodePoint code = first_code_point(text);
    if (!code.sound) return false;
    text.remove_prefix(code.bytes);
  }
  return true;
}

/// Would the text of this, parsed, be this again? A number that is not finite is written as null,
/// what is no UTF-8 is replaced.
bool comes_back(const Json& json) {
  if (json.is_number_float()) return std::isfinite(json.get<double>());
  if (json.is_string()) return is_sound_text(json.get_ref<const std::string&>());
  if (json.is_array()) return std::all_of(json.begin(), json.end(), comes_back);
  if (!json.is_object()) return true;
  const auto& members = json.get_ref<const Json::object_t&>();
  return std::all_of(members.begin(), members.end(), [](const auto& member) {
    return is_sound_text(member.first) && comes_back(member.second);
  });
}

} // namespace

std::string write_band(const NormalBand& band) { return BandDocument(band).text(band.extra_json); }

Result<NormalBand> parse_band(const std::string& text, const std::string& name) {
  const auto json = parse_schema(text, name, "coolband.band/1");
  if (!json) return json.error();
  return band_from(*json, name);
}

WrittenBand written_with(const NormalBand& band,
                         const std::function<std::string(const std::string& bare)>& extra_of,
                         const std::string& name) {
  BandDocument document(band);
  const std::string extra_json = extra_of(document.text(""));
  std::string text = document.text(extra_json);
  const Json json = std::move(document).whole(extra_json);
  auto again = comes_back(json) ? band_from(json, name) : parse_band(text, name);
  return {std::move(text), std::move(again)};
}

Result<NormalBand> read_band(const std::string& path) {
  const auto text = read_text_file(path);
  if (!text) {
    Error error = text.error();
    error.remedy += "; a band is what 'coolband learn' writes";
    return error;
  }
  return parse_band(*text, path);
}

} // namespace coolband
