// SPDX-License-Identifier: Apache-2.0
// How packing and encoding are told from the bytes, and what is said about them.
#include "import/text_source.hpp"

#include "import/import_source.hpp"
#include "unit/import/byte_sources.hpp"

using namespace coolband;
using namespace coolband::test;

namespace {

const std::string k_log = "time_s,coolant_c,note\n0,90.5,\n1,91.25,\n2,92,\n";

std::string notes_of(const Recording& log) {
  std::string text;
  for (const std::string& note : log.how.notes) (text += note) += "|";
  return text;
}

std::string reading_of_bytes(const Recording& log) {
  return log.how.compression + "/" + log.how.encoding;
}

} // namespace

TEST_CASE("a log reads the same in every encoding and packing") {
  const Recording plain = read(k_log);
  CHECK(reading_of_bytes(plain) == "/ASCII");
  const std::pair<std::string, std::string> cases[] = {
      {"\xEF\xBB\xBF" + k_log, "/UTF-8"},
      {gzip_of(k_log), "gzip/ASCII"},
      {gzip_of("\xEF\xBB\xBF" + k_log), "gzip/UTF-8"},
      {utf16_of(k_log, false, true), "/UTF-16"},
      {utf16_of(k_log, true, true), "/UTF-16"},
      {gzip_of(utf16_of(k_log, false, true)), "gzip/UTF-16"},
      {gzip_of(utf16_of(k_log, true, true)), "gzip/UTF-16"},
  };
  for (const auto& [bytes, expected] : cases) {
    Recording log = read(bytes);
    CHECK(reading_of_bytes(log) == expected);
    CHECK(log.how.notes == plain.how.notes);
    log.how.compression = plain.how.compression;
    log.how.encoding = plain.how.encoding;
    CHECK(everything(log) == everything(plain));
  }
}

TEST_CASE("UTF-16 without a mark is read, and said to be an assumption") {
  for (const bool big : {false, true}) {
    const Recording log = read(utf16_of(k_log, big, false));
    CHECK(log.how.encoding == "UTF-16");
    CHECK(log.size() == 3);
    CHECK(log.how.notes[0] == std::string("the text has no byte order mark: it is read as UTF-16 "
                                          "with the ") +
                                  (big ? "high" : "low") +
                                  " byte first, by the zeros at its start");
  }
}

TEST_CASE("zeros in both halves are no UTF-16") {
  CHECK(refusal(std::string("t\0\0\0i\0\0\0m\0\0\0e\0\0\0", 16)).find("this is binary data") !=
        std::string::npos);
  CHECK(refusal(std::string("t\0ime_s,coolant_c\n0,90\n", 22)).find("this is binary data") !=
        std::string::npos);
}

TEST_CASE("UTF-32 with its mark is refused by its name") {
  const std::string remedy = "\n  save it as UTF-8, e.g. iconv -f UTF-32 -t UTF-8";
  for (const std::string& bytes :
       {std::string("\xFF\xFE\0\0t\0\0\0", 8), std::string("\0\0\xFE\xFF\0\0\0t", 8),
        gzip_of(std::string_view("\xFF\xFE\0\0t\0\0\0", 8))}) {
    CHECK(refusal(bytes) == "log: this is text in UTF-32, not a log in text" + remedy);
  }
}

TEST_CASE("damaged characters of UTF-16 are counted in a note, and cost their cell") {
  std::string wide = utf16_of("time_s,coolant_c,load\n0,90,5\n1,91,6\n2,92,7\n", false, true);
  const std::size_t six = wide.find('6');
  wide.replace(six, 2, std::string("\x00\xDC", 2));
  wide += "x";
  const Recording log = read(wide);
  CHECK(log.size() == 3);
  CHECK(std::isnan(log.column(Role::load)[1]));
  CHECK(listed(log.how.missing_cells) == "load is not a number x1 @2:3");
  CHECK(has_note(log, "2 characters of the UTF-16 text are damaged and read as U+FFFD"));
}

TEST_CASE("the encoding of other text is told from the bytes of the sample") {
  CHECK(encoding_of("time", true) == "ASCII");
  CHECK(encoding_of("", true) == "ASCII");
  CHECK(encoding_of("K\xC3\xBChl", true) == "UTF-8");
  CHECK(encoding_of("K\xFChl", true) == "Latin-1");
  CHECK(encoding_of("K\xC3\xBChl \xB0", true) == "Latin-1");
  CHECK(encoding_of("\xB0\xC3\xBC", true) == "Latin-1");
  CHECK(encoding_of("\xE2\x82\xAC", true) == "UTF-8");
  // Overlong and surrogate forms are no UTF-8 (RFC 3629, section 3).
  CHECK(encoding_of("\xC0\x80", true) == "Latin-1");
  CHECK(encoding_of("\xE0\x9F\xBF", true) == "Latin-1");
  CHECK(encoding_of("\xED\xA0\x80", true) == "Latin-1");
  CHECK(encoding_of("\xF0\x8F\xBF\xBF", true) == "Latin-1");
  CHECK(encoding_of("\xF4\x90\x80\x80", true) == "Latin-1");
  CHECK(encoding_of("\xED\x9F\xBF\xEE\x80\x80\xF4\x8F\xBF\xBF", true) == "UTF-8");
  // A character that the sample cuts does not count against UTF-8.
  CHECK(encoding_of("K\xC3\xBChl \xC3", false) == "UTF-8");
  CHECK(encoding_of("K\xC3\xBChl \xC3", true) == "Latin-1");
}

