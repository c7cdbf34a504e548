#include "engine/recording/column_name.h"

#include <algorithm>
#include <initializer_list>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

using Words = std::vector<std::string>;

bool is_upper(char c) { return c >= 'A' && c <= 'Z'; }
bool is_lower(char c) { return c >= 'a' && c <= 'z'; }
bool is_letter(char c) { return is_upper(c) || is_lower(c) || static_cast<unsigned char>(c) > 127; }

// A word begins after what is no letter or digit, and at a capital after a small letter.
Words words_in(std::string_view text) {
  Words out;
  std::string word;
  const auto close = [&] {
    if (!word.empty()) out.push_back(lower_case(word));
    word.clear();
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (!is_letter(c) && !is_digit(c)) {
      close();
      continue;
    }
    const bool rises = is_upper(c) && i > 0 && is_lower(text[i - 1]);
    const bool ends_run = is_upper(c) && i > 0 && is_upper(text[i - 1]) && i + 1 < text.size() &&
                          is_lower(text[i + 1]);
    if (rises || ends_run) close();
    word += c;
  }
  close();
  return out;
}

bool any_of(const Words& words, std::initializer_list<std::string_view> wanted) {
  return std::any_of(words.begin(), words.end(), [&](const std::string& word) {
    return std::find(wanted.begin(), wanted.end(), word) != wanted.end();
  });
}

// The unit at the end of a name without brackets: its longest end after "_", a blank, "," or "/"
// that is one, and not the whole name.
std::size_t unit_at_end(std::string_view name) {
  for (std::size_t at = 1; at < name.size(); ++at) {
    const bool apart = std::string_view("_ ,/-").find(name[at - 1]) != std::string_view::npos;
    const bool rises = is_upper(name[at]) && is_lower(name[at - 1]);
    if ((apart || rises) && is_unit(name.substr(at))) return at;
  }
  return name.size();
}

std::optional<Role> axis_of(const Words& words) {
  if (any_of(words, {"x", "ax", "accx", "accelx", "accelerationx", "accelerometerx", "longitudinal",
                     "long", "foreaft", "fore"}))
    return Role::x;
  if (any_of(words, {"y", "ay", "accy", "accely", "accelerationy", "accelerometery", "lateral",
                     "lat", "transverse", "sideways"}))
    return Role::y;
  if (any_of(words, {"z", "az", "accz", "accelz", "accelerationz", "accelerometerz", "vertical",
                     "vert", "upright"}))
    return Role::z;
  return std::nullopt;
}

bool says_acceleration(const Words& words) {
  return any_of(words, {"acc",
                        "accel",
                        "acceleration",
                        "accelerometer",
                        "a",
                        "gforce",
                        "ax",
                        "ay",
                        "az",
                        "accx",
                        "accy",
                        "accz",
                        "accelx",
                        "accely",
                        "accelz",
                        "accelerationx",
                        "accelerationy",
                        "accelerationz",
                        "accelerometerx",
                        "accelerometery",
                        "accelerometerz",
                        "beschleunigung",
                        "aceleracion",
                        "accelerazione"}) ||
         (any_of(words, {"g"}) && any_of(words, {"force"}));
}

std::optional<ColumnGuess> guess_acceleration(const ColumnName& name) {
  if (any_of(name.words, {"gyro", "gyroscope", "angular", "rotation", "mag", "magnetometer",
                          "magnetic", "gravity", "orientation", "roll", "pitch", "yaw", "quat",
                          "speed", "velocity", "position", "displacement", "offset", "jerk"}))
    return std::nullopt;
  const auto axis = axis_of(name.words);
  const bool by_unit = unit_size(Measured::acceleration, name.unit).has_value();
  // A unit of anything else says what it is; "x" alone may be one.
  if (!axis || (!name.unit.empty() && !by_unit)) return std::nullopt;
  const bool said = says_acceleration(name.words);
  const bool bare = name.words.size() == 1 && any_of(name.words, {"x", "y", "z"});
  if (!said && !by_unit && !bare) return std::nullopt;
  const bool without_gravity =
      any_of(name.words, {"linear", "lin", "user", "dynamic"}) ||
      (any_of(name.words, {"without", "no", "minus"}) && any_of(name.words, {"gravity", "g"}));
  return ColumnGuess{*axis, (without_gravity ? 4 : 0) + (said ? 2 : 0) + (by_unit ? 1 : 0)};
}

