// SPDX-License-Identifier: Apache-2.0
// How well the fitted circuit foretells a drive that it was not fitted to: circuit_prediction
// LOG... All logs are of one vehicle. Each drive is left out in turn; the others are fitted; then
// the one left out is predicted a block (10 s) ahead, a minute ahead, and from its first reading
// on. Beside it: persistence (the reading stays) and a plain linear regression of the next reading
// on reading, load, engine speed, road speed and air, fitted by least squares to the same other
// drives.
#include "circuit/circuit_drive.hpp"
#include "circuit/circuit_prior.hpp"
#include "circuit/fit_circuit.hpp"
#include "circuit/reduced_circuit.hpp"
#include "circuit/valve_curve.hpp"
#include "coolband/condition/condition.hpp"
#include "coolband/import/import_log.hpp"
#include "coolband/numeric/robust_fit.hpp"

#include <fmt/core.h>

#include <chrono>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace {

using namespace coolband;

struct Drive {
  std::string name;
  CircuitDrive whole;
  CircuitInputs inputs;
};

std::vector<std::uint8_t> scored_flags(const CircuitInputs& drive) {
  std::vector<std::uint8_t> flags(drive.size());
  for (const std::size_t i : drive.scored) flags[i] = 1;
  return flags;
}

/// Root of the mean square and the mean error, in K.
struct Errors {
  double squares = 0.0;
  double sum = 0.0;
  double count = 0.0;

  void add(double error) {
    if (std::isnan(error)) return;
    squares += error * error;
    sum += error;
    count += 1.0;
  }
  [[nodiscard]] double rms() const { return std::sqrt(squares / count); }
};

/// Next reading less this one, as a line over the conditions.
class Regression {
 public:
  explicit Regression(const std::vector<const CircuitInputs*>& drives) {
    std::vector<std::vector<double>> columns(5);
    std::vector<double> rises;
    for (const CircuitInputs* drive : drives) {
      for (std::size_t i = 1; i < drive->size(); ++i) {
        const double rise = drive->coolant_c[i] - drive->coolant_c[i - 1];
        if (drive->begins[i] != 0 || std::isnan(rise)) continue;
        const auto row = conditions(*drive, i, drive->coolant_c[i - 1]);
        for (std::size_t c = 0; c < row.size(); ++c) columns[c].push_back(row[c]);
        rises.push_back(rise);
      }
    }
    for (std::size_t c = 0; c < columns.size(); ++c) {
      if (varies(columns[c])) used_.push_back(c);
    }
    std::vector<std::vector<double>> kept;
    for (const std::size_t c : used_) kept.push_back(columns[c]);
    RobustFitOptions options;
    options.loss = Loss::squares;
    const auto fit = fit_robust(rises, kept, options);
    if (fit) coefficients_ = fit->coefficients;
  }

  [[nodiscard]] double next(const CircuitInputs& drive, std::size_t i, double before_c) const {
    if (coefficients_.empty()) return std::nan("");
    const auto row = conditions(drive, i, before_c);
    double rise = coefficients_[0];
    for (std::size_t k = 0; k < used_.size(); ++k) rise += coefficients_[k + 1] * row[used_[k]];
    return before_c + rise;
  }

 private:
  static std::vector<double> conditions(const CircuitInputs& drive, std::size_t i,
                                        double before_c) {
    return {before_c, drive.load[i], drive.turning[i], drive.wind[i], drive.ambient_c[i]};
  }
  static bool varies(const std::vector<double>& column) {
    for (const double value : column) {
      if (value != column.front()) return true;
    }
    return false;
  }

  std::vector<std::size_t> used_;
  std::vector<double> coefficients_;
};

/// From each reading on for `blocks` blocks without another; only the last one counts.
template <class Next>
void add_ahead(Errors& errors, const CircuitInputs& drive, std::size_t blocks, Next next) {
  const auto scored = scored_flags(drive);
  for (std::size_t from = 0; from + blocks < drive.size(); ++from) {
    double value = drive.coolant_c[from];
    bool whole = true;
    for (std::size_t i = from + 1; i <= from + blocks; ++i) {
      whole = whole && drive.begins[i] == 0;
      value = next(drive, i, value);
    }
    if (whole && scored[from + blocks] != 0) errors.add(drive.coolant_c[from + blocks] - value);
  }
}

template <class Next>
void add_free(Errors& errors, const CircuitInputs& drive, Next next) {
  const auto scored = scored_flags(drive);
  double value = std::nan("");
  for (std::size_t i = 0; i < drive.size(); ++i) {
    value = drive.begins[i] != 0 || std::isnan(value) ? drive.coolant_c[i] : next(drive, i, value);
    if (scored[i] != 0) errors.add(drive.coolant_c[i] - value);
  }
}

