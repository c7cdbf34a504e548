#include "src/answers/recording/severity_words.h"

#include <cmath>

#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr char kOf[] = " m/s\u00B2";
constexpr double kBumps = 9.0;  // crest factor; ISO 2631-1:1997, 6.2.1: above it r.m.s. is too mild

std::string figure(double value) { return fixed(value, value < 0.0995 ? 3 : 2); }

std::string hundredths(double part) { return fixed(100.0 * part, 0) + " %"; }

std::string factor_sentence(const SeverityChange& change) {
  if (!change.factor_range && std::fabs(change.decibels) < 0.05) return "It is what it was.";
  const std::string now = "it is " + hundredths(change.factor) + " of what it was";
  const std::string decibels =
      fixed(std::fabs(change.decibels), 1) + " dB " + (change.decibels < 0.0 ? "less" : "more");
  if (!change.factor_range) return "Now " + now + " (" + decibels + ").";
  const auto& [low, high] = *change.factor_range;
  const std::string range = hundredths(low) + " to " + hundredths(high);
  if (low <= 1.0 && high >= 1.0) {
    return "The two can't be told apart: " + now + ", and " + range +
           " is within what the level changed during the recordings.";
  }
  return "Now " + now + " (" + decibels + "), " + range +
         " by how much the level changed during the recordings.";
}

std::string speeds_sentence(const SeverityChange& change, Units units) {
  using Speeds = SeverityChange::Speeds;
  const auto speed = [&](double at) { return show_rounded(at, Dimension::speed, units); };
  switch (change.speeds) {
    case Speeds::apart:
      return "But the recordings have no speed in common, " + speed(change.before_speed) +
             " before and " + speed(change.after_speed) +
             " after in the mean: this says nothing about the repair. Drive the speeds of the "
             "first "
             "one again.";
    case Speeds::partly:
      return "Compared is only what both drove, " + hundredths(change.shared) +
             " of one of the recordings; the road must have been the same one.";
    case Speeds::alike:
      return "Compared at the speeds that both drove; the road must have been the same one.";
    case Speeds::unknown:
      break;
  }
  return "No speed was recorded: it holds only if road and speeds were the same.";
}

}  // namespace

std::vector<std::string> severity_sentences(const Severity& severity, const std::string& subject) {
  if (!(severity.total > 0.0)) return {};
  std::vector<std::string> out = {subject + ": " + figure(severity.total) + kOf +
                                  ", which people find " + std::string(comfort_of(severity.total)) +
                                  " (ISO 2631-1)."};
  if (severity.highest_running > 0.0)
    out.push_back("Its worst second has " + figure(severity.highest_running) + kOf + ".");
  if (severity.crest > kBumps)
    out.push_back("Single bumps make much of it (crest factor " + fixed(severity.crest, 0) +
                  "): the worst second says more than the mean.");
  return out;
}

std::vector<std::string> change_sentences(const SeverityChange& change, const std::string& subject,
                                          Units units) {
  const std::string was(comfort_of(change.before)), now(comfort_of(change.after));
  std::vector<std::string> out = {subject + ": " + figure(change.before) + kOf + " before, " +
                                  figure(change.after) + " after."};
  out.push_back(change.other_words
                    ? "People find that " + was + " before and " + now + " after (ISO 2631-1)."
                    : "People find both " + now + " (ISO 2631-1).");
  if (change.speeds != SeverityChange::Speeds::apart) out.push_back(factor_sentence(change));
  out.push_back(speeds_sentence(change, units));
  return out;
}

}  // namespace perrev
