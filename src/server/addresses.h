// How this machine is called and reached on the local network.
#pragma once

#include <string>
#include <vector>

namespace perrev {

// Of private networks only (RFC 1918, 3927, 4193, 4291): what a shop's own network uses, and what
// its certificate authority may vouch for. IPv6 without brackets, sorted.
std::vector<std::string> lan_addresses();

// Lower case, without a domain; "localhost" where it has none that could stand in an address.
std::string host_name();

// Letters, digits, dashes and dots.
bool is_host_name(const std::string& name);

}  // namespace perrev
