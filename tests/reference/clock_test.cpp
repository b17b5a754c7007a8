// SPDX-License-Identifier: Apache-2.0
// Times and dates against the examples and tables of published standards and libraries.
#include "import/clock_text.hpp"
#include "import/month_names.hpp"

#include <doctest/doctest.h>

#include <array>
#include <sstream>
#include <string>
#include <utility>

using namespace coolband;

namespace {

double instant_s(std::string_view text) {
  Instant instant;
  return read_date_time(text, DateOrder::unknown, instant) ? instant.seconds : -1.0;
}

} // namespace

TEST_CASE("the examples of RFC 3339, section 5.8, give the instants it names") {
  CHECK(instant_s("1985-04-12T23:20:50.52Z") == 482196050.52);
  // "... equivalent to 1996-12-20T00:39:57Z in UTC."
  CHECK(instant_s("1996-12-19T16:39:57-08:00") == instant_s("1996-12-20T00:39:57Z"));
  // A leap second at the end of 1990, in UTC and in Pacific time.
  CHECK(instant_s("1990-12-31T23:59:60Z") == instant_s("1991-01-01T00:00:00Z"));
  CHECK(instant_s("1990-12-31T15:59:60-08:00") == instant_s("1990-12-31T23:59:60Z"));
  CHECK(instant_s("1937-01-01T12:00:27.87+00:20") == instant_s("1937-01-01T11:40:27Z") + 0.87);
}

TEST_CASE("the dates of RFC 9110, section 5.6.7, and RFC 5322, appendix A.1.1, are read") {
  CHECK(instant_s("Sun, 06 Nov 1994 08:49:37 GMT") == 784111777.0); // GNU date -u
  CHECK(instant_s("Fri, 21 Nov 1997 09:55:06 -0600") == instant_s("1997-11-21T15:55:06Z"));
}

TEST_CASE("week dates around the turn of the year are those of Python's date.fromisocalendar") {
  const std::pair<const char*, const char*> dates[] = {
      {"2009-W01-1", "2008-12-29"}, {"2009-W53-7", "2010-01-03"}, {"2020-W53-5", "2021-01-01"},
      {"2024-W01-1", "2024-01-01"}, {"2026-W53-7", "2027-01-03"}, {"2024-366", "2024-12-31"},
      {"2023-365", "2023-12-31"},   {"2024-060", "2024-02-29"}};
  for (const auto& [text, date] : dates) {
    const std::string told = text;
    CHECK_MESSAGE(instant_s(told + "T00:00:00") == instant_s(std::string(date) + "T00:00:00"),
                  told);
  }
}

// GNU C Library 2.36, localedata (abmon, mon, alt_mon), and Unicode CLDR 48 (months of the
// Gregorian calendar in dates, wide and abbreviated), read with Node.js (ICU 78.2).
TEST_CASE("the months of the GNU C Library and of Unicode CLDR are known in nine languages") {
  static constexpr auto lists = std::to_array<const char*>(
      {"Jan Feb Mar Apr May Jun Jul Aug Sep Oct Nov Dec",
       "January February March April May June July August September October November December",
       "Jan Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez",
       "Januar Februar März April Mai Juni Juli August September Oktober November Dezember",
       "Jän Feb Mär Apr Mai Jun Jul Aug Sep Okt Nov Dez",
       "Jänner Februar März April Mai Juni Juli August September Oktober November Dezember",
       "janv. févr. mars avril mai juin juil. août sept. oct. nov. déc.",
       "janvier février mars avril mai juin juillet août septembre octobre novembre décembre",
       "ene feb mar abr may jun jul ago sep oct nov dic",
       "enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre",
       "jan fev mar abr mai jun jul ago set out nov dez",
       "janeiro fevereiro março abril maio junho julho agosto setembro outubro novembro dezembro",
       "gen feb mar apr mag giu lug ago set ott nov dic",
       "gennaio febbraio marzo aprile maggio giugno luglio agosto settembre ottobre novembre "
       "dicembre",
       "jan feb mrt apr mei jun jul aug sep okt nov dec",
       "januari februari maart april mei juni juli augustus september oktober november december",
       "jan feb mar apr maj jun jul aug sep okt nov dec",
       "januari februari mars april maj juni juli augusti september oktober november december",
       "sty lut mar kwi maj cze lip sie wrz paź lis gru",
       "stycznia lutego marca kwietnia maja czerwca lipca sierpnia września października listopada "
       "grudnia",
       "styczeń luty marzec kwiecień maj czerwiec lipiec sierpień wrzesień październik listopad "
       "grudzień",
       "Jan. Feb. März Apr. Mai Juni Juli Aug. Sept. Okt. Nov. Dez.",
       "Jän. Feb. März Apr. Mai Juni Juli Aug. Sep. Okt. Nov. Dez.",
       "janv. févr. mars avr. mai juin juil. août sept. oct. nov. déc.",
       "ene feb mar abr may jun jul ago sept oct nov dic",
       "jan. fev. mar. abr. mai. jun. jul. ago. set. out. nov. dez.",
       "jan. feb. mars apr. maj juni juli aug. sep. okt. nov. dec."});
  for (const char* list : lists) {
    std::istringstream words(list);
    std::string word;
    int month = 0;
    while (words >> word) {
      std::string_view rest = word;
      CHECK_MESSAGE(take_month_name(rest) == ++month, word);
      CHECK_MESSAGE((rest.empty() || rest == "."), word);
    }
    CHECK(month == 12);
  }
}

// Unicode CLDR 48: medium date with medium time of 2024-03-04 05:06:07, by Node.js (ICU 78.2).
TEST_CASE("medium dates of Unicode CLDR with a named month are read in its languages") {
  for (const char* text :
       {"Mar 4, 2024, 5:06:07\xE2\x80\xAF"
        "AM",
        "4 mars 2024, 05:06:07", "4 mar 2024, 5:06:07", "4 de mar. de 2024, 05:06:07",
        "4 mar 2024, 05:06:07", "4 mrt 2024, 05:06:07", "4 mars 2024 05:06:07",
        "04.03.2024, 05:06:07"}) {
    CHECK_MESSAGE(instant_s(text) == 1709528767.0, text);
  }
}
