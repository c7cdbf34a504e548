// Problems as every answer tells them that is none:
// {"problems": [{"what", "right"?, "where"?}]}, `where` a JSON pointer.
#pragma once

#include <string>

#include "engine/result.h"

namespace perrev {

std::string problems_json(const Problems& problems);

}  // namespace perrev
