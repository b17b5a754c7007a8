// SPDX-License-Identifier: Apache-2.0
// coolband coolant: where a mix freezes and boils, and how to get to the right one.
#include "cli/commands.hpp"
#include "cli/console.hpp"
#include "cli/coolant_measures.hpp"
#include "cli/exit_code.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/rendered.hpp"
#include "cli/usage_error.hpp"
#include "report/coolant_report.hpp"

#include <cmath>
#include <memory>
#include <utility>

#include <fmt/core.h>

namespace coolband::cli {

namespace {

using Text = std::optional<std::string>;

struct CoolantOptions {
  OutputOptions output;
  std::string profile;
  Text glycol, concentration, cap, altitude;
  Text temperature, protect_to;
  Text capacity, drained, target, product, top_up;
};

constexpr MeasureRule k_cap{"--cap", Quantity::pressure, 0.0, 300.0, "95kPa, 14psi or 0.95bar"};
constexpr MeasureRule k_altitude{"--altitude", Quantity::length, -500.0, 9000.0, "1500m or 5000ft"};
constexpr MeasureRule k_temperature{"--temperature", Quantity::temperature, -60.0, 200.0,
                                    "104C or 220F"};
constexpr MeasureRule k_protect_to{"--protect-to", Quantity::temperature, -100.0, 60.0,
                                   "-30C or -22F"};
constexpr MeasureRule k_top_up{"--top-up", Quantity::volume, 0.01, 500.0, k_volumes};

/// Reads options one by one and keeps the first complaint, and how numbers were read.
class MeasureReader {
 public:
  std::optional<double> read(const Text& text, const MeasureRule& rule) {
    if (!text || error_) return std::nullopt;
    const auto measure = parse_measure(*text, rule);
    if (!measure) {
      error_ = measure.error();
      return std::nullopt;
    }
    if (measure->unit)
      show_also(amounts_, *measure->unit);
    else if (rule.quantity != Quantity::ratio)
      bare_ += fmt::format("{}{} {} as {}", bare_.empty() ? "" : ", ", rule.option, *text,
                           own_unit(rule.quantity));
    return measure->own;
  }
  void read(const Text& text, const MeasureRule& rule, double& value, Source& from) {
    const auto number = read(text, rule);
    if (!number) return;
    value = *number;
    from = Source::user;
  }

  [[nodiscard]] const std::optional<Error>& error() const { return error_; }
  [[nodiscard]] Amounts amounts() const {
    Amounts whole = amounts_;
    complete(whole);
    return whole;
  }
  [[nodiscard]] std::vector<std::string> remarks() const {
    if (bare_.empty()) return {};
    return {"without a unit: " + bare_};
  }

