// Recordings as a page asks for them: requests in JSON, bytes in between, answers in JSON.
//
//     open    {reading?: {time_unit?, acceleration_unit?, speed_unit?, engine_unit?, columns?:
//             {role: name}, full_scale?: ["2 g"], channels?: [1, 2, 3], rows_per_second?},
//              speed_file?: {the same, of the separate file of speeds},
//              speed?, rpm?, by?, offset?, case?}   quantities with their unit
//             with find_offset: true the clocks of the two files are put together first; finish
//             then tells {offset_s, low_s, high_s}, null where the drive does not show it, and both
//             files come again
//     take    bytes of the separate file of speeds, then of the recording: {seconds}
//     finish  what was read: keys as of `perrev recording check --json`
//     answer  {case?, units?, width?, before?}: as `perrev recording orders --json`, with
//             sentences (of severity too), entries, cautions and svg {spectrum, map, tracks}; again
//             for another case or width. `change`: how severe it is against the recording that was
//             opened by the name `before`; null where none was, or they can't be compared
// Problems of take and finish have their line, and beside them of_speed_file, file_columns and
// speed_file_columns (as finish has them).
// Each gives {"ok": ...} or {"problems": [...]}, as answers.h does. Opening another one drops the
// last; of those that were opened by a name their severity stays.
#pragma once

#include <memory>
#include <string>
#include <string_view>

#include "engine/knowledge/rule_base.h"

namespace perrev {

class RecordingRoom {
 public:
  // The rule base must outlive it.
  explicit RecordingRoom(const RuleBase& base);
  ~RecordingRoom();

  std::string open(std::string_view request);
  std::string take(std::string_view bytes, bool speed_file);
  std::string finish();
  std::string answer(std::string_view request) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace perrev
