#include "src/server/announce.h"

#include <spawn.h>
#include <unistd.h>

#include "src/server/qr.h"

namespace perrev {

std::string announcement(const Announced& what, bool is_terminal) {
  std::string out = "perrev serves " + what.address + "\n";
  for (const std::string& other : what.others) out += "           or " + other + "\n";
  if (!what.key.empty()) {
    out += "Key: " + what.key + "\n";
    // The fragment of an address is never sent (RFC 9110, 4.2.5), so no log has the key.
    if (is_terminal) out += qr_code(what.address + "#key=" + what.key);
    out += what.own_authority
               ? "A device trusts this server once it has its certificate: " + what.address +
                     "trust\nFingerprint of the authority (SHA-256):\n  "
               : "Fingerprint of the certificate (SHA-256):\n  ";
    out += what.fingerprint + "\n";
  }
  return out + "Ctrl-C ends it.\n";
}

void open_page(const std::string& address) {
  std::string program = "xdg-open", url = address;
  char* const arguments[] = {program.data(), url.data(), nullptr};
  pid_t child = 0;
  (void)::posix_spawnp(&child, program.c_str(), nullptr, nullptr, arguments, environ);
}

}  // namespace perrev
