// The engine as a page calls it, compiled to WebAssembly: a rule base goes in once, then answers
// come out (src/answers/answers.h), and recordings are read
// (src/answers/recording/recording_room.h). Every text that is returned is JSON in UTF-8, ends with
// a NUL, and stands until the next call. engine-instance.js is the other side.
#include <cstddef>
#include <cstdint>
#include <exception>
#include <memory>
#include <string>
#include <string_view>
#include <utility>

#include "engine/knowledge/rule_bytes.h"
#include "src/answers/answers.h"
#include "src/answers/recording/recording_room.h"

namespace {

struct Loaded {
  explicit Loaded(perrev::RuleBase&& of) : base(std::move(of)), answerer(base), recordings(base) {}

  perrev::RuleBase base;
  perrev::Answerer answerer;
  perrev::RecordingRoom recordings;
};

std::unique_ptr<Loaded> loaded;
std::string answer;

const char* problem(std::string_view what) {
  return (answer = R"({"problems":[{"what":")" + std::string(what) + R"("}]})").c_str();
}

// What `of` makes of the recordings.
template <class Of>
const char* told(const Of& of) {
  try {
    if (!loaded) return problem("no rule base is loaded");
    return (answer = of(loaded->recordings)).c_str();
  } catch (const std::exception&) {
    return problem("there is no room for this recording");
  }
}

}  // namespace

extern "C" {

// {"ok": {"rules_digest": "..."}} for bytes that rule_bytes.h made.
const char* perrev_load(const std::uint8_t* bytes, std::size_t size) {
  try {
    auto base = perrev::rule_base_from({reinterpret_cast<const char*>(bytes), size});
    if (!base) return problem("the rule base that was sent cannot be read");
    loaded = std::make_unique<Loaded>(std::move(base).value());
    return (answer = R"({"ok":{"rules_digest":")" + loaded->base.digest + R"("}})").c_str();
  } catch (const std::exception&) {
    return problem("there is no room for the rule base");
  }
}

const char* perrev_answer(const char* name, const char* request) {
  try {
    if (!loaded) return problem("no rule base is loaded");
    return (answer = loaded->answerer.answer(name, request)).c_str();
  } catch (const std::exception&) {
    return problem("this could not be answered");
  }
}

const char* perrev_recording_open(const char* request) {
  return told([&](perrev::RecordingRoom& room) { return room.open(request); });
}

// `speed_file`: 1 for bytes of the separate file of speeds, all of which come first.
const char* perrev_recording_take(const std::uint8_t* bytes, std::size_t size, int speed_file) {
  const std::string_view taken(reinterpret_cast<const char*>(bytes), size);
  return told([&](perrev::RecordingRoom& room) { return room.take(taken, speed_file != 0); });
}

const char* perrev_recording_finish() {
  return told([](perrev::RecordingRoom& room) { return room.finish(); });
}

const char* perrev_recording_answer(const char* request) {
  return told([&](perrev::RecordingRoom& room) { return room.answer(request); });
}
}
