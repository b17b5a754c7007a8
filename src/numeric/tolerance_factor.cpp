// SPDX-License-Identifier: Apache-2.0
// Factors of two-sided normal tolerance intervals, exact and by Howe's approximation.
#include "numeric/distributions.hpp"

#include "core/portable_math.hpp"
#include "numeric/find_root.hpp"
#include "numeric/special_values.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <initializer_list>
#include <map>
#include <numbers>
#include <tuple>
#include <utility>
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

// No factor is further from 1; a double holds e^300.
constexpr double k_log_infinity = 300.0;

// One place of the mean, t standard errors off the truth.
struct Node {
  double squared_radius; ///< r², r the half width that holds the content from there
  double weight;         ///< 2 φ(t) dt
};

bool is_coverage(double n, double freedom, double content, double confidence) {
  return n > 0.0 && std::isfinite(n) && freedom > 0.0 && std::isfinite(freedom) && content > 0.0 &&
         content < 1.0 && confidence > 0.0 && confidence < 1.0;
}

// How far the content reaches on both sides of the truth, and on one.
struct Reach {
  explicit Reach(double share)
      : content(share), centred(normal_quantile(0.5 * (1.0 + share))),
        one_sided(normal_quantile(share)) {}
  double content;
  double centred;
  double one_sided;
};

// r with Φ(z+r) - Φ(z-r) = content, for z >= 0. The ends of the bracket follow from leaving out
// the far tail and from the near side alone.
double half_width(double z, const Reach& reach) {
  const auto excess = [&](double r) {
    return normal_cdf(z + r) - normal_cdf(z - r) - reach.content;
  };
  return find_root(excess, std::max(z + reach.one_sided, 0.0), z + reach.centred, 1e-14);
}

// With much freedom and a wide spread of the mean the chi-squared tail is a step over t; its width
// is about r √(2/ν) √n / 2, and a panel must not be wider.
int panel_count(double n, double freedom, const Reach& reach) {
  const double step = reach.centred * std::sqrt(0.5 * n / freedom);
  return static_cast<int>(std::clamp(std::ceil(k_reach / step), 6.0, 4000.0));
}

std::vector<Node> make_nodes(double n, const Reach& reach, int panels) {
  const double half = 0.5 * k_reach / panels;
  std::vector<Node> nodes;
  nodes.reserve(static_cast<std::size_t>(panels) * 2 * k_gauss.size());
  for (int panel = 0; panel < panels; ++panel) {
    const double middle = (2.0 * panel + 1.0) * half;
    for (const GaussPoint& point : k_gauss) {
      for (const double t : {middle - half * point.abscissa, middle + half * point.abscissa}) {
        const double r = half_width(t / std::sqrt(n), reach);
        const double density = portable_exp(-0.5 * t * t) / std::sqrt(2.0 * std::numbers::pi);
        nodes.push_back({r * r, 2.0 * density * half * point.weight});
      }
    }
  }
  return nodes;
}

/// Nodes rest on few numbers, some of which are the same for all bands: they are kept, up to about
/// a megabyte of them.
class NodeMemo {
 public:
  /// Valid until the next call.
  const std::vector<Node>& nodes(double n, double freedom, double content) {
    const Reach reach(content);
    const Key key{n, content, panel_count(n, freedom, reach)};
    const auto found = known_.find(key);
    if (found != known_.end()) return found->second;
    auto fresh = make_nodes(n, reach, std::get<int>(key));
    if (kept_ + fresh.size() > k_most) {
      known_.clear();
      kept_ = 0;
    }
    kept_ += fresh.size();
    return known_.emplace(key, std::move(fresh)).first->second;
  }

 private:
  using Key = std::tuple<double, double, int>; ///< n, content, panels
  static constexpr std::size_t k_most = 60'000;
  std::map<Key, std::vector<Node>> known_;
  std::size_t kept_ = 0;
};

struct Confidence {
  double value;
  double slope; ///< by ln k
};

Confidence confidence_of(double k, double freedom, const ChiSquared& chi_squared,
                         const std::vector<Node>& nodes) {
  Confidence sum{0.0, 0.0};
  for (const Node& node : nodes) {
    const double x = freedom * node.squared_radius / (k * k);
    const ChiSquared::Place place = chi_squared.at(x);
    sum.value += node.weight * (1.0 - place.cdf);
    sum.slope += node.weight * 2.0 * x * place.density;
  }
  return sum;
}

} // namespace

double tolerance_factor_howe(double n, double freedom, double content, double confidence) {
  if (!is_coverage(n, freedom, content, confidence)) return k_nan;
  const double z = normal_quantile(0.5 * (1.0 + content));
  const double chi_squared = chi_squared_quantile(1.0 - confidence, freedom);
  return z * std::sqrt(freedom * (1.0 + 1.0 / n) / chi_squared);
}

double tolerance_factor(double n, double freedom, double content, double confidence) {
  if (!is_coverage(n, freedom, content, confidence)) return k_nan;
  thread_local NodeMemo memo;
  const std::vector<Node>& nodes = memo.nodes(n, freedom, content);
  const ChiSquared chi_squared(freedom);
  // Newton's steps, kept inside what is known to hold the root; halving where they leave it.
  double log_k = portable_log(tolerance_factor_howe(n, freedom, content, confidence));
  double low = -k_log_infinity;
  double high = k_log_infinity;
  for (int i = 0; i < 200; ++i) {
    const Confidence reached = confidence_of(portable_exp(log_k), freedom, chi_squared, nodes);
    const double excess = reached.value - confidence;
    (excess > 0.0 ? high : low) = log_k;
    double next = log_k - std::clamp(excess / reached.slope, -1.0, 1.0);
    if (!(next > low && next < high)) next = 0.5 * (low + high);
    const double step = std::abs(next - log_k);
    log_k = next;
    if (step < 1e-11) break;
  }
  return portable_exp(log_k);
}

} // namespace coolband
