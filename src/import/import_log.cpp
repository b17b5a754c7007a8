// SPDX-License-Identifier: Apache-2.0
// From bytes to a table: sniff, find the head, hand its rows on.
#include "coolband/import/import_log.hpp"

#include "import/csv_layout.hpp"
#include "import/csv_reader.hpp"
#include "import/format_sniff.hpp"
#include "import/import_source.hpp"
#include "import/import_table.hpp"
#include "import/json_columns.hpp"
#include "import/json_reader.hpp"
#include "import/own_file.hpp"
#include "import/text_source.hpp"

#include <fmt/core.h>

namespace coolband {

namespace {

std::string delimiter_name(char delimiter) {
  switch (delimiter) {
  case ';': return "semicolon";
  case '\t': return "tab";
  case '|': return "pipe";
  default: return "comma";
  }
}

Result<Recording> import_csv(InputBuffer& input, std::string_view sample, const std::string& name,
                             const ImportOptions& options) {
  const bool complete = input.ended() && sample.size() == input.unread().size();
  auto head = find_csv_layout(sample, complete, name, options);
  if (!head) return head.error();
  CsvReader reader(input, head->delimiter, name);
  HowRead how;
  how.format = "csv";
  how.delimiter = delimiter_name(head->delimiter);
  how.decimal_comma = head->numbers.comma;
  how.header_line = head->line;
  return import_table(reader, *head, options, std::move(how));
}

Result<Recording> import_records(RowReader& reader, const TableHead& head,
                                 const std::string& format, const ImportOptions& options) {
  HowRead how;
  how.format = format;
  how.header_line = head.line;
  return import_table(reader, head, options, std::move(how));
}

Result<Recording> import_json(InputBuffer& input, const std::string& name,
                              const ImportOptions& options) {
  const auto shape = find_json_shape(input, name);
  if (!shape) return shape.error();
  if (shape->kind == JsonShape::Kind::columns) {
    auto table = read_json_columns(input, name);
    if (!table) return table.error();
    TableHead head = table->head();
    JsonColumnsReader reader(*table);
    return import_records(reader, head, shape->format(), options);
  }
  const auto head = find_json_head(input.unread(), input.ended(), *shape, name);
  if (!head) return head.error();
  TableHead table = head->table;
  JsonReader reader(input, *shape, *head);
  return import_records(reader, table, shape->format(), options);
}

Result<Recording> import_sample(InputBuffer& input, std::string_view sample,
                                const std::string& name, const ImportOptions& options) {
  const auto format = sniff_format(sample, name);
  if (!format) return format.error();
  if (*format == LogFormat::csv) return import_csv(input, sample, name, options);
  // Before the sample is read away.
  const auto own_file = own_file_error(sample, name);
  auto recording = import_json(input, name, options);
  if (!recording && own_file) return *own_file;
  return recording;
}

/// An error may come of damaged gzip data, so that is said with it.
Result<Recording> with_bytes_told(Result<Recording> result, TextSource& text,
                                  std::string_view encoding) {
  if (!result) {
    Error error = result.error();
    if (const std::string fault = text.fault(); !fault.empty() && error.message != fault)
      error.message += fmt::format(" ({})", fault);
    return error;
  }
  text.read_check_sum();
  HowRead& how = result->how;
  how.compression = text.compression();
  how.encoding = encoding;
  std::vector<std::string> notes = text.notes();
  if (encoding == "Latin-1") notes.push_back("the text is no UTF-8: it is read as Latin-1");
  how.notes.insert(how.notes.begin(), notes.begin(), notes.end());
  return result;
}

} // namespace

Result<Recording> import_source(ByteSource& source, const std::string& name,
                                const ImportOptions& options) {
  TextSource text(source, name);
  InputBuffer input(text);
  const std::string_view sample = load_sample(input);
  if (input.error()) return *input.error();
  const std::string_view encoding =
      text.encoding().empty() ? encoding_of(sample, input.ended()) : text.encoding();
  return with_bytes_told(import_sample(input, sample, name, options), text, encoding);
}

Result<Recording> import_log(const std::string& path, const ImportOptions& options) {
  auto source = open_source(path);
  if (!source) return source.error();
  return import_source(**source, path, options);
}

Result<Recording> import_text(std::string_view bytes, const std::string& name,
                              const ImportOptions& options) {
  MemorySource source(bytes);
  return import_source(source, name, options);
}

} // namespace coolband
