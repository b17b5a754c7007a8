// SPDX-License-Identifier: Apache-2.0
// Hexadecimal in the spellings of loggers, and texts that are none.
#include "import/frame_text.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

using namespace coolband;

namespace {

std::size_t no_identifier(const HexWord&, bool) { return 0; }
std::size_t whole_first_word(const HexWord& first, bool) { return first.digits.size(); }

/// Bytes as small hexadecimal with blanks between; "none" when the text is refused.
std::string bytes_in(std::string_view text, IdentifierDigits identifier_digits = no_identifier) {
  const auto frame = read_frame_text(text, identifier_digits);
  if (!frame) return "none";
  constexpr std::string_view digits = "0123456789abcdef";
  std::string written;
  for (const std::uint8_t byte : frame->data()) {
    if (!written.empty()) written += ' ';
    written += digits[byte >> 4U];
    written += digits[byte & 15U];
  }
  return written;
}

} // namespace

TEST_CASE("the same three bytes in every spelling") {
  for (const char* text :
       {"41 05 7B", "41057B", "41 05 7b", "0x41 0x05 0x7B", "0X41 0X5 0x7b", "0x41057B",
        "  41\t05 7B \r", "41:05:7B", "41-05-7B", "41|05|7B", "41 057B", "41 05 7B >", "41  05  7B",
        "[3] 41 05 7B", "41;05;7B", "41_05_7B"}) {
    CHECK_MESSAGE(bytes_in(text) == "41 05 7b", text);
  }
}

TEST_CASE("an identifier in front is taken apart from the bytes") {
  for (const char* text :
       {"18FEEE00 84 FF", "0x18FEEE00 84 FF", "18FEEE00x 84 FF", "18FEEE00#84FF", "18FEEE00:84 FF",
        "18FEEE00: 84FF", "18FEEE00 2 84 FF", "18feee00 [2] 84 ff", "18FEEE00x - 84 FF"}) {
    const auto frame = read_frame_text(text, whole_first_word);
    REQUIRE_MESSAGE(frame.has_value(), text);
    CHECK_MESSAGE(frame->identifier == 0x18FEEE00U, text);
    CHECK_MESSAGE(bytes_in(text, whole_first_word) == "84 ff", text);
  }
}

TEST_CASE("text that is not whole bytes is refused") {
  for (const char* text : {"",
                           " ",
                           "4",
                           "410",
                           "41 5 7B",
                           "41 05 7G",
                           "41,05",
                           "41.05",
                           "-40",
                           "+41",
                           "41 05 -",
                           "41::05",
                           "0x",
                           "0x 41",
                           "x41",
                           "41 05 7B extra",
                           "[3 41 05 7B",
                           "41 [",
                           "[] 41",
                           "[2] 41 05 7B",
                           "NO DATA",
                           "85.5",
                           "1e-3",
                           "12:3",
                           "41 #",
                           "#41",
                           "84 \xC2\xB0"}) {
    CHECK_MESSAGE(bytes_in(text) == "none", text);
  }
  CHECK(bytes_in(std::string(128, '4')).size() == 64 * 3 - 1);
  CHECK(bytes_in(std::string(130, '4')) == "none");
  CHECK(bytes_in("18FEEE00 3 84 FF", whole_first_word) == "none");
  CHECK(bytes_in("118FEEE00 84", whole_first_word) == "none");
}

TEST_CASE("a NUL byte ends nothing in silence") {
  const std::string text{'4', '1', '\0', '0', '5'};
  CHECK(bytes_in(text) == "none");
}

TEST_CASE("only letters, a prefix or parted bytes make a text surely hexadecimal") {
  for (const char* text : {"7B", "0x85", "41 05 85", "18FEEE00", "8 FF", "41 05"}) {
    CHECK_MESSAGE(surely_hexadecimal(text), text);
  }
  for (const char* text : {"85", "1726", "410585", "2024-01-05", "12:30:45", "20240105", "1 726",
                           "", "coolant", "1.5", "-40", "85 C G"}) {
    CHECK_MESSAGE(!surely_hexadecimal(text), text);
  }
}

TEST_CASE("marks for a frame that did not come") {
  for (const char* text : {"", "  ", "...", "NO DATA", "no data", "NO DATA\r>", "?", "--", "n/a",
                           "Timeout", "no response"}) {
    CHECK_MESSAGE(is_no_frame_mark(text), text);
  }
  for (const char* text : {"41 05 7B", "7F 01 12", "error 5", "0"}) {
    CHECK_MESSAGE(!is_no_frame_mark(text), text);
  }
}

TEST_CASE("an identifier cell is one word, however it is parted") {
  std::array<char, 16> space{};
  CHECK(identifier_word("01 05", space)->digits == "0105");
  CHECK(identifier_word("0x18FEEE00", space)->value() == 0x18FEEE00U);
  CHECK(identifier_word("18 FE EE 00", space)->digits == "18FEEE00");
  CHECK(identifier_word("18FEEE00x", space)->extended);
  CHECK(decimal_of(*identifier_word("65262", space)) == 65262U);
  CHECK(!decimal_of(*identifier_word("0x65262", space)));
  for (const char* text : {"", "PID 05", "[05]", "01 05 ?", "11 22 33 44 55 66 77 88 99"}) {
    CHECK_MESSAGE(!identifier_word(text, space), text);
  }
}
