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

struct Signature {
  std::string_view bytes;
  std::string_view what;
  std::string_view remedy;
};

constexpr auto k_signatures = std::to_array<Signature>({
    {"\x1F\x8B"sv, "gzip data", "decompress it first, e.g. gzip -dc FILE | coolband inspect -"},
    {"BZh"sv, "bzip2 data", "decompress it first"},
    {"\xFD"
     "7zXZ"sv,
     "xz data", "decompress it first"},
    {"\x28\xB5\x2F\xFD"sv, "zstd data", "decompress it first"},
    {"PK\x03\x04"sv, "a zip archive or a spreadsheet", "unpack it, or save the sheet as CSV"},
    {"\xD0\xCF\x11\xE0"sv, "a spreadsheet or document in binary form", "save the sheet as CSV"},
    {"\xFF\xFE"sv, "text in UTF-16", "save it as UTF-8 first, e.g. iconv -f UTF-16 -t UTF-8"},
    {"\xFE\xFF"sv, "text in UTF-16", "save it as UTF-8 first, e.g. iconv -f UTF-16 -t UTF-8"},
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

/// Of 16-bit text without a mark, all even or all odd bytes at the start are zero, and the others
/// are not.
bool is_wide_text(std::string_view sample) {
  const std::string_view start = sample.substr(0, std::min<std::size_t>(sample.size(), 64));
  std::size_t zeros[2] = {0, 0};
  for (std::size_t i = 0; i < start.size(); ++i) zeros[i % 2] += start[i] == '\0' ? 1U : 0U;
  const std::size_t most = std::max(zeros[0], zeros[1]);
  return std::min(zeros[0], zeros[1]) == 0 && most * 2 + 1 >= start.size();
}

std::optional<Error> check_zeros(std::string_view sample, const std::string& name) {
  if (sample.find('\0') == std::string_view::npos) return std::nullopt;
  if (is_wide_text(sample)) {
    return not_a_log(name, "text in UTF-16",
                     "save it as UTF-8 first, e.g. iconv -f UTF-16 -t UTF-8");
  }
  return not_a_log(name, "binary data", "name a log in CSV or JSON");
}

} // namespace

std::string_view load_sample(InputBuffer& input) {
  const auto enough = [&] {
    const std::string_view text = input.unread();
    if (text.size() < k_sample_bytes) return false;
    return text.size() > k_record_limit || text.find_first_of("\r\n") != std::string_view::npos;
  };
  while (!enough() && input.more()) {
  }
  if (input.unread().starts_with("\xEF\xBB\xBF")) input.consume(3);
  return input.unread().substr(0,
                               std::max(k_sample_bytes, input.unread().find_first_of("\r\n") + 1));
}

Result<LogFormat> sniff_format(std::string_view sample, const std::string& name) {
  for (const Signature& signature : k_signatures) {
    if (sample.starts_with(signature.bytes))
      return not_a_log(name, signature.what, signature.remedy);
  }
  if (auto error = check_zeros(sample, name)) return *error;
  const std::string_view text = without_blanks(sample);
  if (text.empty()) {
    return input_error({name, 0, 0}, "the log is empty", {}, {});
  }
  if (looks_like_json(text)) return LogFormat::json;
  return LogFormat::csv;
}

} // namespace coolband
