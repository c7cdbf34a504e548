#include "tests/speed/shipped.h"

#include <cstdlib>
#include <iostream>
#include <utility>

#include "src/answers/reasoning.h"
#include "src/rules.h"

namespace perrev {

namespace {

template <class Value>
Value or_die(Result<Value, Problems> read) {
  if (!read) {
    for (const Problem& p : read.error()) std::cerr << p.text() << "\n";
    std::exit(1);
  }
  return std::move(read).value();
}

}  // namespace

const RuleBase& shipped() {
  static const RuleBase base = or_die(load_rules(PERREV_SOURCE_FOLDER "/rules"));
  return base;
}

const Reasoner& reasoner() {
  static const Reasoning made(shipped(), 100);
  return made.reasoner;
}

CaseFile case_or_die(const std::string& shown, const std::string& text) {
  return or_die(CaseFile::parse(shown, text));
}

CaseFacts facts_or_die(const CaseFile& file) { return or_die(facts_of(file, shipped())); }

}  // namespace perrev
