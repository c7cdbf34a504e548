// Values or problems with a place: how every room of the engine reports what went wrong.
//
// A Problem is one sentence for a person, with the place it belongs to. Nothing in the engine
// throws towards its caller; the exceptions of libraries are turned into problems where the library
// is used.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace perrev {

// Where a problem sits. Lines and columns count from 1; 0 means unknown. `pointer` is a JSON
// pointer (RFC 6901) for input that parsed as JSON but says something wrong.
struct Place {
  std::string file;
  int line = 0;
  int column = 0;
  std::string pointer;
};

struct Problem {
  Place place;
  std::string what;    // what is wrong, lower case, no full stop
  std::string right;   // what would be right; may be empty
  std::string source;  // the line of the source the place names; may be empty

  // "file:line:column: error: what; right", then the source line indented under it.
  std::string text() const;
};

using Problems = std::vector<Problem>;

inline Problem problem(std::string what, std::string right = {}) {
  return Problem{{}, std::move(what), std::move(right), {}};
}

// A value, or why there is none. `error()` may only be called when `!ok()`, `value()` when `ok()`.
template <class T, class E = Problem>
class Result {
 public:
  Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}  // NOLINT: conversion wanted
  Result(E error) : held_(std::in_place_index<1>, std::move(error)) {}  // NOLINT: conversion wanted

  bool ok() const { return held_.index() == 0; }
  explicit operator bool() const { return ok(); }
  const T& value() const& { return *std::get_if<0>(&held_); }
  T& value() & { return *std::get_if<0>(&held_); }
  T&& value() && { return std::move(*std::get_if<0>(&held_)); }
  const T& operator*() const& { return value(); }
  const T* operator->() const { return std::get_if<0>(&held_); }
  const E& error() const& { return *std::get_if<1>(&held_); }
  E&& error() && { return std::move(*std::get_if<1>(&held_)); }

 private:
  std::variant<T, E> held_;
};

// The candidate nearest to `word` by Damerau-Levenshtein distance, if near enough to have been
// meant.
std::optional<std::string> nearest(const std::string& word,
                                   const std::vector<std::string>& candidates);
// "did you mean 'x'?" of the nearest; `otherwise` where none is near enough.
std::string near_or(const std::string& word, const std::vector<std::string>& candidates,
                    const std::string& otherwise);

}  // namespace perrev
