// SPDX-License-Identifier: Apache-2.0
// Signatures of what is no text, then the first characters of JSON, else delimited text.
#include "import/format_sniff.hpp"

#include "import/input_error.hpp"
#include "import/json_shape.hpp"

#include <algorithm>
#include <array>

#include <fmt/core.h>

namespace coolband {

namespace {

using namespace std::string_view_literals;

constexpr std::size_t k_sample_bytes = std::size_t{64} * 1024;
constexpr std::string_view k_byte_order_mark = "\xEF\xBB\xBF";
/// Headings, units and some rows, however long they are.
constexpr std::size_t k_sample_lines = 8;

/// The end of the first file's link name, and the magic behind it (POSIX 1003.1, pax, "ustar
/// interchange format").
constexpr std::size_t k_tar_mark_at = 256;

struct Signature {
  std::string_view bytes;
  std::string_view what;
  std::string_view remedy;
};

constexpr auto k_signatures = std::to_array<Signature>({
    // One layer of gzip is unpacked before anybody looks here.
    {"\x1F\x8B"sv, "gzip data within gzip data", "decompress it once, e.g. with gzip -d"},
    {"BZh"sv, "bzip2 data", "decompress it first"},
    {"\xFD"
     "7zXZ"sv,
     "xz data", "decompress it first"},
    {"\x28\xB5\x2F\xFD"sv, "zstd data", "decompress it first"},
    {"PK\x03\x04"sv, "a zip archive or a spreadsheet", "unpack it, or save the sheet as CSV"},
    {"\xD0\xCF\x11\xE0"sv, "a spreadsheet or document in binary form", "save the sheet as CSV"},
    {"\xFF\xFE\0\0"sv, "text in UTF-32", "save it as UTF-8, e.g. iconv -f UTF-32 -t UTF-8"},
    {"\0\0\xFE\xFF"sv, "text in UTF-32", "save it as UTF-8, e.g. iconv -f UTF-32 -t UTF-8"},
    {"\x89PNG"sv, "a picture", "give the log that it shows, as CSV or JSON"},
    {"\xFF\xD8\xFF"sv, "a picture", "give the log that it shows, as CSV or JSON"},
    {"GIF8"sv, "a picture", "give the log that it shows, as CSV or JSON"},
    {"%PDF"sv, "a PDF document", "export the log as CSV"},
    {"SQLite format 3"sv, "a database file", "export the table as CSV"},
    {"PAR1"sv, "a Parquet file", "export it as CSV or JSON"},
    {"<?xml"sv, "XML", "export the log as CSV or JSON"},
    {"<!DOCTYPE"sv, "HTML", "export the log as CSV or JSON"},
    {"<html"sv, "HTML", "export the log as CSV or JSON"},
});

Error not_a_log(const std::string& name, std::string_view what, std::string_view remedy) {
  return input_error({name, 0, 0}, fmt::format("this is {}, not a log in text", what), {},
                     std::string(remedy));
}

std::string_view without_blanks(std::string_view text) {
  const std::size_t at = text.find_first_not_of(" \t\r\n");
  return at == std::string_view::npos ? std::string_view() : text.substr(at);
}

/// A logger that lost its power leaves zeros in a few lines, which cost those rows; data that is
/// binary has them from its first line on, or all over.
bool is_binary(std::string_view sample) {
  if (sample.find('\0') == std::string_view::npos) return false;
  std::size_t lines = 0;
  std::size_t with_zeros = 0;
  for (std::string_view rest = without_blanks(sample); !rest.empty(); rest = without_blanks(rest)) {
    const std::string_view line = rest.substr(0, rest.find_first_of("\r\n"));
    ++lines;
    with_zeros += line.find('\0') == std::string_view::npos ? 0U : 1U;
    if (lines == 1 && with_zeros == 1) return true;
    rest.remove_prefix(line.size());
  }
  return with_zeros * 4 > lines;
}

/// The first `k_sample_lines` lines of a text that grows; blank ones tell nothing.
struct LineCount {
  std::size_t number = 0;
  std::size_t size = 0; ///< bytes looked at; with the last of the lines, the bytes of them all
  bool blank = true;    ///< the line so far

  void go_on(std::string_view text) {
    // The last byte has to wait: it may be the first half of CRLF.
    for (; number < k_sample_lines && size + 1 < text.size(); ++size) {
      const char c = text[size];
      const bool ends = c == '\n' || (c == '\r' && text[size + 1] != '\n');
      if (ends && !blank) ++number;
      blank = ends || (blank && (c == ' ' || c == '\t' || c == '\r'));
    }
  }
};

} // namespace

std::string_view load_sample(InputBuffer& input) {
  while (input.unread().size() < k_byte_order_mark.size() && input.more()) {
  }
  if (input.unread().starts_with(k_byte_order_mark)) input.consume(k_byte_order_mark.size());
  LineCount lines;
  const auto enough = [&] {
    const std::string_view text = input.unread();
    if (text.size() < k_sample_bytes) return false;
    lines.go_on(text);
    return lines.number == k_sample_lines || text.size() >= k_record_limit;
  };
  while (!enough() && input.more()) {
  }
  const bool whole_lines = lines.number == k_sample_lines;
  return input.unread().substr(0,
                               whole_lines ? std::max(k_sample_bytes, lines.size) : k_record_limit);
}

std::optional<Error> other_than_text(std::string_view sample, const std::string& name) {
  for (const Signature& signature : k_signatures) {
    if (sample.starts_with(signature.bytes))
      return not_a_log(name, signature.what, signature.remedy);
  }
  if (sample.substr(std::min(k_tar_mark_at, sample.size())).starts_with("\0ustar"sv))
    return not_a_log(name, "a tar archive", "unpack it");
  return std::nullopt;
}

Result<LogFormat> sniff_format(std::string_view sample, const std::string& name) {
  if (auto error = other_than_text(sample, name)) return *error;
  if (is_binary(sample)) {
    return not_a_log(name, "binary data",
                     "name a log in CSV or JSON, or export this one as CSV with what recorded it");
  }
  const std::string_view text = without_blanks(sample);
  if (text.empty() && sample.size() >= k_record_limit)
    return not_a_log(name, "1 MiB of blanks before anything else", "take the blanks off its start");
  if (text.empty()) {
    return input_error({name, 0, 0}, "the log is empty", {},
                       "give a log with a row of headings and rows of values");
  }
  if (looks_like_json(text)) return LogFormat::json;
  return LogFormat::csv;
}

} // namespace coolband
