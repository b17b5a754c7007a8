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
  return import_table(reader, head, options, std::move(how));
}

Result<Recording> import_json(InputBuffer& input, std::string_view sample, LogFormat format,
                              const std::string& name, const ImportOptions& options) {
  if (format == LogFormat::json_columns) {
    auto table = read_json_columns(input, name);
    if (!table) return table.error();
    TableHead head = table->head();
    JsonColumnsReader reader(*table);
    return import_records(reader, head, "json columns", options);
  }
  const bool complete = input.ended() && sample.size() == input.unread().size();
  const bool lines = format == LogFormat::json_lines;
  auto head = find_json_head(sample, complete, lines, name);
  if (!head) return head.error();
  JsonReader reader(input, lines, head->headings, name);
  return import_records(reader, *head, lines ? "json lines" : "json array", options);
}

} // namespace

Result<Recording> import_source(ByteSource& source, const std::string& name,
                                const ImportOptions& options) {
  InputBuffer input(source);
  const std::string_view sample = load_sample(input);
  if (input.error()) return *input.error();
  const auto format = sniff_format(sample, name);
  if (!format) return format.error();
  if (*format == LogFormat::csv) return import_csv(input, sample, name, options);
  return import_json(input, sample, *format, name, options);
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
