// SPDX-License-Identifier: Apache-2.0
// Amounts beside the user's own units.
#include "report/amounts.hpp"

#include "core/signed_tenths.hpp"

#include <doctest/doctest.h>

using namespace coolband;

namespace {

Amounts shown_in(std::string_view spelling) {
  Amounts amounts;
  show_also(amounts, unit_named(spelling).value());
  complete(amounts);
  return amounts;
}

} // namespace

TEST_CASE("without a foreign unit amounts are in own units alone") {
  const Amounts own = shown_in("kPa");
  CHECK(own.celsius(104.44) == "104.4 °C");
  CHECK(own.kelvins(10.0) == "10.0 K");
  CHECK(own.kilopascals(96.5) == "96 kPa");
  CHECK(own.kilopascals(0.9) == "0.9 kPa");
  CHECK(own.metres(1524.0) == "1524 m");
  CHECK(own.litres(2.857) == "2.86 L");
  CHECK(own.celsius(-0.01) == "0.0 °C");
}

TEST_CASE("one US unit brings all of them") {
  for (const char* spelling : {"F", "psi", "ft", "US qt"}) {
    CAPTURE(spelling);
    const Amounts us = shown_in(spelling);
    CHECK(us.celsius(100.0) == "100.0 °C (212.0 °F)");
    CHECK(us.kelvins(10.0) == "10.0 K (18.0 °F)");
    CHECK(us.kilopascals(103.421) == "103 kPa (15.0 psi)");
    CHECK(us.metres(1524.0) == "1524 m (5000 ft)");
    CHECK(us.litres(0.946352946) == "0.95 L (1.00 US qt)");
  }
  CHECK(shown_in("gal").litres(3.785411784) == "3.79 L (1.000 US gal)");
}

TEST_CASE("other units stand beside their own quantity only") {
  const Amounts bar = shown_in("bar");
  CHECK(bar.kilopascals(110.0) == "110 kPa (1.10 bar)");
  CHECK(bar.celsius(100.0) == "100.0 °C");
  CHECK(shown_in("imp gal").litres(4.54609) == "4.55 L (1.000 imp gal)");
  CHECK(shown_in("imp gal").celsius(0.0) == "0.0 °C");
  CHECK(shown_in("K").kelvins(5.0) == "5.0 K");
  CHECK(shown_in("mL").litres(1.5) == "1.50 L (1500 mL)");
}

TEST_CASE("a difference has its sign, and no zero has one") {
  CHECK(signed_tenths(0.34) == "+0.3");
  CHECK(signed_tenths(-0.06) == "-0.1");
  CHECK(signed_tenths(-0.04) == "0.0");
  CHECK(signed_tenths(0.04) == "0.0");
}
