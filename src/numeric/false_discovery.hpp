// SPDX-License-Identifier: Apache-2.0
// Many tests at once: which of them to believe, so that few of those believed are chance.
#pragma once

#include <span>
#include <vector>

namespace coolband {

enum class Dependence {
  positive,  ///< independent, or one rising with another: Benjamini & Hochberg
  arbitrary, ///< any: Benjamini & Yekutieli, dearer by 1 + 1/2 + ... + 1/m
};

/// The adjusted p-value of each of m tests: the smallest share of false discoveries at which it is
/// believed. To believe those at or below q keeps the expected share of false ones among those
/// believed at or below q. Step-up: Benjamini & Hochberg, J. R. Statist. Soc. B 57 (1995) 289-300;
/// Benjamini & Yekutieli, Ann. Statist. 29 (2001) 1165-1188 (both from memory).
/// NaN is no test: it stays NaN and does not count.
std::vector<double> adjusted_p_values(std::span<const double> p, Dependence dependence);

} // namespace coolband