 private:
  std::optional<Error> error_;
  Amounts amounts_;
  std::string bare_;
};

void take_profile(const VehicleProfile& profile, CoolantQuestion& question) {
  if (profile.glycol) {
    question.mix.glycol = *profile.glycol;
    question.glycol_from = Source::profile;
  }
  if (profile.concentration_vol_pct) {
    question.mix.volume_pct = *profile.concentration_vol_pct;
    question.concentration_from = Source::profile;
  }
  if (profile.cap_kpa) {
    question.cap_kpa = *profile.cap_kpa;
    question.cap_from = Source::profile;
  }
  if (profile.capacity_l) {
    question.capacity_l = profile.capacity_l;
    question.capacity_from = Source::profile;
  }
}

void take_glycol(const Text& name, CoolantQuestion& question) {
  if (!name) return;
  question.mix.glycol = *name == "propylene" ? Glycol::propylene
                        : *name == "none"    ? Glycol::none
                                             : Glycol::ethylene;
  question.glycol_from = Source::user;
}

void take_options(const CoolantOptions& options, MeasureReader& reader, CoolantQuestion& question) {
  take_glycol(options.glycol, question);
  reader.read(options.concentration, k_concentration, question.mix.volume_pct,
              question.concentration_from);
  reader.read(options.cap, k_cap, question.cap_kpa, question.cap_from);
  reader.read(options.altitude, k_altitude, question.altitude_m, question.altitude_from);
  reader.read(options.product, k_product, question.product_pct, question.product_from);
  question.temperature_c = reader.read(options.temperature, k_temperature);
  question.protect_to_c = reader.read(options.protect_to, k_protect_to);
  question.target_pct = reader.read(options.target, k_target);
  question.drained_l = reader.read(options.drained, k_drained);
  question.top_up_l = reader.read(options.top_up, k_top_up);
  if (const auto capacity = reader.read(options.capacity, k_capacity)) {
    question.capacity_l = capacity;
    question.capacity_from = Source::user;
  }
}

/// Water has no concentration; whoever says otherwise contradicts himself.
std::optional<Error> settle_water(CoolantQuestion& question) {
  if (question.mix.glycol != Glycol::none) return std::nullopt;
  if (question.concentration_from == Source::user && question.mix.volume_pct > 0.0)
    return usage("a concentration without glycol is none",
                 question.glycol_from == Source::user
                     ? "leave out --glycol none, or --concentration"
                     : "the profile says that there is no glycol; name it with --glycol");
  if (question.target_pct.value_or(0.0) > 0.0)
    return usage("the target needs a glycol, and there is none",
                 "name it, e.g. --glycol ethylene --concentration 0");
  question.mix.volume_pct = 0.0;
  question.concentration_from = question.glycol_from;
  return std::nullopt;
}

double missing_l_of(const CoolantQuestion& question) {
  return question.drained_l.value_or(question.top_up_l.value_or(0.0));
}

bool is_empty(const CoolantQuestion& question) {
  return question.capacity_l && missing_l_of(question) == *question.capacity_l;
}

/// 10 quarts out of 2.5 gallons are all of it, whatever the last bits of the two numbers say.
void settle_rounding(CoolantQuestion& question) {
  constexpr double k_nothing_l = 1e-6;
  for (auto* missing : {&question.drained_l, &question.top_up_l}) {
    if (*missing && question.capacity_l &&
        std::abs(**missing - *question.capacity_l) <= k_nothing_l)
      *missing = question.capacity_l;
  }
}

/// Options that ask nothing, or too little, or two things at once.
std::optional<Error> contradiction(const CoolantQuestion& question) {
  const bool filling = question.target_pct || question.top_up_l;
  if (question.drained_l && question.top_up_l)
    return usage("--drained and --top-up both say what is missing",
                 "give one: --drained for what was let out, --top-up for what is lost");
  if (question.drained_l && !question.target_pct)
    return usage("--drained does not say what the mix shall become", "add e.g. --target 50");
  if (!filling && question.product_from == Source::user)
    return usage("--product alone asks nothing", "add --target or --top-up");
  if (!filling && question.capacity_from == Source::user)
    return usage("--capacity alone asks nothing", "add --target or --top-up");
  const double missing_l = missing_l_of(question);
  if (question.capacity_l && missing_l > *question.capacity_l)
    return usage(fmt::format("{:.4g} L cannot be missing from a system that holds {:.4g} L",
                             missing_l, *question.capacity_l),
                 "check the two volumes and their units");
  if (filling && !is_empty(question) && question.concentration_from == Source::assumed)
    return usage("what becomes of the mix depends on what is in the system now",
                 "measure it and give --concentration, e.g. --concentration 35");
  return std::nullopt;
}

Result<CoolantReport> answer(const CoolantOptions& options) {
  CoolantReport report;
  const auto profile = profile_of(options.profile);
  if (!profile) return profile.error();
  if (*profile) take_profile(**profile, report.question);
  MeasureReader reader;
  take_options(options, reader, report.question);
  if (reader.error()) return *reader.error();
  if (const auto error = settle_water(report.question)) return *error;
  settle_rounding(report.question);
  if (const auto error = contradiction(report.question)) return *error;
  const auto card = coolant_card(report.question);
  if (!card) return card.error();
  report.card = *card;
  report.amounts = reader.amounts();
  report.remarks = reader.remarks();
  return report;
}

int run(const CoolantOptions& options) {
  const OutputOptions& output = options.output;
  std::vector<std::string> inputs;
  if (!options.profile.empty()) inputs.push_back(options.profile);
  if (const auto error = check_target(output.output, output.overwrite, inputs)) return fail(*error);
  const auto report = answer(options);
  if (!report) return fail(report.error());
  Rendered rendered(output.format);
  rendered.add(output.format == "text"
                   ? render_coolant(*report, style_for(output.color, output.output != "-"))
                   : render_coolant_json(*report, rendered.indent()));
  return rendered.write(output, k_done);
}

void add_questions(CLI::App& app, CoolantOptions& options) {
  app.add_option("--glycol", options.glycol, "what the coolant is made of (ethylene if not given)")
      ->check(CLI::IsMember({"ethylene", "propylene", "none"}));
  const auto add = [&](const char* name, Text& text, const char* type, const char* what) {
    app.add_option(name, text, what)->type_name(type);
  };
  add("--concentration", options.concentration, "PERCENT",
      "glycol by volume that is in it now (50 if not given)");
  add("--cap", options.cap, "PRESSURE",
      "what is printed on the cap: 95kPa, 14psi, 0.95bar (90 kPa if not given)");
  add("--altitude", options.altitude, "HEIGHT", "1500m, 5000ft (sea level if not given)");
  add("--temperature", options.temperature, "TEMP", "how far is this from boiling? 104C, 220F");
  add("--protect-to", options.protect_to, "TEMP", "which mix stands this frost? -30C, -22F");
  add("--target", options.target, "PERCENT", "how to get to this mix?");
  add("--capacity", options.capacity, "VOLUME",
      "what the whole system holds: 9.5L, 10qt, 2.5gal (US), 2impgal");
  add("--drained", options.drained, "VOLUME", "what was let out already");
  add("--top-up", options.top_up, "VOLUME", "what is missing: what does filling it up give?");
  add("--product", options.product, "PERCENT",
      "glycol in what is filled in: 100 is concentrate (the default), 50 a premix");
}

} // namespace

Command add_coolant(CLI::App& program) {
  auto* app = program.add_subcommand(
      "coolant", "where a mix freezes and boils, and what to drain and fill in for the right one");
  auto options = std::make_shared<CoolantOptions>();
  add_questions(*app, *options);
  add_profile_option(*app, options->profile);
  add_output_options(*app, options->output, {"text", "json", "jsonl"});
  app->footer("A number without a unit is in °C, kPa, m or L.\n\n"
              "Examples:\n  coolband coolant --concentration 50 --cap 14psi --altitude 5000ft "
              "--temperature 220F\n  coolband coolant --concentration 35 --target 50 --capacity "
              "9.5L --drained 3L\n  coolband coolant --profile van.json --protect-to -30C");
  return {app, [options] { return run(*options); }};
}

} // namespace coolband::cli
