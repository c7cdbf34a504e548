// The server's certificate on a local network, and the authority that vouches for it.
//
// A shop's server has no public name, so no public authority can vouch for it. It makes an
// authority of its own once (ECDSA P-256, ten years) and certificates for itself from it (825 days,
// the most that devices accept). The authority is limited to private addresses, `.local` and the
// names of this machine (RFC 5280, 4.2.1.10): whoever took its key could not vouch for anything
// else on a device that trusts it.
#pragma once

#include <string>
#include <vector>

#include "engine/result.h"

namespace perrev {

struct Certificates {
  std::string authority_pem;  // for devices to install; empty where the certificate was given
  std::string fingerprint;    // SHA-256 of the authority, else of the certificate: "AB:CD:..."
  std::string chain_pem;      // the server's certificate first
  std::string key_pem;
};

// From `folder`, which only its owner can read; made where missing, where names or addresses
// changed, where it ends within 30 days, and where it begins in time to come.
Result<Certificates, Problems> own_certificates(const std::string& folder,
                                                const std::vector<std::string>& names,
                                                const std::vector<std::string>& addresses);

// From files that somebody else made.
Result<Certificates, Problems> given_certificates(const std::string& certificate_file,
                                                  const std::string& key_file);

}  // namespace perrev
