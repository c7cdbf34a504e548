#include "src/server/trust_page.h"

namespace perrev {

Response trust_page(const std::string& address, const std::string& fingerprint) {
  Response out;
  out.body =
      R"(<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>Trust this server</title>
<h1>Trust this server</h1>
<p>The computer in the shop that shows you this page made its own certificate. Once a device trusts it,
the warning is gone, and the page also works where there is no connection.</p>
<ol>
<li>Get the certificate: <a href="/ca.crt">perrev-ca.crt</a>.</li>
<li>Open it, and before you install it compare its SHA-256 fingerprint with the one that
<code>perrev serve</code> printed on the shop's computer. They must be the same, to the last digit. This page says
<br><code>)" +
      fingerprint + R"(</code><br>
but only what stands on the shop's own screen proves it.</li>
<li>Install it as a certificate authority. On tablets and phones this is in the settings, under security or
profiles, and on some a second switch there says that it is trusted fully; browsers on a computer have it under
certificates, authorities.</li>
<li>Close this page and open <a href="/">)" +
      address + R"(</a>.</li>
</ol>
<p>The certificate can vouch for this server's names and addresses and for nothing else. To take the trust back,
remove it in the same place.</p>
</html>
)";
  return out.with("Content-Type", "text/html; charset=utf-8").with("Cache-Control", "no-store");
}

}  // namespace perrev
