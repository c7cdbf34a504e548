#include "src/answers/recording/recorded_json.h"

#include <nlohmann/json.hpp>

#include "engine/quantity/text.h"
#include "src/answers/recording/recorded_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<const char*, kDomains> kDomainNames = {"time", "road", "engine"};
constexpr std::array<const char*, kSeries> kSeriesNames = {"x", "y", "z", "all"};

const char* name_of(Domain domain) { return kDomainNames[static_cast<std::size_t>(domain)]; }

const char* source_name(SpeedSource by) {
  return by == SpeedSource::gps ? "gps" : by == SpeedSource::speedometer ? "speedometer" : nullptr;
}

Json axes_json(const std::array<double, kAxes>& values) {
  Json out = Json::object();
  for (std::size_t axis = 0; axis < kAxes; ++axis)
    out[kSeriesNames[axis]] = six_digits(values[axis]);
  return out;
}

Json meaning_json(const RecordedMeaning& meaning) {
  return {{"source", meaning.source},
          {"order", six_digits(meaning.order)},
          {"about", about(meaning)},
          {"probability", six_digits(meaning.probability)},
          {"by_typical_vehicles", meaning.usual}};
}

Json track_json(const Track& track) {
  Json points = Json::array();
  for (const TrackPoint& point : track.points)
    points.push_back({{"speed_km_h", six_digits(3.6 * point.speed)},
                      {"frequency_hz", six_digits(point.hz)},
                      {"amplitude_m_s2", axes_json(point.amplitude)},
                      {"phase_rad", axes_json(point.phase)},
                      {"noise_m_s2", six_digits(point.noise)},
                      {"seconds", six_digits(point.seconds)}});
  return {{"bandwidth", six_digits(track.bandwidth)}, {"points", points}};
}

Json vibration_json(const RecordedVibration& of) {
  Json also = Json::array();
  for (const FoundLine& line : of.also)
    also.push_back({{"domain", name_of(line.domain)},
                    {"at", six_digits(line.at)},
                    {"over_floor_db", six_digits(line.over_floor_db)}});
  Json meanings = Json::array();
  for (const RecordedMeaning& meaning : of.meanings) meanings.push_back(meaning_json(meaning));
  return {{"frequency_hz", six_digits(of.hz)},
          {"frequency_sd_hz", six_digits(of.hz_sd)},
          {"speed_km_h", of.speed > 0.0 ? Json(six_digits(3.6 * of.speed)) : Json()},
          {"amplitude_m_s2", six_digits(of.amplitude)},
          {"weighted_m_s2", six_digits(of.felt)},
          {"domain", name_of(of.line.domain)},
          {"at", six_digits(of.line.at)},
          {"axis", kSeriesNames[of.line.series]},
          {"over_floor_db", six_digits(of.line.over_floor_db)},
          {"by_chance", six_digits(of.line.by_chance)},
          {"also", also},
          {"meanings", meanings},
          {"unexplained", six_digits(of.unexplained)},
          {"ambiguous", of.ambiguous()},
          {"over_speed", of.track ? track_json(*of.track) : Json()}};
}

Json columns_json(const std::vector<RecordedColumn>& columns) {
  Json out = Json::array();
  for (const RecordedColumn& column : columns)
    out.push_back({{"role", name_of(column.role)}, {"name", column.name}, {"unit", column.unit}});
  return out;
}

// "m/s2" of "m_s2".
std::string usual_spelling(const RecordedColumn& column) {
  const Measured what = measured_by(column.role);
  for (const char* unit :
       {"mph", "km/h", "m/s", "knots", "g", "mg", "m/s2", "rpm", "Hz", "s", "ms", "us", "ns"})
    if (const auto size = unit_size(what, unit); size && *size == column.size) return unit;
  return column.unit;
}

std::string meanings_text(const RecordedVibration& of) {
  std::string out;
  for (const RecordedMeaning& meaning : of.meanings)
    if (meaning.probability >= 0.01)
      out += about(meaning) + " (" + percent(meaning.probability) + "), ";
  return out + "anything else (" + percent(of.unexplained) + ")";
}

std::string columns_text(const std::vector<RecordedColumn>& read,
                         const std::vector<FileColumn>& all) {
  static constexpr std::array<const char*, kRoles> kWhat = {"time", "x ahead", "y left",
                                                            "z up", "speed",   "engine"};
  constexpr std::size_t kName = 12;
  std::string out;
  for (const RecordedColumn& column : read)
    out += row(std::string("  ") + kWhat[static_cast<std::size_t>(column.role)], kName,
               perrev::quoted(column.name) +
                   (column.unit.empty() ? "" : ", in " + usual_spelling(column)));
  std::vector<std::string> left;
  for (const FileColumn& column : all)
    if (!column.role) left.push_back(perrev::quoted(column.name));
  if (!left.empty()) out += row("  not read", kName, joined(left));
  return out;
}

// "62.2 to 84.1 mph".
std::string speeds_text(const Analysis& analysis, Units units) {
  const std::string low = show_rounded(analysis.lowest_speed, Dimension::speed, units);
  const std::string high = show_rounded(analysis.highest_speed, Dimension::speed, units);
  return low == high ? high : low.substr(0, low.find(' ')) + " to " + high;
}

const char* name_of(SeverityChange::Speeds speeds) {
  switch (speeds) {
    case SeverityChange::Speeds::unknown:
      return "unknown";
    case SeverityChange::Speeds::apart:
      return "apart";
    case SeverityChange::Speeds::partly:
      return "partly";
    case SeverityChange::Speeds::alike:
      break;
  }
  return "alike";
}

}  // namespace

