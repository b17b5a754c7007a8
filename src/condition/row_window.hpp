// SPDX-License-Identifier: Apache-2.0
// Columns unpacked a chunk at a time, for passes that go over all rows in order.
#pragma once

#include "coolband/import/recording.hpp"

#include <array>
#include <cstddef>
#include <limits>
#include <span>
#include <vector>

namespace coolband {

/// Asking for rows in order costs one unpacking a chunk; a step to another chunk costs one more.
class RowWindow {
 public:
  /// `recording` must outlive the window.
  template <class Roles>
  RowWindow(const Recording& recording, const Roles& roles) : recording_(recording) {
    values_.fill(&nothing());
    for (const Role role : roles) {
      if (recording.has(role)) {
        roles_.push_back(role);
        values_[index(role)] = &room_[index(role)];
      } else {
        values_[index(role)] = &unknown();
      }
    }
  }
  RowWindow(const RowWindow&) = delete; // it points into itself
  RowWindow& operator=(const RowWindow&) = delete;

  /// To be called before a row is read.
  void move_to(std::size_t row) {
    if (row / k_rows != chunk_) load(row / k_rows);
  }
  /// Of the chunk that the last `move_to` went to.
  [[nodiscard]] double time_s(std::size_t row) const { return times_[row % k_rows]; }
  /// NaN where the recording has no such column.
  [[nodiscard]] float value(Role role, std::size_t row) const {
    return (*values_[index(role)])[row % k_rows];
  }
  /// Where that chunk ends: one past its last row.
  [[nodiscard]] std::size_t end() const { return chunk_ * k_rows + times_.size(); }
  /// Of rows `from` to before `to`, all of that chunk.
  [[nodiscard]] std::span<const double> times(std::size_t from, std::size_t to) const {
    return std::span(times_).subspan(from % k_rows, to - from);
  }
  [[nodiscard]] std::span<const float> values(Role role, std::size_t from, std::size_t to) const {
    return std::span(*values_[index(role)]).subspan(from % k_rows, to - from);
  }
  /// All values of the chunk; empty when the recording has no such column.
  [[nodiscard]] const std::vector<float>& values(Role role) const { return *values_[index(role)]; }

 private:
  static constexpr std::size_t k_rows = Column::k_chunk_rows;
  static_assert(TimeColumn::k_chunk_rows == k_rows);
  static constexpr std::size_t k_nowhere = std::numeric_limits<std::size_t>::max();
  static std::size_t index(Role role) { return static_cast<std::size_t>(role); }
  static const std::vector<float>& nothing() {
    static const std::vector<float> values;
    return values;
  }
  /// Of a column that the recording has not: the same for all windows.
  static const std::vector<float>& unknown() {
    static const std::vector<float> values(k_rows, std::numeric_limits<float>::quiet_NaN());
    return values;
  }

  void load(std::size_t chunk) {
    chunk_ = chunk;
    recording_.time_s.read_chunk(chunk, times_);
    for (const Role role : roles_) recording_.column(role).read_chunk(chunk, room_[index(role)]);
  }

  const Recording& recording_;
  std::vector<Role> roles_; ///< those that the recording has
  std::size_t chunk_ = k_nowhere;
  std::vector<double> times_;
  std::array<std::vector<float>, k_role_count> room_;
  std::array<const std::vector<float>*, k_role_count> values_{};
};

} // namespace coolband
