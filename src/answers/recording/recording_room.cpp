#include "src/answers/recording/recording_room.h"

#include <exception>
#include <map>
#include <nlohmann/json.hpp>
#include <utility>

#include "engine/json_text.h"
#include "src/answers/asked.h"
#include "src/answers/problems_json.h"
#include "src/answers/recording/clock_search.h"
#include "src/answers/recording/recorded_answer.h"
#include "src/answers/recording/recorded_json.h"
#include "src/answers/recording/recording_terms.h"
#include "src/answers/recording/severity_words.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

constexpr double kUsualWidth = 460.0;  // px

std::string ok(Json answer) { return compact_json({{"ok", std::move(answer)}}); }

// Whatever is wrong becomes an answer.
template <class Answering>
std::string answered(const Answering& answering) {
  try {
    return answering();
  } catch (const std::exception&) {
    return R"({"problems":[{"what":"this could not be answered"}]})";
  }
}

ReadingWords reading_in(const Json& request, const char* key) {
  ReadingWords out;
  const auto reading = request.find(key);
  if (reading == request.end() || !reading->is_object()) return out;
  out.time_unit = text_in(*reading, "time_unit");
  out.acceleration_unit = text_in(*reading, "acceleration_unit");
  out.speed_unit = text_in(*reading, "speed_unit");
  out.engine_unit = text_in(*reading, "engine_unit");
  out.rows_per_second = text_in(*reading, "rows_per_second");
  if (const auto columns = reading->find("columns"); columns != reading->end())
    for (const auto& item : columns->items())
      if (item.value().is_string()) out.columns[item.key()] = item.value().get<std::string>();
  if (const auto scales = reading->find("full_scale"); scales != reading->end())
    for (const Json& scale : *scales)
      if (scale.is_string()) out.full_scale.push_back(scale.get<std::string>());
  if (const auto channels = reading->find("channels"); channels != reading->end())
    for (const Json& channel : *channels)
      if (channel.is_number_integer()) out.channels.push_back(channel.get<int>());
  return out;
}

RecordingWords words_in(const Json& request) {
  return {reading_in(request, "reading"), reading_in(request, "speed_file"),
          text_in(request, "speed"),      text_in(request, "rpm"),
          text_in(request, "offset"),     text_in(request, "by")};
}

Json offset_json(const std::optional<ClockOffset>& found) {
  const auto or_null = [&](double ClockOffset::* of) {
    return found ? Json(six_digits((*found).*of)) : Json();
  };
  return {{"offset_s", or_null(&ClockOffset::seconds)},
          {"low_s", or_null(&ClockOffset::low)},
          {"high_s", or_null(&ClockOffset::high)},
          {"what", clock_finding(found).what}};
}

// Null where the two cannot be compared.
Json told_change(const Severity& before, const Severity& now, Units units) {
  const auto change = change_between(before, now);
  if (!change) return {};
  Json out = change_json(*change);
  out["sentences"] = change_sentences(*change, kAtTheRecorder, units);
  return out;
}

// Of a request with a case; nothing without one.
Result<std::optional<OpenCase>, Problems> case_in(const Json& request, const RuleBase& base) {
  const auto found = request.find("case");
  if (found == request.end() || found->is_null()) return std::optional<OpenCase>();
  auto open = read_case("case", found->dump(), base);
  if (!open) return open.error();
  return std::optional<OpenCase>(std::move(open).value());
}

}  // namespace

struct RecordingRoom::State {
  explicit State(const RuleBase& of) : base(of) {}

  void close() {
    search.reset();
    run.reset();
  }
  std::optional<Problem> take_speed(std::string_view bytes) {
    return search ? search->take_speed(bytes) : run->take_speed(bytes);
  }
  // Before the first bytes of the recording, after the last ones of the speeds.
  std::optional<Problem> finish_speed() {
    if (std::exchange(speed_taken, true)) return std::nullopt;
    return search ? search->finish_speed() : run->finish_speed();
  }
  std::optional<Problem> take(std::string_view bytes) {
    return search ? search->take(bytes) : run->take(bytes);
  }
  // Ends it, with the columns that a person may have to name.
  std::string refuse(const Problem& problem, bool of_speed_file) {
    Json out = Json::parse(problems_json({problem}));
    if (problem.place.line > 0) out["problems"][0]["line"] = problem.place.line;
    out["of_speed_file"] = of_speed_file;
    out["file_columns"] = to_json(search ? search->file_columns() : run->file_columns());
    out["speed_file_columns"] =
        to_json(search ? search->speed_file_columns() : run->speed_file_columns());
    close();
    return compact_json(out);
  }

