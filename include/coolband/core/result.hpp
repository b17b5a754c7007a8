// SPDX-License-Identifier: Apache-2.0
// A value, or the reason why there is none.
#pragma once

#include "coolband/core/error.hpp"

#include <utility>
#include <variant>

namespace coolband {

/// Holds either a `T` or an `Error`. Reading the side that is not there is a programming error
/// and throws std::bad_variant_access, which `cli` reports as an internal error.
template <class T>
class Result {
 public:
  Result(T value) : state_(std::move(value)) {}
  Result(Error error) : state_(std::move(error)) {}

  [[nodiscard]] bool ok() const { return state_.index() == 0; }
  explicit operator bool() const { return ok(); }

  [[nodiscard]] T& value() { return std::get<0>(state_); }
  [[nodiscard]] const T& value() const { return std::get<0>(state_); }
  [[nodiscard]] const Error& error() const { return std::get<1>(state_); }

  T& operator*() { return value(); }
  const T& operator*() const { return value(); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }

 private:
  std::variant<T, Error> state_;
};

} // namespace coolband
