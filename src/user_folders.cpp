#include "src/user_folders.h"

#include <cstdlib>
#include <sstream>

namespace perrev {

namespace {

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value ? value : "";
}

bool is_absolute(const std::string& path) { return path.rfind('/', 0) == 0; }

std::string below_home(const char* name, const char* usual) {
  if (const std::string set = variable(name); is_absolute(set)) return set;
  const std::string home = variable("HOME");
  return is_absolute(home) ? home + usual : std::string();
}

}  // namespace

std::string data_home() { return below_home("XDG_DATA_HOME", "/.local/share"); }

std::string cache_home() { return below_home("XDG_CACHE_HOME", "/.cache"); }

std::vector<std::string> data_folders() {
  std::string set = variable("XDG_DATA_DIRS");
  if (set.empty()) set = "/usr/local/share:/usr/share";
  std::vector<std::string> out;
  std::istringstream all(set);
  for (std::string one; std::getline(all, one, ':');)
    if (is_absolute(one)) out.push_back(one);
  return out;
}

}  // namespace perrev
