#include "src/server/asio.h"
// The one above must come first.
#include "src/server/door.h"

namespace perrev {

bool Door::has_room() {
  if (connections.size() < most_connections) return true;
  Connection* longest = nullptr;
  auto since = std::chrono::steady_clock::time_point::max();
  for (Connection* one : connections)
    if (const auto waits = one->waits_since(); waits && *waits < since) {
      longest = one;
      since = *waits;
    }
  const auto now = std::chrono::steady_clock::now();
  if (told_full == std::chrono::steady_clock::time_point{} || now - told_full > kToldAgain) {
    told_full = now;
    log("all " + std::to_string(most_connections) + " connections are taken; " +
        (longest ? "whoever has been silent longest is closed for a new one"
                 : "nobody else is let in"));
  }
  if (!longest) return false;
  longest->give_way();
  return true;
}

}  // namespace perrev
