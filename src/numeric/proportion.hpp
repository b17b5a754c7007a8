// SPDX-License-Identifier: Apache-2.0
// How far a share that was counted may be from the true one.
#pragma once

namespace coolband {

struct ShareInterval {
  double low = 0.0;
  double high = 1.0;
};

/// Two-sided intervals for the probability behind `events` of `trials` (need not be whole:
/// effective counts), in [0, 1]. Without a trial 0 to 1. NaN for counts or a confidence out of
/// range. An upper limit alone with confidence 95 % is the upper end at confidence 90 %.

/// Wilson's score interval: near its nominal confidence on average, sometimes below it.
ShareInterval wilson_interval(double events, double trials, double confidence);

/// Clopper & Pearson's: never below its nominal confidence, hence wide.
ShareInterval clopper_pearson_interval(double events, double trials, double confidence);

} // namespace coolband
