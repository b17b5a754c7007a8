// SPDX-License-Identifier: Apache-2.0
// Factors of two-sided normal tolerance intervals, exact and by Howe's approximation.
#include "numeric/distributions.hpp"

#include "numeric/find_root.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <limits>
#include <numbers>
#include <vector>

namespace coolband {

namespace {

// Ten-point Gauss-Legendre rule on [-1, 1]; each abscissa stands for ± itself.
struct GaussPoint {
  double abscissa;
  double weight;
};
constexpr std::array<GaussPoint, 5> k_gauss{{{0.1488743389816312, 0.2955242247147529},
                                             {0.4333953941292472, 0.2692667193099963},
                                             {0.6794095682990244, 0.2190863625159820},
                                             {0.8650633666889845, 0.1494513491505806},
                                             {0.9739065285171717, 0.0666713443086881}}};

// Beyond nine standard deviations the mean is found once in 10^19 samples.
constexpr double k_reach = 9.0;

// One place of the mean, t standard errors off the truth.
struct Node {
  double squared_radius; ///< r², r the half width that holds the content from there
  double weight;         ///< 2 φ(t) dt
};

bool usable(double n, double freedom, double content, double confidence) {
  return n > 0.0 && std::isfinite(n) && freedom > 0.0 && std::isfinite(freedom) && content > 0.0 &&
         content < 1.0 && confidence > 0.0 && confidence < 1.0;
}

// r with Φ(z+r) - Φ(z-r) = content, for z >= 0. The ends of the bracket follow from leaving out
// the far tail and from the near side alone.
double half_width(double z, double content) {
  const double centred = normal_quantile(0.5 * (1.0 + content));
  const double one_sided = normal_quantile(content);
  const auto excess = [&](double r) { return normal_cdf(z + r) - normal_cdf(z - r) - content; };
  return find_root(excess, std::max(z + one_sided, 0.0), z + centred, 1e-14);
}

// With much freedom and a wide spread of the mean the chi-squared tail is a step over t; its width
// is about r √(2/ν) √n / 2, and a panel must not be wider.
int panel_count(double n, double freedom, double content) {
  const double radius = normal_quantile(0.5 * (1.0 + content));
  const double step = radius * std::sqrt(0.5 * n / freedom);
  return static_cast<int>(std::clamp(std::ceil(k_reach / step), 6.0, 4000.0));
}

std::vector<Node> make_nodes(double n, double freedom, double content) {
  const int panels = panel_count(n, freedom, content);
  const double half = 0.5 * k_reach / panels;
  std::vector<Node> nodes;
  nodes.reserve(static_cast<std::size_t>(panels) * 2 * k_gauss.size());
  for (int panel = 0; panel < panels; ++panel) {
    const double middle = (2.0 * panel + 1.0) * half;
    for (const GaussPoint& point : k_gauss) {
      for (const double t : {middle - half * point.abscissa, middle + half * point.abscissa}) {
        const double r = half_width(t / std::sqrt(n), content);
        const double density = std::exp(-0.5 * t * t) / std::sqrt(2.0 * std::numbers::pi);
        nodes.push_back({r * r, 2.0 * density * half * point.weight});
      }
    }
  }
  return nodes;
}

double confidence_of(double k, double freedom, const std::vector<Node>& nodes) {
  double sum = 0.0;
  for (const Node& node : nodes)
    sum += node.weight * (1.0 - chi_squared_cdf(freedom * node.squared_radius / (k * k), freedom));
  return sum;
}

} // namespace

double tolerance_factor_howe(double n, double freedom, double content, double confidence) {
  if (!usable(n, freedom, content, confidence)) return std::numeric_limits<double>::quiet_NaN();
  const double z = normal_quantile(0.5 * (1.0 + content));
  const double chi_squared = chi_squared_quantile(1.0 - confidence, freedom);
  return z * std::sqrt(freedom * (1.0 + 1.0 / n) / chi_squared);
}

double tolerance_factor(double n, double freedom, double content, double confidence) {
  if (!usable(n, freedom, content, confidence)) return std::numeric_limits<double>::quiet_NaN();
  const std::vector<Node> nodes = make_nodes(n, freedom, content);
  const auto shortfall = [&](double log_k) {
    return confidence_of(std::exp(log_k), freedom, nodes) - confidence;
  };
  double low = std::log(tolerance_factor_howe(n, freedom, content, confidence));
  double high = low;
  for (double step = 0.02; shortfall(low) > 0.0 && step < 100.0; step *= 2.0) low -= step;
  for (double step = 0.02; shortfall(high) < 0.0 && step < 100.0; step *= 2.0) high += step;
  return std::exp(find_root(shortfall, low, high, 1e-11));
}

} // namespace coolband
