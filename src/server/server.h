// `perrev serve` from the first listening socket to the last closed one.
#pragma once

#include <cstdint>
#include <string>

#include "src/server/api.h"
#include "src/store/store.h"

namespace perrev {

struct ServerOptions {
  std::uint16_t port = 0;  // 0: any that is free
  bool lan = false;
  std::string certificate_file, key_file;  // empty: made here
  std::string name;                        // a further name of this machine on the local network
  bool keep_key = false;
  bool open_page = false;  // in the user's browser
};

// Serves until SIGINT or SIGTERM, then empty; problems where it cannot start. Prints the address to
// standard output and a line for each request to standard error. `saved` is asked twice a second,
// on a thread of its own; what it gives is used from the next request on, or is told and left.
Problems serve(const ServerOptions& options, RulesInUse& rules, const SavedRules& saved,
               Store& store, About about);

}  // namespace perrev
