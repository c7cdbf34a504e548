// The answer of `perrev orders` for people.
#include <algorithm>
#include <array>
#include <cmath>

#include "src/answers/lines_answer.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

constexpr std::size_t kPairsShown = 6;
// By FeltRate.
constexpr std::array<const char*, kFeltRates> kFeelsWords = {
    "as slow as the wheel turns", "two or three times as fast as the wheel turns",
    "as fast as a shaft turns", "as if it followed the engine", "too fast to feel"};

// In words, how well the line explains what was measured; empty where it hardly does.
std::string mark(double probability) {
  if (probability < kInQuestion) return {};
  const char* words = probability >= 0.5      ? "most likely this"
                      : probability >= kMayBe ? "may be this"
                                              : "hardly this";
  return std::string(words) + ", " + percent(probability);
}

constexpr std::size_t kWordColumn = 26;  // where the words stand

std::string right_aligned(const std::string& text, std::size_t width) {
  return std::string(text.size() < width ? width - text.size() : 0, ' ') + text;
}

std::string line_text(const OrderLine& line, const std::string& marked) {
  std::string out =
      row(right_aligned(short_hz(line.hz.mean), 8) + right_aligned(short_hz(line.hz.sd), 15),
          kWordColumn, line.about);
  if (!marked.empty()) out += wrapped("<- " + marked, kWordColumn, kWordColumn + 3);
  return out;
}

// "tire order 2, front", "engine order 4": without what explains it.
std::string short_name(const OrderLine& line) {
  std::size_t end = line.about.find(',');
  if (!is_engines(line) && end != std::string::npos) end = line.about.find(',', end + 1);
  return line.about.substr(0, end);
}

std::string seconds(double period) { return fixed(period, period < 10.0 ? 1 : 0) + " s"; }

std::string millimetres(double length, Units units) {
  return units == Units::metric ? fixed(1000.0 * length, 1) + " mm"
                                : fixed(length / kThirtySecond, 1) + "/32 in";
}

std::string wheels_text(const LinesQuestion& asked, const BeatingWheels& wheels, Units units) {
  std::string out;
  if (const auto& behind = wheels.behind)
    out += wrapped("- Two wheels: one turns " + fixed(100.0 * behind->relative, 2) +
                       " % faster. That is " + fixed(1000.0 * behind->circumference, 1) +
                       " mm of circumference, or some " + millimetres(behind->tread_depth, units) +
                       " to " + millimetres(behind->tread_depth_belt, units) +
                       " of tread: compare tread depths, pressures and sizes.",
                   2, 4);
  if (const auto& difference = wheels.difference) {
    const double apart = std::fabs(difference->mean);
    out += wrapped("- These " +
                       std::string(!asked.treads      ? "pressures"
                                   : !asked.pressures ? "treads"
                                                      : "treads and pressures") +
                       " make a difference of " + fixed(100.0 * apart, 2) + " %, give or take " +
                       fixed(100.0 * difference->sd, 2) + " %" +
                       (apart > 0.0 ? ": one swelling in about " +
                                          seconds(1.0 / (wheels.wheel_hz * apart)) + "."
                                    : "."),
                   2, 4);
  }
  return out;
}

std::string beat_text(const LinesQuestion& asked, const LinesAnswer& answer, Units units) {
  std::string out;
  for (std::size_t i = 0; i < answer.beating.size() && i < kPairsShown; ++i) {
    const BeatingLines& pair = answer.beating[i];
    out += wrapped("- " + short_name(answer.lines[pair.first]) + " and " +
                       short_name(answer.lines[pair.second]) + ": " + fixed(pair.hz.mean, 2) +
                       " Hz apart, give or take " + fixed(pair.hz.sd, 2) + " Hz. " +
                       advice_for(answer.lines[pair.first], answer.lines[pair.second]),
                   2, 4);
  }
  if (answer.wheels) out += wheels_text(asked, *answer.wheels, units);
  if (out.empty())
    return asked.beat
               ? "\nNothing that is known here swells once in " + seconds(*asked.beat) + ".\n"
               : "";
  return "\n" +
         (asked.beat ? "What would swell once in " + seconds(*asked.beat)
                     : std::string("How the two wheels would swell")) +
         "\n" + out;
}

