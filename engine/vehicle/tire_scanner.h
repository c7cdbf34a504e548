// A cursor over a normalised designation: capitals, digits, plain signs and single blanks.
#pragma once

#include <cstddef>
#include <string>
#include <utility>

#include "engine/quantity/text.h"

namespace perrev {

class TireScanner {
 public:
  explicit TireScanner(std::string text) : text_(std::move(text)) {}

  bool at_end() const { return at_ >= text_.size(); }
  char peek(std::size_t ahead = 0) const {
    return at_ + ahead < text_.size() ? text_[at_ + ahead] : '\0';
  }
  bool accept(char c) {
    if (peek() != c) return false;
    ++at_;
    return true;
  }
  void skip_blanks() {
    while (peek() == ' ') ++at_;
  }
  std::size_t position() const { return at_; }
  void go_to(std::size_t position) { at_ = position; }
  std::string rest() const { return text_.substr(at_); }

  std::string digits() { return run(is_digit); }
  std::string letters() {
    return run([](char c) { return c >= 'A' && c <= 'Z'; });
  }
  // Up to the next blank, bracket or digit.
  std::string word() {
    return run([](char c) { return c != ' ' && c != '(' && c != ')' && !is_digit(c); });
  }
  std::string until_blank() {
    return run([](char c) { return c != ' '; });
  }
  // "16", "22.5"; empty if no digit comes next.
  std::string number() {
    std::string out = digits();
    if (!out.empty() && peek() == '.' && is_digit(peek(1))) {
      ++at_;
      out += "." + digits();
    }
    return out;
  }

 private:
  template <class Belongs>
  std::string run(Belongs belongs) {
    const std::size_t start = at_;
    while (!at_end() && belongs(text_[at_])) ++at_;
    return text_.substr(start, at_ - start);
  }

  std::string text_;
  std::size_t at_ = 0;
};

}  // namespace perrev