std::optional<ColumnGuess> guess_speed(const ColumnName& name) {
  const bool by_unit = unit_size(Measured::speed, name.unit).has_value();
  if (!name.unit.empty() && !by_unit) return std::nullopt;
  const bool bare = by_unit && (name.words.empty() || name.words == Words{"v"});
  if (!bare && !any_of(name.words, {"speed", "velocity", "geschwindigkeit", "vitesse", "velocidad",
                                    "velocita", "gpsspeed", "vehiclespeed"}))
    return std::nullopt;
  if (any_of(name.words, {"accuracy", "acc",     "limit",       "wind",     "target",  "set",
                          "desired",  "error",   "uncertainty", "vertical", "angular", "engine",
                          "motor",    "shaft",   "fan",         "x",        "y",       "z",
                          "turbine",  "average", "avg",         "max"}))
    return std::nullopt;
  const bool satellite = any_of(name.words, {"gps", "gnss", "location", "gpsspeed", "ground"});
  const bool wheel = any_of(name.words, {"wheel"});
  return ColumnGuess{Role::speed, satellite ? 2 : wheel ? 0 : 1};
}

std::optional<ColumnGuess> guess_engine(const ColumnName& name) {
  const bool by_unit = unit_size(Measured::turning, name.unit).has_value();
  const bool engine =
      any_of(name.words, {"engine", "motor", "crank", "crankshaft", "rpm", "drehzahl", "revs"});
  const bool turns = by_unit || any_of(name.words, {"speed", "rpm", "revs", "drehzahl"});
  if (any_of(name.words, {"wheel", "shaft", "driveshaft", "turbine", "fan", "target", "idle", "max",
                          "limit", "turbo"}))
    return std::nullopt;
  const bool bare = name.words.empty() && lower_case(name.unit) == "rpm";
  if (bare) return ColumnGuess{Role::engine, 0};
  if (!engine || !turns || (!name.unit.empty() && !by_unit)) return std::nullopt;
  return ColumnGuess{Role::engine, 1};
}

std::optional<ColumnGuess> guess_time(const ColumnName& name) {
  const bool by_unit = unit_size(Measured::time, name.unit).has_value();
  if (!name.unit.empty() && !by_unit) return std::nullopt;
  if (by_unit && name.words.empty()) return ColumnGuess{Role::time, 0};  // named "seconds"
  if (any_of(name.words, {"zone", "lap", "fix", "exposure", "delta", "dt", "utcoffset"}))
    return std::nullopt;
  if (name.words != Words{"t"} &&
      !any_of(name.words, {"time", "timestamp", "elapsed", "epoch", "datetime", "stamp",
                           "timestamps", "uptime", "zeit", "temps", "tiempo", "tempo", "utc"}))
    return std::nullopt;
  // The sensor's own clock counts even steps where wall clocks are set.
  const bool elapsed = any_of(name.words, {"elapsed", "sensor", "uptime"});
  return ColumnGuess{Role::time, (by_unit ? 2 : 0) + (elapsed ? 1 : 0)};
}

}  // namespace

ColumnName read_column_name(std::string_view text) {
  std::string_view name = trimmed(text);
  ColumnName out;
  for (const char* pair : {"()", "[]", "{}"}) {
    const std::size_t open = name.find(pair[0]);
    const std::size_t close = name.find(pair[1], open == std::string_view::npos ? 0 : open);
    if (open == std::string_view::npos || close == std::string_view::npos) continue;
    const std::string_view inside = name.substr(open + 1, close - open - 1);
    if (!is_unit(inside)) continue;
    out.unit = trimmed(inside);
    out.words =
        words_in(std::string(name.substr(0, open)) + " " + std::string(name.substr(close + 1)));
    return out;
  }
  // "t", "g" and the like are names before they are units.
  if (name.size() > 1 && is_unit(name)) {
    out.unit = name;
    return out;
  }
  const std::size_t at = unit_at_end(name);
  out.unit = name.substr(at);
  out.words = words_in(name.substr(0, at));
  return out;
}

std::optional<ColumnGuess> guess_column(const ColumnName& name) {
  if (const auto engine = guess_engine(name)) return engine;
  if (const auto speed = guess_speed(name)) return speed;
  if (const auto acceleration = guess_acceleration(name)) return acceleration;
  return guess_time(name);
}

}  // namespace perrev
