#include "src/commands/store_patience.h"

#include <iostream>

namespace perrev {

Patience told_patience() {
  Patience out;
  const auto seconds = std::chrono::duration_cast<std::chrono::seconds>(out.longest).count();
  out.told = [seconds] {
    std::cerr << "perrev: another program keeps the store busy; it is waited for, up to " +
                     std::to_string(seconds) + " s\n";
  };
  return out;
}

}  // namespace perrev
