#include "engine/bench/finding.h"

#include <algorithm>
#include <utility>

namespace perrev {

std::string_view name_of(Level level) { return level == Level::error ? "error" : "note"; }

const std::vector<FindingKind>& finding_kinds() {
  constexpr Level kError = Level::error, kNote = Level::note;
  static const std::vector<FindingKind> kinds = {
      {"always-true", kError, "A condition is true whatever is answered, so it says nothing.",
       "Name the answers that count, or leave it out."},
      {"both-ways", kNote,
       "Two rules are true together, and one speaks for a cause, the other against it.",
       "Keep the one that is right."},
      {"cannot-apply", kNote, "A rule speaks for a cause only where its `needs` rules it out.",
       "Take the cause out of the rule, or correct `needs` or the condition."},
      {"counted-twice", kNote,
       "Two rules count for one cause, and one is true whenever the other is: of the same facts, "
       "or "
       "with strengths that come to more than the strongest word.",
       "Let the conditions exclude each other, each with its whole strength; leave it where the "
       "second is meant to add to the first."},
      {"fact-without-check", kNote, "Rules ask for a fact that no check learns.",
       "Put it under `learns` of a check."},
      {"fact-without-effect", kNote, "A check learns a fact on which nothing hangs.",
       "Write a rule that asks for it, or do not ask."},
      {"hidden-entry", kNote,
       "A rule names a family and each of its causes too, so the family's strength never applies.",
       "Leave the family out."},
      {"idle-part", kNote, "A part of a condition takes every answer of its fact.",
       "Leave the part out, or name the answers that count."},
      {"load-error", kError, "The rule base does not load.", "What the message says."},
      {"missing-caution", kNote,
       "A cause of a family with `needs_caution` has no caution, nor has its repair.",
       "Say what can hurt somebody."},
      {"never-asked", kNote,
       "A rule waits for a fact that `asked_if` keeps from being asked where the rest is true.",
       "Correct `asked_if` or the condition."},
      {"never-shown", kNote, "A cause says it is shown by bay or road, and no check confirms it.",
       "Give a check `confirms`, or say `shown_by: repair`."},
      {"never-true", kError, "A condition can never be true.",
       "Ask for answers that can be given together."},
      {"not-told-apart", kNote,
       "Nothing that checks can learn moves the odds between two causes by 3 decibans, and their "
       "repairs differ.",
       "Ask a fact that tells them apart, and write the rule for it."},
      {"nothing-against", kNote, "No answer speaks against a cause worth mentioning.",
       "Write down the find that would rule it out, or `needs`."},
      {"nothing-for", kNote, "No rule speaks for a cause.", "Write down what it shows."},
      {"one-repair", kNote,
       "Nothing that checks can learn moves the odds between two causes by 3 decibans, and one "
       "repair cures both.",
       "Make them one cause: as two they share what speaks for them, and neither gets likely."},
      {"range-gap", kNote, "Ranges of one number about one cause leave a small gap.",
       "Let them meet, in one unit."},
      {"range-overlap", kNote,
       "Ranges of one number about one cause overlap in part and count twice there.",
       "Let them meet, in one unit."},
      {"same-condition", kNote, "Two rules are true together and count twice for one cause.",
       "Make them one rule with one strength."},
      {"shown-elsewhere", kNote,
       "A cause says it is shown by the bay, and only a check on the road confirms it, or the "
       "other "
       "way round.",
       "Correct `shown_by`."},
      {"unused-equipment", kNote, "No check asks for a piece of equipment.", "Leave it out."},
      {"unused-fact", kNote, "A fact is used nowhere.",
       "Write a rule that asks for it and a check that learns it, or leave it out."},
      {"unused-family", kNote, "A family has no causes.", "Leave it out."},
      {"unused-setup", kNote, "No check asks for a set-up.", "Leave it out."},
  };
  return kinds;
}

namespace {

// Names of files may hold anything; a terminal must not act on it.
std::string on_one_line(std::string text) {
  for (char& c : text)
    if (static_cast<unsigned char>(c) < 0x20u || c == 0x7f) c = '?';
  return text;
}

}  // namespace

std::string Finding::text() const {
  std::string out = place.file;
  if (!out.empty() && place.line > 0)
    out += ":" + std::to_string(place.line) + ":" + std::to_string(place.column);
  if (!out.empty()) out += ": ";
  out += std::string(name_of(level)) + ": " + what;
  if (!right.empty()) out += "; " + right;
  return on_one_line(out + "  [" + id + "]");
}

Finding finding(std::string_view id, Place place, std::string what, std::string right) {
  const auto& kinds = finding_kinds();
  const auto kind = std::find_if(kinds.begin(), kinds.end(),
                                 [&](const FindingKind& each) { return each.id == id; });
  return {std::string(id), kind == kinds.end() ? Level::note : kind->level, std::move(place),
          std::move(what), std::move(right)};
}

std::vector<Finding> findings_of(const Problems& problems) {
  std::vector<Finding> out;
  for (const Problem& each : problems)
    out.push_back(finding("load-error", each.place, each.what, each.right));
  return out;
}

}  // namespace perrev