Json severity_json(const Severity& severity) {
  return {{"seconds", six_digits(severity.seconds)},
          {"weighted_m_s2", axes_json(severity.weighted)},
          {"total_m_s2", six_digits(severity.total)},
          {"highest_running_m_s2", six_digits(severity.highest_running)},
          {"dose_m_s1_75", six_digits(severity.dose)},
          {"crest_factor", six_digits(severity.crest)},
          {"comfort", comfort_of(severity.total)}};
}

Json change_json(const SeverityChange& change) {
  const bool known = change.before_speed > 0.0 && change.after_speed > 0.0;
  return {
      {"speeds", name_of(change.speeds)},
      {"before_speed_km_h", known ? Json(six_digits(3.6 * change.before_speed)) : Json()},
      {"after_speed_km_h", known ? Json(six_digits(3.6 * change.after_speed)) : Json()},
      {"before_m_s2", six_digits(change.before)},
      {"after_m_s2", six_digits(change.after)},
      {"factor", six_digits(change.factor)},
      {"decibels", six_digits(change.decibels)},
      {"factor_low", change.factor_range ? Json(six_digits(change.factor_range->low)) : Json()},
      {"factor_high", change.factor_range ? Json(six_digits(change.factor_range->high)) : Json()}};
}

Json to_json(const std::vector<FileColumn>& columns) {
  Json out = Json::array();
  for (const FileColumn& column : columns)
    out.push_back({{"name", column.name},
                   {"unit", column.unit},
                   {"first", column.first},
                   {"role", column.role ? Json(name_of(*column.role)) : Json()}});
  return out;
}

Json reading_json(const Recorded& recorded) {
  const Analysis& analysis = recorded.analysis;
  Json out = {{"seconds", six_digits(analysis.seconds)},
              {"rate_hz", six_digits(analysis.rate)},
              {"metres", six_digits(analysis.metres)},
              {"lowest_speed_km_h", six_digits(3.6 * analysis.lowest_speed)},
              {"highest_speed_km_h", six_digits(3.6 * analysis.highest_speed)},
              {"speed_by", source_name(recorded.by) ? Json(source_name(recorded.by)) : Json()},
              {"columns", columns_json(recorded.columns)},
              {"speed_columns", columns_json(recorded.speed_columns)},
              {"file_columns", to_json(recorded.file_columns)},
              {"speed_file_columns", to_json(recorded.speed_file_columns)},
              {"findings", Json::array()}};
  for (const RecordingFinding& finding : recorded.findings)
    out["findings"].push_back({{"id", finding.id},
                               {"mended", finding.kind == RecordingFinding::Kind::mended},
                               {"what", finding.what},
                               {"line", finding.line == 0 ? Json() : Json(finding.line)},
                               {"times", finding.times}});
  return out;
}

Json to_json(const Recorded& recorded, const RecordedLines& lines) {
  Json out = reading_json(recorded);
  out["vibrations"] = Json::array();
  for (const RecordedVibration& vibration : lines.vibrations)
    out["vibrations"].push_back(vibration_json(vibration));
  out["circumference_mm"] =
      lines.circumference ? Json(six_digits(1e3 * lines.circumference->mean)) : Json();
  out["circumference_sd_mm"] =
      lines.circumference ? Json(six_digits(1e3 * lines.circumference->sd)) : Json();
  out["severity"] = severity_json(recorded.analysis.severity);
  return out;
}

Json to_json(const std::vector<RecordedEntry>& entries) {
  Json out = Json::array();
  for (const RecordedEntry& entry : entries) {
    Json one = {{"fact", entry.fact}};
    if (entry.values.empty()) one["answer"] = "unsure";
    if (entry.values.size() == 1) one["value"] = entry.values.front();
    if (entry.values.size() > 1) one["value"] = entry.values;
    if (!entry.with.empty()) one["with"] = entry.with;
    out.push_back(std::move(one));
  }
  return out;
}

std::string reading_text(const Recorded& recorded, Units units) {
  const Analysis& analysis = recorded.analysis;
  std::string out =
      fixed(analysis.seconds, 1) + " s at " + fixed(analysis.rate, 0) + " samples a second";
  if (analysis.metres > 0.0) out += ", " + speeds_text(analysis, units);
  out += "\n";
  out += columns_text(recorded.columns, recorded.file_columns);
  if (!recorded.speed_columns.empty())
    out += "File of speeds\n" + columns_text(recorded.speed_columns, recorded.speed_file_columns);
  for (const RecordingFinding& finding : recorded.findings) {
    std::string text = finding.kind == RecordingFinding::Kind::mended ? "Mended: " : "";
    text += finding.what;
    if (finding.line > 0) text += " (first in line " + std::to_string(finding.line) + ")";
    if (finding.times > 1) text += ", " + std::to_string(finding.times) + " times";
    out += wrapped(text, 0, 2);
  }
  return out;
}

std::string vibrations_text(const RecordedLines& lines, Units units) {
  constexpr std::size_t kWhat = 24;
  std::string out;
  for (const RecordedVibration& vibration : lines.vibrations) {
    std::string text = acceleration_words(vibration.amplitude) + ", " +
                       fixed(vibration.line.over_floor_db, 0) + " dB";
    if (vibration.speed > 0.0 || !vibration.meanings.empty())
      text += ": " + meanings_text(vibration);
    out += row("  " + where_words(vibration, units), kWhat, text);
  }
  return out;
}

}  // namespace perrev
