#include "src/server/certificates.h"

#include <doctest/doctest.h>
#include <openssl/bio.h>
#include <openssl/pem.h>
#include <openssl/x509_vfy.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>

#include <memory>

#include "tests/src/run_perrev.h"

using namespace perrev;
using perrev::test::Folder;

namespace {

struct Free {
  void operator()(X509* one) const { X509_free(one); }
};
using Cert = std::unique_ptr<X509, Free>;

Cert cert(const std::string& pem) {
  BIO* bio = BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size()));
  Cert out(PEM_read_bio_X509(bio, nullptr, nullptr, nullptr));
  BIO_free(bio);
  return out;
}

// RFC 5280, 6, for a server: signatures, times, constraints, usages.
int verified(const Certificates& of) {
  const Cert authority = cert(of.authority_pem), server = cert(of.chain_pem);
  X509_STORE* store = X509_STORE_new();
  X509_STORE_add_cert(store, authority.get());
  X509_STORE_CTX* context = X509_STORE_CTX_new();
  X509_STORE_CTX_init(context, store, server.get(), nullptr);
  X509_STORE_CTX_set_purpose(context, X509_PURPOSE_SSL_SERVER);
  X509_verify_cert(context);
  const int error = X509_STORE_CTX_get_error(context);
  X509_STORE_CTX_free(context);
  X509_STORE_free(store);
  return error;
}

long days(const X509* of) {
  int whole = 0, seconds = 0;
  ASN1_TIME_diff(&whole, &seconds, X509_get0_notBefore(of), X509_get0_notAfter(of));
  return whole;
}

const std::vector<std::string> kNames = {"shop", "shop.local", "localhost"};
const std::vector<std::string> kAddresses = {"192.168.1.20", "fd00::20", "127.0.0.1", "::1"};

}  // namespace

TEST_CASE("the authority vouches for every name and address of the server") {
  const Folder folder;
  const auto made = own_certificates(folder.path("lan"), kNames, kAddresses);
  REQUIRE(made.ok());
  CHECK(verified(*made) == X509_V_OK);
  const Cert server = cert(made->chain_pem), authority = cert(made->authority_pem);
  for (const std::string& name : kNames)
    CHECK(X509_check_host(server.get(), name.c_str(), 0, 0, nullptr) == 1);
  for (const std::string& address : kAddresses)
    CHECK(X509_check_ip_asc(server.get(), address.c_str(), 0) == 1);
  CHECK(X509_check_host(server.get(), "example.org", 0, 0, nullptr) == 0);
  CHECK(days(server.get()) <= 825);  // what devices accept of a server: from memory
  CHECK(days(authority.get()) >= 3650);
  CHECK(made->fingerprint.size() == 32 * 3 - 1);
  for (const char* file : {"lan/authority.pem", "lan/server.pem"}) {
    struct stat info{};
    REQUIRE(::stat(folder.path(file).c_str(), &info) == 0);
    CHECK((info.st_mode & 0777u) == 0600u);
  }
}

TEST_CASE("it vouches for nothing outside a shop's own network") {
  const Folder folder;
  for (const char* address : {"8.8.8.8", "2001:db8::1"}) {
    const Folder other;
    const auto made = own_certificates(other.path("lan"), kNames, {address});
    REQUIRE(made.ok());
    CHECK(verified(*made) == X509_V_ERR_PERMITTED_VIOLATION);
  }
}

TEST_CASE("the authority stays; the server's certificate is made anew with new addresses") {
  const Folder folder;
  const auto first = own_certificates(folder.path("lan"), kNames, kAddresses);
  const auto again = own_certificates(folder.path("lan"), kNames, kAddresses);
  const auto moved = own_certificates(folder.path("lan"), kNames, {"192.168.1.21"});
  REQUIRE((first.ok() && again.ok() && moved.ok()));
  CHECK(again->chain_pem == first->chain_pem);
  CHECK(again->key_pem == first->key_pem);
  CHECK(moved->authority_pem == first->authority_pem);
  CHECK(moved->chain_pem != first->chain_pem);
  CHECK(verified(*moved) == X509_V_OK);
}

TEST_CASE("what others could have read or changed is not trusted any more") {
  const Folder folder;
  const auto first = own_certificates(folder.path("lan"), kNames, kAddresses);
  REQUIRE(first.ok());
  REQUIRE(::chmod(folder.path("lan/authority.pem").c_str(), 0644) == 0);
  const auto after = own_certificates(folder.path("lan"), kNames, kAddresses);
  REQUIRE(after.ok());
  CHECK(after->authority_pem != first->authority_pem);
  CHECK(verified(*after) == X509_V_OK);
  folder.write("lan/server.pem", "nonsense");
  const auto mended = own_certificates(folder.path("lan"), kNames, kAddresses);
  REQUIRE(mended.ok());
  CHECK(verified(*mended) == X509_V_OK);
}
