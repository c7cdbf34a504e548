// What is printed when the server starts: where it is, and how a device comes in.
#pragma once

#include <string>
#include <vector>

namespace perrev {

struct Announced {
  std::string address;              // the first to try
  std::vector<std::string> others;  // further addresses
  std::string key;                  // in groups; empty: nobody is asked for one
  std::string fingerprint;
  bool own_authority = false;
};

std::string announcement(const Announced& what, bool is_terminal);

// Shows the address in the user's browser, if there is any.
void open_page(const std::string& address);

}  // namespace perrev
