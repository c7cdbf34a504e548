// The page that says how a tablet or phone comes to trust this server. Without script: it is read
// by devices that do not trust it yet.
#pragma once

#include <string>

#include "src/server/response.h"

namespace perrev {

Response trust_page(const std::string& address, const std::string& fingerprint);

}  // namespace perrev