/// A prediction a block ahead takes nearly all that the reading before it told.
constexpr Observer k_one_step{3.0, 100.0};

struct Table {
  Errors step[3];
  Errors free[3];
};

double nothing_new(const CircuitInputs&, std::size_t, double before_c) { return before_c; }

void add_circuit(Errors& errors, const CircuitInputs& drive, const CircuitValues& circuit,
                 const Observer& observer) {
  const auto predicted = predict_readings(drive, circuit, observer);
  for (const std::size_t i : drive.scored) errors.add(drive.coolant_c[i] - predicted[i]);
}

void judge(Table& table, const std::vector<Drive>& drives, std::size_t left_out) {
  std::vector<CircuitDrive> fitted_to;
  std::vector<const CircuitInputs*> others;
  for (std::size_t i = 0; i < drives.size(); ++i) {
    if (i == left_out) continue;
    others.push_back(&drives[i].inputs);
    fitted_to.push_back(drives[i].whole);
  }
  const auto fitted = fit_circuit(fitted_to);
  if (!fitted) return;
  const CircuitValues circuit = values_of(*fitted);
  const Regression regression(others);
  const auto next = [&](const CircuitInputs& drive, std::size_t i, double before_c) {
    return regression.next(drive, i, before_c);
  };
  const CircuitInputs& drive = drives[left_out].inputs;
  Table mine;
  add_circuit(mine.step[0], drive, circuit, k_one_step);
  add_ahead(mine.step[1], drive, 1, nothing_new);
  add_ahead(mine.step[2], drive, 1, next);
  add_circuit(mine.free[0], drive, circuit, {std::numeric_limits<double>::infinity()});
  add_free(mine.free[1], drive, nothing_new);
  add_free(mine.free[2], drive, next);
  fmt::print("{:28} {:5.0f} | {:5.2f} {:5.2f} {:5.2f} | {:5.2f} {:5.2f} {:5.2f}\n",
             drives[left_out].name, mine.step[0].count, mine.step[0].rms(), mine.step[1].rms(),
             mine.step[2].rms(), mine.free[0].rms(), mine.free[1].rms(), mine.free[2].rms());
  const auto merge = [](Errors& all, const Errors& one) {
    all.squares += one.squares;
    all.sum += one.sum;
    all.count += one.count;
  };
  for (std::size_t k = 0; k < 3; ++k) merge(table.step[k], mine.step[k]);
  for (std::size_t k = 0; k < 3; ++k) merge(table.free[k], mine.free[k]);
}

void print_circuit(const std::vector<Drive>& drives) {
  std::vector<CircuitDrive> all;
  for (const Drive& drive : drives) all.push_back(drive.whole);
  const auto from = std::chrono::steady_clock::now();
  const auto fitted = fit_circuit(all);
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - from;
  if (!fitted) return;
  fmt::print("fitted to all {} drives in {:.0f} ms: {:.1f} h, misfit {:.2f} K\n", fitted->drives,
             1e3 * took.count(), fitted->hours, fitted->misfit_k);
  for (std::size_t p = 0; p < k_circuit_parameters; ++p) {
    const CircuitValue& value = fitted->values[p];
    fmt::print("  {:11} {:8.4g}  {:.4g} .. {:.4g}{}\n", name_of(static_cast<CircuitParameter>(p)),
               value.value, value.low, value.high, value.identified ? "" : "  not identified");
  }
}

} // namespace

int main(int argc, char** argv) {
  std::vector<Drive> drives;
  for (int a = 1; a < argc; ++a) {
    const auto recording = import_log(argv[a]);
    if (!recording) {
      fmt::print(stderr, "{}\n", describe(recording.error()));
      return 3;
    }
    const std::string path = argv[a];
    for (const Trip& trip : find_trips(*recording, condition(*recording))) {
      CircuitDrive drive = circuit_drive(trip.blocks, 1e9);
      CircuitInputs inputs = circuit_inputs({&drive, 1});
      drives.push_back(
          {path.substr(path.find_last_of('/') + 1), std::move(drive), std::move(inputs)});
    }
  }
  fmt::print("{:28} {:>5} | {:^17} | {:^17}\n", "root mean square error, K", "", "10 s ahead",
             "from the start on");
  fmt::print("{:28} {:>5} | {} | {}\n", "drive left out", "n", "circ. pers. regr.",
             "circ. pers. regr.");
  Table table;
  for (std::size_t i = 0; i < drives.size(); ++i) judge(table, drives, i);
  fmt::print("{:28} {:5.0f} | {:5.2f} {:5.2f} {:5.2f} | {:5.2f} {:5.2f} {:5.2f}\n", "all",
             table.step[0].count, table.step[0].rms(), table.step[1].rms(), table.step[2].rms(),
             table.free[0].rms(), table.free[1].rms(), table.free[2].rms());
  print_circuit(drives);
  return 0;
}
