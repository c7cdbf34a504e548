// Work on all cores.
#pragma once

#include <cstddef>
#include <functional>

namespace perrev {

// Calls work(i) for each i below `count`, in no fixed order, from as many threads as there are
// cores; ends when all have ended. What a call throws (memory, at worst) is thrown here then.
void side_by_side(std::size_t count, const std::function<void(std::size_t)>& work);

}  // namespace perrev
