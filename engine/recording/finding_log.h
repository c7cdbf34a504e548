// What a stage has to tell: one finding an id, with the first line it was seen at and how often.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "engine/recording/samples.h"

namespace perrev {

class FindingLog {
 public:
  // Of a known id only the number of times grows.
  void tell(std::string_view id, std::string_view what, std::size_t line = 0);
  void mend(std::string_view id, std::string_view what, std::size_t line = 0);
  void add(RecordingFinding finding);
  // Another sentence for what was noted, once all of it is known; nothing where nothing was.
  void describe(std::string_view id, std::string what);

  std::size_t times(std::string_view id) const;
  const std::vector<RecordingFinding>& all() const { return all_; }

 private:
  void note(RecordingFinding::Kind kind, std::string_view id, std::string_view what,
            std::size_t line);
  std::vector<RecordingFinding> all_;
};

}  // namespace perrev
