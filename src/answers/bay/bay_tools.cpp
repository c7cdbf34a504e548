#include "src/answers/bay/bay_tools.h"

namespace perrev {

const std::vector<BayTool>& bay_tools() {
  static const std::vector<BayTool> tools = {
      indexing_tool(),
      match_mount_tool(),
      joint_angles_tool(),
      shaft_speed_tool(),
      circumferences_tool(),
      tires_tool(),
      nuts_tool(),
      bearing_play_tool(),
  };
  return tools;
}

}  // namespace perrev
