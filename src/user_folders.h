// Folders by the XDG Base Directory Specification 0.8, from the environment. A relative path there
// is ignored, as the specification says. Nothing is made, and nothing need be there.
#pragma once

#include <string>
#include <vector>

namespace perrev {

// $XDG_DATA_HOME, else $HOME/.local/share; empty where neither is set.
std::string data_home();
// $XDG_CACHE_HOME, else $HOME/.cache; empty where neither is set.
std::string cache_home();
// $XDG_DATA_DIRS, the first first; where that is not set: /usr/local/share and /usr/share.
std::vector<std::string> data_folders();

}  // namespace perrev
