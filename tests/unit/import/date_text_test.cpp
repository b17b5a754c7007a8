// SPDX-License-Identifier: Apache-2.0
// Dates alone, their orders, and the forms that state an order.
#include "import/date_text.hpp"

#include "import/month_names.hpp"
#include "import/time_form.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace coolband;

namespace {

/// Days since 1970, or -1; the whole text must be a date.
long day_of(std::string_view text, DateOrder order = DateOrder::unknown) {
  DateFields fields;
  if (!take_date_fields(text, fields) || !text.empty()) return -1;
  return days_of(fields, order).value_or(-1);
}

int month_of(std::string_view text) {
  const int month = take_month_name(text);
  return text.empty() ? month : -1;
}

constexpr long k_march = 19786; // 2024-03-04, by GNU date

DateOrder order_in(std::string_view heading) {
  const auto form = time_form_of(heading);
  return form ? form->order : DateOrder::unknown;
}

TimeForm::Parts parts_in(std::string_view heading) {
  const auto form = time_form_of(heading);
  return form ? form->parts : TimeForm::Parts::unknown;
}

} // namespace

TEST_CASE("two-digit years are read in each order, as 2000 to 2099") {
  CHECK(day_of("04/03/24", DateOrder::dmy) == k_march);
  CHECK(day_of("03/04/24", DateOrder::mdy) == k_march);
  CHECK(day_of("24/03/04", DateOrder::ymd) == k_march);
  CHECK(day_of("04/03/24") == -1);
  CHECK(day_of("04-Mar-24") == k_march);
  CHECK(day_of("04.03.99") == 47179); // 2099-03-04, by GNU date
}

TEST_CASE("a named month may stand anywhere") {
  for (const char* text : {"4 March 2024", "March 4, 2024", "Mar-04-2024", "04Mar2024",
                           "4. M\xC3\xA4r. 2024", "4. M\xE4rz 2024", "4 de marzo de 2024",
                           "2024 Mar 4", "Mon, 4 Mar 2024", "Monday 4 march 2024"}) {
    CHECK_MESSAGE(day_of(text) == k_march, text);
  }
  for (const char* text : {"4 Foo 2024", "Marchs 4, 2024", "31 Feb 2024", "4 Mar 024", "Mar 2024",
                           "4 Mar", "Mon", ""}) {
    CHECK_MESSAGE(day_of(text) == -1, text);
  }
}

TEST_CASE("names of months end where their letters end") {
  CHECK(month_of("D\xC3\x89"
                 "CEMBRE") == 12);
  CHECK(month_of("ao\xFBt") == 8);
  CHECK(month_of("pa\xC5\xBA") == 10);
  CHECK(month_of("Ma") == -1);
  CHECK(month_of("decemberdecemberdecember") == -1);
}

TEST_CASE("what is a number is no date") {
  for (const char* text :
       {"90", "1.5", "2024", "12345678", "1850-1", "123-04-2024", "4..3..2024"}) {
    CHECK_MESSAGE(day_of(text, DateOrder::dmy) == -1, text);
  }
}

TEST_CASE("a heading may state the form of its times") {
  CHECK(order_in("Date (dd/mm/yyyy)") == DateOrder::dmy);
  CHECK(order_in("Date MM/DD/YYYY") == DateOrder::mdy);
  CHECK(order_in("Datum [TT.MM.JJJJ]") == DateOrder::dmy);
  CHECK(order_in("Date jj/mm/aaaa hh:mm:ss") == DateOrder::dmy);
  CHECK(order_in("Data gg/mm/aaaa") == DateOrder::dmy);
  CHECK(order_in("Datum (dd-mm-jjjj)") == DateOrder::dmy);
  CHECK(order_in("Time (yy/mm/dd hh:mm)") == DateOrder::ymd);
  CHECK(parts_in("Time (mm:ss)") == TimeForm::Parts::minutes);
  CHECK(parts_in("time_min:sec") == TimeForm::Parts::minutes);
  CHECK(parts_in("Time [hh:mm:ss.fff]") == TimeForm::Parts::hours);
  CHECK(parts_in("Zeit hh:mm") == TimeForm::Parts::hours);
  CHECK(without_time_form("Time (hh:mm:ss am/pm)") == "Time");
  CHECK(without_time_form("hh:mm:ss") == "hh:mm:ss");
  for (const char* text : {"Time (s)", "Speed m/s", "Load min/max", "ECT (C)", "mm", "a:b", "time",
                           "", "Time (mm:hh)", "Date (dd/dd/yyyy)", "engine speed (1/min)"}) {
    CHECK_FALSE_MESSAGE(time_form_of(text).has_value(), text);
    CHECK(without_time_form(text) == text);
  }
}
