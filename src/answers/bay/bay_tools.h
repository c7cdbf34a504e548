// The tools by name. Internal to this folder: others use bay_tools().
#pragma once

#include "src/answers/bay/bay_tool.h"

namespace perrev {

BayTool balance_tool();
BayTool bearing_play_tool();
BayTool circumferences_tool();
BayTool indexing_tool();
BayTool joint_angles_tool();
BayTool match_mount_tool();
BayTool nuts_tool();
BayTool rotor_tool();
BayTool runout_parts_tool();
BayTool runout_tool();
BayTool shaft_balance_tool();
BayTool shaft_speed_tool();
BayTool tires_tool();
BayTool trim_tool();

}  // namespace perrev
