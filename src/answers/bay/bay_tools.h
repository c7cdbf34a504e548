// The tools by name. Internal to this folder: others use bay_tools().
#pragma once

#include "src/answers/bay/bay_tool.h"

namespace perrev {

BayTool shaft_speed_tool();

}  // namespace perrev
