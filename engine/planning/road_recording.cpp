#include "engine/planning/road_recording.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

#include "engine/casefile/vehicle_of.h"
#include "engine/providers/orders.h"

namespace perrev {

namespace {

LinesApart apart_at(const RecordingSetting& setting, const LinePair& pair) {
  return lines_apart(setting.lines[pair.first], setting.lines[pair.second]);
}

class Choice {
 public:
  Choice(std::vector<RecordingSetting> tried, double felt, std::vector<LinePair>& pairs)
      : tried_(std::move(tried)), felt_(felt), pairs_(pairs), cleared_(pairs.size(), 0) {
    for (LinePair& pair : pairs_)
      for (const RecordingSetting& setting : tried_)
        pair.best = std::max(pair.best, apart_at(setting, pair).separation);
  }

  std::vector<RecordingSetting> made() {
    std::vector<RecordingSetting> out;
    do {
      out.push_back(best(out.empty()));
      for (std::size_t p = 0; p < pairs_.size(); ++p)
        cleared_[p] |= apart_at(out.back(), pairs_[p]).separation >= kLinesClear;
    } while (open());
    for (LinePair& pair : pairs_) {
      pair.apart = pair.at_first = apart_at(out.front(), pair);
      for (std::size_t s = 1; s < out.size(); ++s) {
        const LinesApart here = apart_at(out[s], pair);
        if (here.separation <= pair.apart.separation) continue;
        pair.setting = s;
        pair.apart = here;
      }
    }
    return out;
  }

 private:
  // A pair that some setting would clear and none has yet.
  bool open() const {
    for (std::size_t p = 0; p < pairs_.size(); ++p)
      if (!cleared_[p] && !pairs_[p].ambiguous()) return true;
    return false;
  }

  // The smaller the better.
  std::tuple<int, double, bool, double, double> rank_of(const RecordingSetting& setting) const {
    int cleared = 0;
    double least = kLinesPlenty;
    for (std::size_t p = 0; p < pairs_.size(); ++p) {
      const double here = apart_at(setting, pairs_[p]).separation;
      if (cleared_[p] || here < kLinesClear) continue;
      ++cleared;
      least = std::min(least, here);
    }
    return {-cleared, -least, setting.gear != RoadGear::as_felt, std::abs(setting.speed - felt_),
            setting.speed};
  }

  const RecordingSetting& best(bool first) const {
    std::size_t out = tried_.size();
    for (std::size_t i = 0; i < tried_.size(); ++i)
      if ((!first || tried_[i].gear == RoadGear::as_felt) &&
          (out == tried_.size() || rank_of(tried_[i]) < rank_of(tried_[out])))
        out = i;
    return tried_.at(out);
  }

  std::vector<RecordingSetting> tried_;
  double felt_;
  std::vector<LinePair>& pairs_;
  std::vector<char> cleared_;
};

std::vector<LinePair> telling_pairs(const std::vector<SuspectLine>& lines,
                                    const std::vector<RecordingSetting>& tried) {
  const auto computed = [&](std::size_t line) {
    return std::any_of(tried.begin(), tried.end(),
                       [&](const RecordingSetting& s) { return !s.lines[line].empty(); });
  };
  std::vector<LinePair> out;
  for (std::size_t i = 0; i < lines.size(); ++i)
    for (std::size_t j = i + 1; j < lines.size(); ++j)
      if (lines[i].suspects != lines[j].suspects && computed(i) && computed(j)) {
        out.emplace_back();
        out.back().first = i;
        out.back().second = j;
      }
  return out;
}

class LookUp {
 public:
  LookUp(const RuleBase& base, const CaseFacts& facts) : base_(base), facts_(facts) {}

  void lines(const VehicleFacts& vehicle, const std::vector<SuspectLine>& lines,
             const RecordingSetting& setting) {
    for (std::size_t l = 0; l < lines.size(); ++l) {
      if (!setting.lines[l].empty()) continue;
      const std::string& source = lines[l].source;
      const bool engines = source == "engine" || source == "accessory";
      if (!engines) want("tire_size");
      if (engines && !setting.engine) {
        want("rpm_at_worst");
        if (geared(vehicle) && setting.speed > 0.0)
          for (const char* id : {"tire_size", "axle_ratio", "gear_ratio"}) want(id);
      }
      if (lines[l].low_order <= 0.0) want("cylinders");
      if (source == "driveshaft" || source == "front_driveshaft")
        for (const char* id : {"driven_axle", "axle_ratio"}) want(id);
      if (source == "motor_rotor") want("reduction_ratio");
      if (source == "accessory") want("accessory_ratio");
    }
  }
  std::vector<int> facts() const { return out_; }

