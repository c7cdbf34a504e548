#include "tests/engine/knowledge/small_base.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <sstream>
#include <utility>

namespace perrev::small {

SmallBase::SmallBase() : files_(small_files()) {}

SourceFile& SmallBase::file(const std::string& name) {
  for (SourceFile& each : files_)
    if (each.name == name) return each;
  files_.push_back({name, "rules/" + name, ""});
  return files_.back();
}

SmallBase& SmallBase::change(const std::string& name, const std::string& before,
                             const std::string& after) {
  std::string& text = file(name).text;
  const std::size_t at = text.find(before);
  REQUIRE_MESSAGE(at != std::string::npos, "'" << before << "' does not stand in " << name);
  REQUIRE_MESSAGE(text.find(before, at + 1) == std::string::npos,
                  "'" << before << "' stands in " << name << " twice");
  text.replace(at, before.size(), after);
  return *this;
}

SmallBase& SmallBase::append(const std::string& name, const std::string& text) {
  file(name).text += text;
  return *this;
}

SmallBase& SmallBase::set(const std::string& name, const std::string& text) {
  file(name).text = text;
  return *this;
}

SmallBase& SmallBase::remove(const std::string& name) {
  files_.erase(std::remove_if(files_.begin(), files_.end(),
                              [&](const SourceFile& each) { return each.name == name; }),
               files_.end());
  return *this;
}

std::vector<std::string> SmallBase::complaints() const {
  const auto made = load();
  return made ? std::vector<std::string>{} : first_lines(made.error());
}

RuleBase SmallBase::loaded() const {
  auto made = load();
  if (!made) FAIL("it does not load:\n" << listed(first_lines(made.error())));
  return std::move(made).value();
}

namespace {

std::string with_line_ends(std::string text) {
  for (std::size_t at = text.find("\\n"); at != std::string::npos; at = text.find("\\n", at))
    text.replace(at, 2, "\n");
  return text;
}

SmallBase changed(const std::string& row) {
  const std::string bar = " | ";
  const std::size_t first = row.find(bar), second = row.find(" |", first + bar.size());
  REQUIRE_MESSAGE(second != std::string::npos, "not 'file | before | after': " << row);
  const std::string name = row.substr(0, first);
  const std::string before = row.substr(first + bar.size(), second - first - bar.size());
  const std::string after =
      second + bar.size() <= row.size() ? with_line_ends(row.substr(second + bar.size())) : "";
  SmallBase made;
  if (before == "+") return made.append(name, after);
  if (before == "*") return made.set(name, after);
  if (before == "-") return made.remove(name);
  return made.change(name, with_line_ends(before), after);
}

}  // namespace

std::vector<WrongBase> wrong_bases(const std::string& table) {
  std::vector<WrongBase> out;
  std::istringstream in(table);
  for (std::string line; std::getline(in, line);) {
    if (line.empty()) continue;
    if (line[0] != ' ')
      out.push_back({line, changed(line), {}});
    else
      out.back().expected.push_back(line.substr(2));
  }
  return out;
}

std::vector<std::string> first_lines(const Problems& problems) {
  std::vector<std::string> lines;
  for (const Problem& problem : problems) {
    const std::string text = problem.text();
    lines.push_back(text.substr(0, text.find('\n')));
  }
  return lines;
}

std::string listed(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += word + "\n";
  return out;
}

unsigned long long Lcg::next() {
  state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
  return state_ >> 11;
}

int Lcg::below(int bound) {
  return static_cast<int>(next() % static_cast<unsigned long long>(bound));
}

double Lcg::between(double low, double high) {
  return low + (high - low) * static_cast<double>(next()) / 9007199254740992.0;
}

}  // namespace perrev::small