std::string twins_text(const LinesAnswer& answer) {
  std::vector<const Twins*> told;  // what holds for the first order holds for its multiples
  for (const Twins& twins : answer.twins) {
    const OrderLine &a = answer.lines[twins.first], &b = answer.lines[twins.second];
    const bool repeats = std::any_of(told.begin(), told.end(), [&](const Twins* earlier) {
      return answer.lines[earlier->first].part == a.part &&
             answer.lines[earlier->second].part == b.part && a.order == b.order;
    });
    if (!repeats) told.push_back(&twins);
  }
  if (told.empty()) return {};
  std::string out = "\nLines that one reading cannot tell apart here\n";
  for (std::size_t i = 0; i < told.size() && i < kPairsShown; ++i)
    out += wrapped("- " + short_name(answer.lines[told[i]->first]) + " and " +
                       short_name(answer.lines[told[i]->second]) + ": " + short_hz(told[i]->apart) +
                       " Hz apart. " + told[i]->advice,
                   2, 4);
  if (told.size() > kPairsShown)
    out += "  and " + std::to_string(told.size() - kPairsShown) + " more pairs\n";
  return out;
}

std::string heading(const LinesQuestion& asked, const LinesAnswer& answer, Units units) {
  std::string out;
  if (asked.motion.speed)
    out = "At " + show(*asked.motion.speed, Dimension::speed, units) +
          (asked.motion.by == SpeedSource::gps           ? " by satellite"
           : asked.motion.by == SpeedSource::speedometer ? " by the speedometer"
                                                         : "");
  if (asked.motion.engine_hz)
    out += (out.empty() ? "At " : " and ") + fixed(60.0 * *asked.motion.engine_hz, 0) + " rpm";
  std::string peaks;
  for (const ExplainedPeak& read : answer.peaks)
    peaks +=
        (peaks.empty() ? "; measured " : ", ") +
        show_rounded(read.peak.hz, Dimension::frequency, units) +
        (read.peak.readings > 1 ? " (" + std::to_string(read.peak.readings) + " readings)" : "");
  if (asked.feels)
    peaks += std::string("; it feels ") + kFeelsWords[static_cast<std::size_t>(*asked.feels)];
  return wrapped(out + peaks, 0, 2);
}

// What is said of line `i`: of several peaks, which one it explains.
std::string marks(const LinesAnswer& answer, std::size_t i) {
  if (answer.peaks.size() < 2)
    return answer.probability.empty() ? std::string() : mark(answer.probability[i]);
  std::string out;
  for (const ExplainedPeak& read : answer.peaks) {
    const std::string one = mark(read.explained.lines[i].probability);
    if (!one.empty()) out += (out.empty() ? "" : "; ") + short_hz(read.peak.hz) + " Hz: " + one;
  }
  return out;
}

std::string table_text(const LinesAnswer& answer) {
  std::string out = "\n      Hz   give or take   what can shake at this frequency\n";
  for (std::size_t i = 0; i < answer.lines.size(); ++i)
    out += line_text(answer.lines[i], marks(answer, i));
  const auto rest = [&](const std::string& of, double unexplained) {
    out += wrapped("Something that is not in this list" + of + ": " + percent(unexplained),
                   kWordColumn, kWordColumn + 2);
  };
  if (answer.peaks.size() < 2) {
    if (!answer.probability.empty()) rest("", answer.unexplained);
    return out;
  }
  for (const ExplainedPeak& read : answer.peaks)
    rest(", at " + short_hz(read.peak.hz) + " Hz", read.explained.unexplained);
  return out;
}

}  // namespace

std::string lines_text(const LinesQuestion& asked, const LinesAnswer& answer, Units units) {
  std::string out = heading(asked, answer, units);
  for (const Conflict& conflict : answer.turning.conflicts)
    out += wrapped("These cannot all be true: " + conflict.what + ".", 0, 2);
  out += table_text(answer) + twins_text(answer) + beat_text(asked, answer, units);
  out += "\nGive or take is one standard deviation.\n";
  for (const std::string& note : answer.notes) out += wrapped(note, 0, 2);
  return out;
}

}  // namespace perrev