TEST_CASE("text that is no UTF-8 is said to be read as Latin-1") {
  const Recording log = read("time_s;K\xFChlmittel (\xB0"
                             "C)\n0;90\n1;91\n");
  CHECK(log.how.encoding == "Latin-1");
  CHECK(log.how.notes[0] == "the text is no UTF-8: it is read as Latin-1");
  CHECK(heading_of(log, Role::coolant) == "K\xC3\xBChlmittel (\xC2\xB0"
                                          "C)");
  const Recording utf_8 = read("time_s;K\xC3\xBChlmittel (\xC2\xB0"
                               "C)\n0;90\n1;91\n");
  CHECK(utf_8.how.encoding == "UTF-8");
  CHECK_FALSE(has_note(utf_8, "Latin-1"));
}

TEST_CASE("a log in gzip data that is cut keeps its whole rows and warns") {
  std::string text = "time_s,coolant_c,load_pct\n";
  for (int i = 0; i < 300; ++i)
    text += std::to_string(i) + ",90." + std::to_string(i % 8) + ",55\n";
  const std::string packed = gzip_of(text);
  const Recording whole = read(text);
  std::size_t logs = 0;
  for (std::size_t size = 2; size < packed.size(); ++size) {
    const auto log = import_text(std::string_view(packed).substr(0, size), "log");
    if (!log.ok()) {
      CHECK(log.error().message.find("the gzip data ends") != std::string::npos);
      continue;
    }
    ++logs;
    CHECK(log->how.notes[0].find("WARNING: the gzip data ends early: ") == 0);
    // No number of which only the first digits are left is taken for a whole one.
    for (std::size_t i = 0; i < log->size(); ++i) {
      CHECK(log->time_s[i] == whole.time_s[i]);
      CHECK(log->column(Role::coolant)[i] == whole.column(Role::coolant)[i]);
      const float load = log->column(Role::load)[i];
      CHECK((std::isnan(load) || load == 55.0F));
    }
  }
  CHECK(logs > packed.size() / 2);
}

TEST_CASE("an error that may come of damaged gzip data says so") {
  const std::string packed = gzip_of("{\"time_s\":[0,1,2,3],\"coolant_c\":[90,91,92,93]}");
  const std::string message = refusal(std::string_view(packed).substr(0, packed.size() - 12));
  CHECK(message.find("this is not valid JSON (the gzip data ends early: ") != std::string::npos);
  CHECK(refusal(packed.substr(0, 2)) ==
        "log: the gzip data ends before any text\n  get the file again; gzip -t FILE tests it");
}

TEST_CASE("the check sum is looked at even where the log ends before its text does") {
  std::string text = "[";
  for (int i = 0; i < 20000; ++i)
    text += "{\"time_s\":" + std::to_string(i) + ",\"coolant_c\":90.5},\n";
  text[text.size() - 2] = ']';
  std::string packed = gzip_of(text + std::string(100000, '\n'));
  CHECK(notes_of(read(packed)).find("WARNING") == std::string::npos);
  packed[packed.size() - 8] = static_cast<char>(packed[packed.size() - 8] ^ 1);
  const Recording log = read(packed);
  CHECK(log.size() == 20000);
  CHECK(log.how.notes[0].find("WARNING: the gzip data does not match its check sum") == 0);
}

TEST_CASE("gzip data within gzip data is refused by its name") {
  CHECK(refusal(gzip_of(gzip_of(k_log))) == "log: this is gzip data within gzip data, not a log in "
                                            "text\n  decompress it once, e.g. with gzip -d");
}

TEST_CASE("short texts that begin like something else stay what they are") {
  for (const std::string_view bytes : {"\xFF", "\xFE", "\xEF\xBB", "\x1F", "a"}) {
    MemorySource source(bytes);
    TextSource text(source, "log");
    CHECK(all_of(text) == bytes);
    CHECK(text.size_hint() == bytes.size());
  }
  for (const std::string_view mark : {"\xFF\xFE", "\xFE\xFF", "\xEF\xBB\xBF"})
    CHECK(refusal(mark).starts_with("log: the log is empty\n"));
}

TEST_CASE("one character beyond ASCII tells the encoding wherever it stands") {
  for (std::size_t size = 1; size <= 70; ++size) {
    const std::string text(size, 'x');
    CHECK(encoding_of(text, true) == "ASCII");
    for (std::size_t at = 0; at <= size; ++at) {
      std::string odd = text;
      CHECK(encoding_of(odd.insert(at, "\xC2\xB0"), true) == "UTF-8");
      odd = text;
      CHECK(encoding_of(odd.insert(at, "\xB0"), true) == "Latin-1");
    }
  }
}
