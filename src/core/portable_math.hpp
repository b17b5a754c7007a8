// SPDX-License-Identifier: Apache-2.0
// Exponential and logarithm that give the same bits on every processor.
//
// The C library picks its exp, log and pow by the processor it runs on, and those with fused
// multiplication and addition round otherwise. A fit by differences turns a last bit into a sixth
// digit: what is fitted to drives is calculated with these. Within 2 units in the last place of the
// truth (`portable_pow`: times 1 + |y ln x|; `portable_expm1`: 40); NaN and the ends of the range
// as in <cmath>.
#pragma once

namespace coolband {

double portable_exp(double x);
/// e^x - 1 with its digits where x is near 0.
double portable_expm1(double x);
/// Natural logarithm; -inf of 0, NaN below.
double portable_log(double x);
/// ln(1 + x) with its digits where x is near 0.
double portable_log1p(double x);
/// For x >= 0; NaN below, also where y is whole.
double portable_pow(double x, double y);

} // namespace coolband