 private:
  void want(const char* id) {
    const int fact = base_.fact_index(id);
    if (fact < 0 || std::find(out_.begin(), out_.end(), fact) != out_.end()) return;
    for (const Reading& reading : facts_.now().readings)
      if (reading.fact == fact && !reading.unsure) return;
    out_.push_back(fact);
  }

  const RuleBase& base_;
  const CaseFacts& facts_;
  std::vector<int> out_;
};

constexpr double kLowest = 0.5, kHighest = 1000.0;           // Hz
constexpr double kAnywhereLow = 1.0, kAnywhereHigh = 200.0;  // Hz
constexpr std::size_t kBins = 1200;  // even in the logarithm; finer than any reading

double edge(std::size_t bin) {
  return kLowest * std::pow(kHighest / kLowest, static_cast<double>(bin) / kBins);
}

std::vector<double> anywhere() {
  std::vector<double> out(kBins, 0.0);
  for (std::size_t b = 0; b < kBins; ++b) {
    const double low = std::max(edge(b), kAnywhereLow), high = std::min(edge(b + 1), kAnywhereHigh);
    if (high > low) out[b] = std::log(high / low) / std::log(kAnywhereHigh / kAnywhereLow);
  }
  return out;
}

void add_line(double share, const Estimate& line, std::vector<double>& out) {
  const double sd = std::hypot(line.sd, reading_sd(line.mean)) * std::numbers::sqrt2;
  double before = std::erf((edge(0) - line.mean) / sd);
  for (std::size_t b = 0; b < kBins; ++b) {
    const double here = std::erf((edge(b + 1) - line.mean) / sd);
    out[b] += share * 0.5 * (here - before);
    before = here;
  }
}

}  // namespace

RoadRecording plan_recording(const RuleBase& base, const CaseFacts& facts,
                             const std::vector<int>& suspects, const RoadSpeeds& speeds) {
  const std::size_t now = facts.rounds.size() - 1;
  const VehicleFacts vehicle = vehicle_of(base, facts, now);
  RoadRecording out;
  out.lines = suspect_lines(base, vehicle, suspects);
  std::vector<RecordingSetting> tried =
      recording_settings(vehicle, motion_of(base, facts, now), out.lines, speeds);
  out.pairs = telling_pairs(out.lines, tried);
  out.settings = Choice(std::move(tried), speeds.felt, out.pairs).made();
  LookUp look_up(base, facts);
  look_up.lines(vehicle, out.lines, out.settings.front());
  out.look_up = look_up.facts();
  return out;
}

std::vector<std::vector<double>> expected_readings(const RoadRecording& recording,
                                                   const RecordingSetting& setting,
                                                   std::size_t suspects) {
  const std::vector<double> any = anywhere();
  std::vector<std::vector<double>> out;
  for (std::size_t s = 0; s < suspects; ++s) {
    std::vector<double> row(kBins, 0.0);
    bool computed = false, missing = false;
    for (std::size_t l = 0; l < recording.lines.size(); ++l) {
      const SuspectLine& line = recording.lines[l];
      const auto found = std::lower_bound(line.suspects.begin(), line.suspects.end(), s);
      if (found == line.suspects.end() || *found != s) continue;
      const double share = line.shares[static_cast<std::size_t>(found - line.suspects.begin())];
      const std::vector<Estimate>& at = setting.lines[l];
      for (const Estimate& hz : at)
        add_line((1.0 - kSomethingElse) * share / static_cast<double>(at.size()), hz, row);
      computed = computed || !at.empty();
      missing = missing || at.empty();
    }
    if (!computed || missing) row.assign(kBins, 0.0);
    const double rest = computed && !missing ? kSomethingElse : 1.0;
    for (std::size_t b = 0; b < kBins; ++b) row[b] += rest * any[b];
    out.push_back(std::move(row));
  }
  return out;
}

}  // namespace perrev
