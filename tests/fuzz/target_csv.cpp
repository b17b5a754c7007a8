// SPDX-License-Identifier: Apache-2.0
// Delimited text: whole or in pieces, in batches or row by row, the recording is the same.
#include "fuzz/properties.hpp"
#include "fuzz/row_story.hpp"
#include "import/csv_layout.hpp"
#include "import/csv_reader.hpp"
#include "import/format_sniff.hpp"
#include "import/import_table.hpp"
#include "support/drip_source.hpp"

namespace coolband::testing {

namespace {

/// Hands on single rows only, so that every record takes the slow road.
class SingleRows : public RowReader {
 public:
  explicit SingleRows(RowReader& inner) : inner_(&inner) {}
  bool next(Row& row) override { return inner_->next(row); }
  [[nodiscard]] const std::optional<Error>& error() const override { return inner_->error(); }
  [[nodiscard]] std::vector<std::string> notes() const override { return inner_->notes(); }

 private:
  RowReader* inner_;
};

std::string table_of(std::string_view text, const TableHead& head, bool single) {
  MemorySource source(text);
  InputBuffer input(source);
  input.more();
  CsvReader reader(input, head.delimiter, "log");
  SingleRows rows(reader);
  HowRead how;
  how.format = "csv";
  return story_of(single ? import_table(rows, head, {}, how) : import_table(reader, head, {}, how));
}

std::string rows_by_block(std::string_view text, char delimiter, std::size_t block) {
  DripSource source(text, block);
  InputBuffer input(source, block);
  CsvReader reader(input, delimiter, "log");
  return rows_of(reader);
}

} // namespace

void run_csv(std::string_view bytes) {
  const auto whole = import_text(bytes, "log");
  check_result(whole, most_lines(bytes));
  check_pieces(bytes, whole);
  for (const char delimiter : {',', '\t'}) {
    const std::string rows = rows_by_block(bytes, delimiter, bytes.size() + 1);
    for (const std::size_t block : {1U, 2U, 64U})
      require(rows_by_block(bytes, delimiter, block) == rows, "the rows do not depend on blocks");
  }
  const auto head = find_csv_layout(bytes, true, "log", {});
  if (!head) return;
  require(table_of(bytes, *head, true) == table_of(bytes, *head, false),
          "batches give the same as single rows");
}

} // namespace coolband::testing
