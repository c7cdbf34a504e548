#include "engine/recording/finding_log.h"

#include <utility>

namespace perrev {

void FindingLog::tell(std::string_view id, std::string_view what, std::size_t line) {
  note(RecordingFinding::Kind::told, id, what, line);
}

void FindingLog::mend(std::string_view id, std::string_view what, std::size_t line) {
  note(RecordingFinding::Kind::mended, id, what, line);
}

void FindingLog::add(RecordingFinding finding) { all_.push_back(std::move(finding)); }

void FindingLog::describe(std::string_view id, std::string what) {
  for (RecordingFinding& each : all_)
    if (each.id == id) {
      each.what = std::move(what);
      return;
    }
}

std::size_t FindingLog::times(std::string_view id) const {
  for (const RecordingFinding& each : all_)
    if (each.id == id) return each.times;
  return 0;
}

void FindingLog::note(RecordingFinding::Kind kind, std::string_view id, std::string_view what,
                      std::size_t line) {
  for (RecordingFinding& each : all_)
    if (each.id == id) {
      ++each.times;
      return;
    }
  all_.push_back({kind, std::string(id), std::string(what), line, 1});
}

}  // namespace perrev
