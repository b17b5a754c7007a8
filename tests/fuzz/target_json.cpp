// SPDX-License-Identifier: Apache-2.0
// JSON in any layout or none: whole or in pieces, the recording and the records are the same.
#include "coolband/import/import_log.hpp"
#include "fuzz/properties.hpp"
#include "fuzz/row_story.hpp"
#include "import/json_reader.hpp"
#include "support/drip_source.hpp"

namespace coolband::testing {

namespace {

/// The head is that of the whole text, as a log's first blocks are always read at once.
std::string rows_by_block(std::string_view text, const JsonShape& shape, const JsonHead& head,
                          std::size_t block) {
  DripSource source(text, block);
  InputBuffer input(source, block);
  while (input.unread().size() < shape.begin + 1 && input.more()) {
  }
  JsonReader reader(input, shape, head);
  return rows_of(reader);
}

} // namespace

void run_json(std::string_view bytes) {
  const auto whole = import_text(bytes, "log");
  check_result(whole, most_lines(bytes));
  check_pieces(bytes, whole);
  MemorySource source(bytes);
  InputBuffer input(source);
  while (input.more()) {
  }
  if (!looks_like_json(input.unread())) return;
  const auto shape = find_json_shape(input, "log");
  if (!shape || shape->kind == JsonShape::Kind::columns) return;
  const auto head = find_json_head(input.unread(), true, *shape, "log");
  if (!head) return;
  const std::string rows = rows_by_block(bytes, *shape, *head, bytes.size() + 1);
  for (const std::size_t block : {1U, 2U, 64U})
    require(rows_by_block(bytes, *shape, *head, block) == rows, "records do not depend on blocks");
}

} // namespace coolband::testing
