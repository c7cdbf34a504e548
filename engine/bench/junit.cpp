#include "engine/bench/junit.h"

#include <algorithm>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

bool is_xml_char(std::string_view sequence) {
  if (sequence.size() == 1)
    return static_cast<unsigned char>(sequence[0]) >= 0x20 || sequence == "\t" ||
           sequence == "\n" || sequence == "\r";
  return sequence != "\xEF\xBF\xBE" && sequence != "\xEF\xBF\xBF";
}

std::string attribute(const char* name, std::string_view value) {
  return std::string(" ") + name + "=\"" + escaped_xml(value) + "\"";
}

std::string words_of(const Miss& miss) {
  std::string out = miss.key + ": expected " + miss.expected + "; came " + miss.came;
  for (const Decider& decider : miss.deciders)
    out += "\n  " + decider.name + ": " + decider.because;
  return out;
}

// The element that says how a case failed; empty when it passed.
std::string outcome(const TestedCase& of) {
  std::string tag = "failure", type, message, text;
  switch (of.standing) {
    case CaseStanding::passed:
      return {};
    case CaseStanding::unreadable:
      tag = type = "error";
      message = of.problems.front().what;
      for (const Problem& problem : of.problems) text += problem.text() + "\n";
      break;
    case CaseStanding::gap_closed:
      type = "known_gap";
      message = "known gap is closed; remove known_gap";
      break;
    case CaseStanding::known_gap:
      return "      <skipped" + attribute("message", "known gap: " + of.known_gap) + "/>\n";
    case CaseStanding::failed:
      type = of.misses.front().key;
      message = "expected " + of.misses.front().expected + "; came " + of.misses.front().came;
      for (const Miss& miss : of.misses) text += words_of(miss) + "\n";
      break;
  }
  return "      <" + tag + attribute("type", type) + attribute("message", message) + ">" +
         escaped_xml(text) + "</" + tag + ">\n";
}

}  // namespace

std::string escaped_xml(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequence_length(text, at);
    const std::string_view sequence = text.substr(at, std::max<std::size_t>(1, length));
    at += sequence.size();
    if (length == 0 || !is_xml_char(sequence))
      out += "\xEF\xBF\xBD";
    else if (sequence == "&")
      out += "&amp;";
    else if (sequence == "<")
      out += "&lt;";
    else if (sequence == ">")
      out += "&gt;";
    else if (sequence == "\"")
      out += "&quot;";
    else if (sequence == "\n" || sequence == "\t" || sequence == "\r")
      out += "&#" + std::to_string(static_cast<int>(sequence[0])) + ";";  // an attribute keeps it
    else
      out += sequence;
  }
  return out;
}

std::string junit_xml(const std::vector<TestedCase>& cases) {
  const auto count = [&](auto is) {
    return std::to_string(std::count_if(cases.begin(), cases.end(),
                                        [&](const TestedCase& of) { return is(of.standing); }));
  };
  std::string out = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites>\n  <testsuite";
  out += attribute("name", "perrev rules test");
  out += attribute("tests", std::to_string(cases.size()));
  out += attribute("failures", count([](CaseStanding s) {
                     return s == CaseStanding::failed || s == CaseStanding::gap_closed;
                   }));
  out += attribute("errors", count([](CaseStanding s) { return s == CaseStanding::unreadable; }));
  out += attribute("skipped", count([](CaseStanding s) { return s == CaseStanding::known_gap; })) +
         ">\n";
  for (const TestedCase& of : cases) {
    const std::string inside = outcome(of);
    out += "    <testcase" + attribute("classname", "cases") + attribute("name", of.name);
    out += inside.empty() ? "/>\n" : ">\n" + inside + "    </testcase>\n";
  }
  return out + "  </testsuite>\n</testsuites>\n";
}

}  // namespace perrev
