#include "src/server/addresses.h"

#include <arpa/inet.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <netinet/in.h>
#include <unistd.h>

#include <algorithm>
#include <set>

#include "engine/quantity/text.h"
#include "src/server/request.h"

namespace perrev {

namespace {

bool is_private(const in_addr& address) {
  const std::uint32_t bits = ntohl(address.s_addr);
  return bits >> 24u == 10u || bits >> 20u == 0xac1u || bits >> 16u == 0xc0a8u ||
         bits >> 16u == 0xa9feu;
}

bool is_private(const in6_addr& address) { return (address.s6_addr[0] & 0xfeu) == 0xfcu; }

}  // namespace

std::vector<std::string> lan_addresses() {
  std::set<std::string> found;
  ifaddrs* all = nullptr;
  if (::getifaddrs(&all) != 0) return {};
  for (const ifaddrs* one = all; one; one = one->ifa_next) {
    if (!one->ifa_addr || !(one->ifa_flags & IFF_UP) || (one->ifa_flags & IFF_LOOPBACK)) continue;
    char text[INET6_ADDRSTRLEN] = {};
    if (one->ifa_addr->sa_family == AF_INET) {
      const auto& at = reinterpret_cast<const sockaddr_in*>(one->ifa_addr)->sin_addr;
      if (is_private(at) && ::inet_ntop(AF_INET, &at, text, sizeof text)) found.insert(text);
    } else if (one->ifa_addr->sa_family == AF_INET6) {
      const auto& at = reinterpret_cast<const sockaddr_in6*>(one->ifa_addr)->sin6_addr;
      if (is_private(at) && ::inet_ntop(AF_INET6, &at, text, sizeof text)) found.insert(text);
    }
  }
  ::freeifaddrs(all);
  return {found.begin(), found.end()};
}

std::string host_name() {
  char name[256] = {};
  if (::gethostname(name, sizeof name - 1) != 0) return "localhost";
  std::string out = lower_case(name);
  out = out.substr(0, out.find('.'));
  return is_host_name(out) ? out : "localhost";
}

bool is_host_name(const std::string& name) {
  return !name.empty() && name.size() < 254 && name.front() != '.' && name.front() != '-' &&
         std::all_of(
             name.begin(), name.end(),
             [](char c) {
               return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '.';
             });
}

}  // namespace perrev