  const RuleBase& base;
  std::string name;  // of the one that is open; empty: nothing of it is kept
  std::unique_ptr<ClockSearch> search;
  std::unique_ptr<RecordingRun> run;
  bool speed_taken = false;
  std::optional<Recorded> recorded;
  std::map<std::string, Severity> earlier;  // by name
};

RecordingRoom::RecordingRoom(const RuleBase& base) : state_(std::make_unique<State>(base)) {}

RecordingRoom::~RecordingRoom() = default;

std::string RecordingRoom::open(std::string_view request) {
  return answered([&] {
    state_->close();
    state_->speed_taken = false;
    state_->recorded.reset();
    const auto read = read_request(request);
    if (!read) return problems_json(read.error());
    const Json& parsed = *read;
    auto terms = terms_of(words_in(parsed));
    if (!terms) return problems_json(terms.error());
    const auto open = case_in(parsed, state_->base);
    if (!open) return problems_json(open.error());
    state_->name = text_in(parsed, "name");
    if (parsed.value("find_offset", Json()) == true) {
      state_->search =
          std::make_unique<ClockSearch>(terms.value().reading, terms.value().speed_file);
      return ok(Json::object());
    }
    terms.value().wheel =
        wheel_of(state_->base, vehicle_in(state_->base, open.value() ? &*open.value() : nullptr));
    state_->run = std::make_unique<RecordingRun>(*terms);
    return ok(Json::object());
  });
}

std::string RecordingRoom::take(std::string_view bytes, bool speed_file) {
  return answered([&] {
    State& state = *state_;
    if (!state.search && !state.run) return problems_json({problem("no recording is open")});
    if (const auto refused = speed_file ? state.take_speed(bytes) : state.finish_speed())
      return state.refuse(*refused, true);
    if (speed_file) return ok(Json::object());
    if (const auto refused = state.take(bytes)) return state.refuse(*refused, false);
    Json told = Json::object();
    if (state.run) told["seconds"] = six_digits(state.run->seconds());
    return ok(std::move(told));
  });
}

std::string RecordingRoom::finish() {
  return answered([&] {
    State& state = *state_;
    if (!state.search && !state.run) return problems_json({problem("no recording is open")});
    if (const auto refused = state.finish_speed()) return state.refuse(*refused, true);
    if (state.search) {
      const auto found = state.search->finish();
      if (!found) return state.refuse(found.error(), false);
      state.close();
      return ok(offset_json(*found));
    }
    auto recorded = state.run->finish();
    if (!recorded) return state.refuse(recorded.error(), false);
    state.close();
    state.recorded = std::move(recorded).value();
    if (!state.name.empty()) state.earlier[state.name] = state.recorded->analysis.severity;
    return ok(reading_json(*state.recorded));
  });
}

std::string RecordingRoom::answer(std::string_view request) const {
  return answered([&] {
    if (!state_->recorded) return problems_json({problem("no recording was read")});
    const auto read = read_request(request);
    if (!read) return problems_json(read.error());
    const Json& parsed = *read;
    const auto open = case_in(parsed, state_->base);
    if (!open) return problems_json(open.error());
    const OpenCase* known = open.value() ? &*open.value() : nullptr;
    const Units units = units_in(parsed);
    const Severity& now = state_->recorded->analysis.severity;
    Json out = recorded_answer(state_->base, *state_->recorded, vehicle_in(state_->base, known),
                               known, units, width_in(parsed, kUsualWidth));
    out["severity"]["sentences"] = severity_sentences(now, kAtTheRecorder);
    const auto before = state_->earlier.find(text_in(parsed, "before"));
    out["change"] =
        before == state_->earlier.end() ? Json() : told_change(before->second, now, units);
    return ok(std::move(out));
  });
}

}  // namespace perrev
