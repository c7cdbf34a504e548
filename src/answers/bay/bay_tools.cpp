#include "src/answers/bay/bay_tools.h"

namespace perrev {

const std::vector<BayTool>& bay_tools() {
  static const std::vector<BayTool> tools = {
      balance_tool(),       trim_tool(),           runout_tool(),       runout_parts_tool(),
      indexing_tool(),      match_mount_tool(),    joint_angles_tool(), shaft_speed_tool(),
      shaft_balance_tool(), circumferences_tool(), rotor_tool(),        tires_tool(),
      nuts_tool(),          bearing_play_tool(),
  };
  return tools;
}

}  // namespace perrev
