// SPDX-License-Identifier: Apache-2.0
// Looks at as few bytes as decide, so that a pipe is not waited for longer than needed.
#include "import/text_source.hpp"

#include "import/input_buffer.hpp"
#include "import/vocabulary.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>

#include <fmt/core.h>

namespace coolband {

namespace {

using namespace std::string_view_literals;

constexpr std::size_t k_mark_bytes = 4;

/// Where text in UTF-16 has its zeros, of the characters that logs are made of.
std::optional<ByteOrder> wide_order(std::string_view start) {
  std::size_t zeros[2] = {0, 0};
  for (std::size_t i = 0; i < start.size(); ++i) zeros[i % 2] += start[i] == '\0' ? 1U : 0U;
  const std::size_t most = std::max(zeros[0], zeros[1]);
  // A few characters beyond Latin may stand among them; a zero in the other half is no text.
  if (start.size() < k_mark_bytes || std::min(zeros[0], zeros[1]) > 0 ||
      most * 8 < start.size() * 3)
    return std::nullopt;
  return zeros[0] > 0 ? ByteOrder::big : ByteOrder::little;
}

bool is_ascii(char c) { return static_cast<unsigned char>(c) < 0x80; }

/// The first byte from `at` on that is none, in steps of as many bytes as one test tells of.
const char* past_ascii(const char* at, const char* end) {
  constexpr std::uint64_t k_high_bits = 0x8080808080808080U;
  std::array<std::uint64_t, 4> words{};
  for (; static_cast<std::size_t>(end - at) >= sizeof words; at += sizeof words) {
    std::memcpy(words.data(), at, sizeof words);
    if (((words[0] | words[1] | words[2] | words[3]) & k_high_bits) != 0) break;
  }
  return std::find_if_not(at, end, is_ascii);
}

std::string_view order_name(ByteOrder order) {
  return order == ByteOrder::little ? "low byte first" : "high byte first";
}

} // namespace

std::string_view PeekSource::peek(std::size_t count) {
  while (end_ < std::min(count, k_most_bytes) && !ended_) {
    const auto got = source_->read(bytes_.data() + end_, k_most_bytes - end_);
    if (!got) error_ = got.error();
    ended_ = !got || *got == 0;
    if (got) end_ += *got;
  }
  return {bytes_.data(), end_};
}

Result<std::size_t> PeekSource::read(char* into, std::size_t size) {
  if (begin_ < end_) {
    const std::size_t count = std::min(size, end_ - begin_);
    std::memcpy(into, bytes_.data() + begin_, count);
    begin_ += count;
    return count;
  }
  if (error_) return *error_;
  if (ended_) return std::size_t{0};
  return source_->read(into, size);
}

TextSource::TextSource(ByteSource& source, const std::string& name) : raw_(source), text_(&raw_) {
  if (raw_.peek(k_mark_bytes).starts_with("\x1F\x8B")) {
    gzip_.emplace(raw_, name);
    text_ = &unpacked_.emplace(*gzip_);
  }
  find_encoding(gzip_ ? *unpacked_ : raw_);
  if (!gzip_ && !utf16_) size_hint_ = source.size_hint();
}

void TextSource::find_encoding(PeekSource& bytes) {
  std::string_view start = bytes.peek(k_mark_bytes);
  std::optional<ByteOrder> order;
  if (start.starts_with("\xEF\xBB\xBF"sv)) encoding_ = "UTF-8";
  // The mark of UTF-32 begins like that of UTF-16; such text is refused by what it is.
  if (start.starts_with("\xFF\xFE"sv) && !start.starts_with("\xFF\xFE\0\0"sv))
    order = ByteOrder::little;
  if (start.starts_with("\xFE\xFF"sv)) order = ByteOrder::big;
  if (!order && start.substr(0, k_mark_bytes).find('\0') != std::string_view::npos) {
    order = wide_order(bytes.peek(PeekSource::k_most_bytes));
    order_assumed_ = order.has_value();
  }
  if (!order) return;
  encoding_ = "UTF-16";
  text_ = &utf16_.emplace(bytes, *order);
}

Result<std::size_t> TextSource::read(char* into, std::size_t size) {
  auto got = text_->read(into, size);
  if (!gzip_ || !got || size == 0) return got;
  if (*got == 0) return mark_cut(into, size);
  last_ = into[*got - 1];
  return got;
}

std::size_t TextSource::mark_cut(char* into, std::size_t size) {
  if (!gzip_->cut() || last_ == '\n' || last_ == '\r') return 0;
  const std::size_t count = std::min(size, cut_mark_.size());
  std::memcpy(into, cut_mark_.data(), count);
  cut_mark_.remove_prefix(count);
  return count;
}

void TextSource::read_check_sum() {
  if (!gzip_) return;
  std::vector<char> lost(k_sample_block_bytes);
  for (std::size_t count = 0; count < k_record_limit;) {
    const auto got = text_->read(lost.data(), lost.size());
    if (!got || *got == 0) return;
    count += *got;
  }
}

std::vector<std::string> TextSource::notes() const {
  std::vector<std::string> notes;
  if (const std::string fault = this->fault(); !fault.empty()) notes.push_back("WARNING: " + fault);
  if (order_assumed_) {
    notes.push_back(
        fmt::format("the text has no byte order mark: it is read as UTF-16 with the {}, "
                    "by the zeros at its start",
                    order_name(utf16_->order())));
  }
  const std::size_t damaged = utf16_ ? utf16_->damaged() : 0;
  if (damaged > 0) {
    notes.push_back(fmt::format("{} {} of the UTF-16 text {} damaged and read as U+FFFD", damaged,
                                damaged == 1 ? "character" : "characters",
                                damaged == 1 ? "is" : "are"));
  }
  return notes;
}

std::string_view encoding_of(std::string_view sample, bool complete) {
  std::string_view encoding = "ASCII";
  const char* const end = sample.data() + sample.size();
  for (const char* at = sample.data();;) {
    at = past_ascii(at, end);
    if (at == end) return encoding;
    const char* const after = std::find_if(at, end, is_ascii);
    // A character may be cut by the end of the sample; it is then left to the others to tell.
    const std::string_view run(at, static_cast<std::size_t>(after - at));
    if ((after != end || complete) && as_utf8(run) != run) return "Latin-1";
    encoding = "UTF-8";
    at = after;
  }
}

} // namespace coolband
