#include <algorithm>
#include <cmath>
#include <cstdio>

#include "engine/quantity/text.h"
#include "src/answers/rules_diff.h"
#include "src/answers/words.h"

namespace perrev {

const char* const kHowToRead =
    "Each rule base tends to do best with complaints of its own kind. A change pays if it gains "
    "more where vehicles are as the new rules say than it loses where they are as the old ones "
    "say. +/- is the standard error of the change; what is within two of them may be chance.";

namespace {

// Sentences stand in quotes, ids and numbers do not.
std::string told(const std::string& text) {
  return text.find(' ') == std::string::npos ? text : "\"" + text + "\"";
}

std::string told(const std::vector<std::string>& list) {
  std::vector<std::string> out;
  for (const std::string& text : list) out.push_back(told(text));
  return joined(out);
}

std::vector<std::string> without(std::vector<std::string> list,
                                 const std::vector<std::string>& others) {
  list.erase(std::remove_if(list.begin(), list.end(),
                            [&](const std::string& text) {
                              return std::find(others.begin(), others.end(), text) != others.end();
                            }),
             list.end());
  return list;
}

std::string list_words(const std::vector<std::string>& before,
                       const std::vector<std::string>& after) {
  const std::string more = told(without(after, before)), less = told(without(before, after));
  if (more.empty()) return "no longer " + less;
  return "now also " + more + (less.empty() ? "" : "; no longer " + less);
}

std::string number_of(std::size_t count, const char* words) {
  return count == 0 ? std::string() : std::to_string(count) + words;
}

std::string tenths(double probability) { return fixed(100.0 * probability, 1); }

std::string base_words(const ComparedBase& base) {
  return base.commit.empty() ? base.name : base.name + " (" + base.commit.substr(0, 10) + ")";
}

std::string misses_words(const CaseView& view, const CaseView& other, const char* word) {
  std::string out;
  for (const Miss& miss : view.tested.misses) {
    const bool both = std::any_of(
        other.tested.misses.begin(), other.tested.misses.end(),
        [&](const Miss& of) { return of.key == miss.key && of.expected == miss.expected; });
    if (!both) out += (out.empty() ? "" : "; ") + miss.expected + ", " + word + " " + miss.came;
  }
  return out;
}

std::string unread_words(const CaseView& view) {
  std::vector<std::string> out;
  for (const Problem& of : view.tested.problems) out.push_back(of.what);
  return joined(out, "; ");
}

std::string moved_words(const CaseChange& change) {
  std::string by;
  for (const Moved& of : change.moved) {
    const std::string weight = std::isinf(of.decibans)
                                   ? (of.decibans > 0.0 ? "rules it out no more" : "rules it out")
                                   : decibans(of.decibans);
    by += (by.empty() ? "" : ", ") + (of.name.empty() ? "how usual" : of.name) + " " + weight;
  }
  if (by.empty()) return {};
  const std::string rival = change.rival == "not_listed" ? "what is not listed" : change.rival;
  return "why (" + change.subject + " against " + rival + ", decibans): " + by;
}

std::string numbers(const Placed* was, const Placed* is) {
  const auto cell = [](const std::string& text, std::size_t width) {
    return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
  };
  const auto rank = [](const Placed* of) {
    return !of || of->rank == 0 ? std::string("-") : std::to_string(of->rank);
  };
  const auto share = [](const Placed* of) {
    return of ? tenths(of->probability) : std::string("-");
  };
  return cell(share(was), 8) + cell(share(is), 8) + cell(rank(was), 6) + cell(rank(is), 6);
}

constexpr std::size_t kNumbersFrom = 48;

std::string case_row(const std::string& name, std::size_t indent, const std::string& shown) {
  std::string head = std::string(indent, ' ') + name;
  if (head.size() >= kNumbersFrom)
    return head + "\n" + std::string(kNumbersFrom, ' ') + shown + "\n";
  return head + std::string(kNumbersFrom - head.size(), ' ') + shown + "\n";
}

std::string case_text(const CaseChange& change) {
  const std::vector<Placed>&was = change.before.truth, &is = change.after.truth;
  const std::size_t rows = std::max(was.size(), is.size());
  const auto at = [](const std::vector<Placed>& all, std::size_t i) {
    return i < all.size() ? &all[i] : nullptr;
  };
  std::string out = case_row(change.after.tested.name, 2,
                             rows == 1 ? numbers(at(was, 0), at(is, 0)) : std::string());
  if (rows > 1)
    for (std::size_t i = 0; i < rows; ++i)
      out += case_row((is.empty() ? was : is)[i].cause, 4, numbers(at(was, i), at(is, i)));
  for (const std::string& line : lines_of(change)) out += wrapped(line, 6, 8);
  return out;
}

std::string rule_text(const RuleChange& change) {
  std::string head = "  " + name_of(change.how);
  head.resize(11, ' ');
  std::string out = row(head, 11,
                        change.kind + " " + told(change.id) +
                            (change.title.empty() ? std::string() : ": " + change.title));
  if (!change.perhaps.empty()) out += wrapped(perhaps_words(change), 13, 15);
  if (change.how == HowChanged::changed)
    for (const FieldChange& field : change.fields) out += wrapped(words_of(field), 13, 15);
  return out;
}

std::string mean_row(const char* name, const PairedMean& mean, double factor) {
  const std::string verdict = verdict_of(mean);
  char line[120];
  std::snprintf(line, sizeof line, "  %-32s%8.1f%8.1f%8s%7.1f%s\n", name, factor * mean.before,
                factor * mean.after, decibans(factor * mean.change()).c_str(), factor * mean.error,
                verdict.empty() ? "" : ("  " + verdict).c_str());
  return line;
}

std::string drawn_text(const std::string& from, const PairedReport& report) {
  return wrapped("If vehicles are as " + from + " says: " + std::to_string(report.alike) + " of " +
                     std::to_string(report.complaints) + " go the same way",
                 2, 4) +
         mean_row("  true cause first, %", report.first, 100.0) +
         mean_row("  minutes to the repair", report.minutes, 1.0) +
         mean_row("  repaired, not handed on, %", report.solved, 100.0);
}

bool all_chance(const RulesDiff& diff) {
  for (const auto& report : {*diff.drawn_from_before, *diff.drawn_from_after})
    for (const PairedMean& mean : {report.first, report.minutes, report.solved})
      if (!mean.may_be_chance()) return false;
  return true;
}

constexpr const char* kLookCloser =
    " Nothing here is beyond that: more complaints (--complaints) look closer.";

std::string simulated_text(const RulesDiff& diff) {
  if (!diff.drawn_from_before || !diff.drawn_from_after) return {};
  return "\n" +
         wrapped("Simulated complaints, each taken to the repair by both rule bases: " +
                     std::to_string(diff.drawn_from_after->complaints) + " drawn from each, seed " +
                     std::to_string(diff.seed),
                 0, 2) +
         "                                    before   after  change    +/-\n" +
         drawn_text(diff.after.name, *diff.drawn_from_after) +
         drawn_text(diff.before.name, *diff.drawn_from_before) + "\n" +
         wrapped(std::string(kHowToRead) + (all_chance(diff) ? kLookCloser : ""), 2, 2);
}

}  // namespace

std::string words_of(const FieldChange& change) {
  const std::string head = change.field.empty() ? std::string() : change.field + ": ";
  if (change.before.empty()) return head + "now " + told(change.after) + ", where nothing was said";
  if (change.after.empty()) return head + "no longer " + told(change.before);
  if (change.is_list) return head + list_words(change.before, change.after);
  return head + "from " + told(change.before) + " to " + told(change.after);
}

std::string perhaps_words(const RuleChange& change) {
  return "perhaps renamed " + std::string(change.how == HowChanged::added ? "from " : "to ") +
         change.perhaps;
}

std::string verdict_of(const PairedMean& mean) {
  if (mean.change() == 0.0 && mean.error == 0.0) return "same";
  return mean.may_be_chance() ? "within noise" : "";
}

std::string counted(const std::vector<RuleChange>& changes) {
  std::vector<std::string> parts;
  for (const HowChanged how : {HowChanged::changed, HowChanged::added, HowChanged::removed}) {
    const auto count = std::count_if(changes.begin(), changes.end(),
                                     [&](const RuleChange& of) { return of.how == how; });
    if (count > 0) parts.push_back(std::to_string(count) + " " + name_of(how));
  }
  return parts.empty() ? "nothing changed" : joined(parts);
}

std::string counted_cases(const RulesDiff& diff) {
  const auto count = [&](bool CaseChange::* which) {
    return static_cast<std::size_t>(std::count_if(diff.otherwise.begin(), diff.otherwise.end(),
                                                  [&](const CaseChange& of) { return of.*which; }));
  };
  std::vector<std::string> parts;
  for (const std::string& part :
       {number_of(count(&CaseChange::breaks), " broken"),
        number_of(count(&CaseChange::mended), " mended"), number_of(diff.hardly, " hardly moved"),
        number_of(diff.cases - diff.otherwise.size() - diff.hardly, " the same")})
    if (!part.empty()) parts.push_back(part);
  return std::to_string(diff.otherwise.size()) + " of " + std::to_string(diff.cases) +
         " come out differently" + (parts.empty() ? "" : "; " + joined(parts));
}

std::vector<std::string> lines_of(const CaseChange& change) {
  const CaseView &was = change.before, &is = change.after;
  std::vector<std::string> out;
  const auto add = [&](const char* head, const std::string& words) {
    if (!words.empty()) out.push_back(head + words);
  };
  add("could not be read before: ", unread_words(was));
  add(change.breaks ? "BROKEN, cannot be read any more: " : "cannot be read any more: ",
      unread_words(is));
  const bool unread = !was.tested.problems.empty() || !is.tested.problems.empty();
  add(change.breaks ? "BROKEN: expected " : "also missed now: expected ",
      misses_words(is, was, "came"));
  add(change.mended ? "mended: expected " : "no longer missed: expected ",
      misses_words(was, is, "had come"));
  if (is.tested.standing == CaseStanding::gap_closed)
    out.emplace_back("its known gap is closed: remove known_gap");
  if (unread) return out;
  if (was.first.cause != is.first.cause)
    add("first now ", is.first.cause + " (" + tenths(is.first.probability) + " %), was " +
                          was.first.cause + " (" + tenths(was.first.probability) + " %)");
  if (was.next != is.next) add("next now ", is.next + ", was " + was.next);
  if (was.stops != is.stops) add("stops: ", list_words(was.stops, is.stops));
  add("", moved_words(change));
  return out;
}

std::string to_text(const RulesDiff& diff) {
  std::string out =
      wrapped("From " + base_words(diff.before) + " to " + base_words(diff.after), 0, 2) +
      "\nRules: " + counted(diff.rules) + "\n";
  for (const RuleChange& change : diff.rules) out += rule_text(change);
  out += "\n" + wrapped("Reference cases: " + counted_cases(diff), 0, 2);
  if (!diff.otherwise.empty())
    out += case_row("", 0, "   true cause, %        rank") +
           case_row("case", 2, "  before   after   was   now");
  for (const CaseChange& change : diff.otherwise) out += case_text(change);
  return out + simulated_text(diff);
}

}  // namespace perrev
