#include "src/server/certificates.h"

#include <openssl/bio.h>
#include <openssl/ec.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>

#include <memory>
#include <optional>

#include "src/files.h"
#include "src/server/private_files.h"
#include "src/server/secret.h"

namespace perrev {

namespace {

template <auto free_it>
struct Freed {
  template <class T>
  void operator()(T* one) const {
    free_it(one);
  }
};
using Key = std::unique_ptr<EVP_PKEY, Freed<EVP_PKEY_free>>;
using Cert = std::unique_ptr<X509, Freed<X509_free>>;
using Bio = std::unique_ptr<BIO, Freed<BIO_free_all>>;

constexpr long kDay = 24L * 60 * 60;
constexpr int kAuthorityDays = 3652, kServerDays = 825, kRenewedBefore = 30;

struct Pair {
  Cert certificate;
  Key key;
};

std::string held(const Bio& bio) {
  char* data = nullptr;
  const long size = BIO_get_mem_data(bio.get(), &data);
  return size > 0 ? std::string(data, static_cast<std::size_t>(size)) : std::string();
}

std::string pem_of(X509* certificate) {
  const Bio bio(BIO_new(BIO_s_mem()));
  return PEM_write_bio_X509(bio.get(), certificate) == 1 ? held(bio) : std::string();
}

std::string pem_of(EVP_PKEY* key) {
  const Bio bio(BIO_new(BIO_s_mem()));
  return PEM_write_bio_PrivateKey(bio.get(), key, nullptr, nullptr, 0, nullptr, nullptr) == 1
             ? held(bio)
             : std::string();
}

Bio reading(const std::string& text) {
  return Bio(BIO_new_mem_buf(text.data(), static_cast<int>(text.size())));
}

// No key of ours has a passphrase, and nobody is asked for one.
int no_passphrase(char*, int, int, void*) { return 0; }

std::optional<Pair> pair_from(const std::string& text) {
  Pair out{Cert(PEM_read_bio_X509(reading(text).get(), nullptr, no_passphrase, nullptr)),
           Key(PEM_read_bio_PrivateKey(reading(text).get(), nullptr, no_passphrase, nullptr))};
  if (!out.certificate || !out.key ||
      X509_check_private_key(out.certificate.get(), out.key.get()) != 1)
    return std::nullopt;
  return out;
}

std::string fingerprint_of(X509* certificate) {
  unsigned char digest[EVP_MAX_MD_SIZE];
  unsigned size = 0;
  if (X509_digest(certificate, EVP_sha256(), digest, &size) != 1) return {};
  std::string out;
  for (unsigned i = 0; i < size; ++i) {
    if (i > 0) out += ':';
    out += "0123456789ABCDEF"[digest[i] >> 4u];
    out += "0123456789ABCDEF"[digest[i] & 15u];
  }
  return out;
}

bool add_extension(X509* to, X509* issuer, int nid, const std::string& value) {
  X509V3_CTX context;
  X509V3_set_ctx_nodb(&context);
  X509V3_set_ctx(&context, issuer, to, nullptr, nullptr, 0);
  const std::unique_ptr<X509_EXTENSION, Freed<X509_EXTENSION_free>> extension(
      X509V3_EXT_conf_nid(nullptr, &context, nid, value.c_str()));
  return extension && X509_add_ext(to, extension.get(), -1) == 1;
}

// A certificate that is not yet signed. An hour back: clocks of tablets are not always right.
Pair blank(const std::string& name, int days) {
  Pair out{Cert(X509_new()), Key(EVP_EC_gen("P-256"))};
  X509* certificate = out.certificate.get();
  unsigned char serial[16];
  if (!certificate || !out.key || RAND_bytes(serial, sizeof serial) != 1) return {};
  serial[0] &= 0x7fu;  // positive
  const std::unique_ptr<BIGNUM, Freed<BN_free>> number(BN_bin2bn(serial, sizeof serial, nullptr));
  BN_to_ASN1_INTEGER(number.get(), X509_get_serialNumber(certificate));
  X509_set_version(certificate, X509_VERSION_3);
  X509_gmtime_adj(X509_getm_notBefore(certificate), -3600);
  X509_gmtime_adj(X509_getm_notAfter(certificate), days * kDay);
  X509_set_pubkey(certificate, out.key.get());
  X509_NAME_add_entry_by_txt(X509_get_subject_name(certificate), "CN", MBSTRING_UTF8,
                             reinterpret_cast<const unsigned char*>(name.c_str()), -1, -1, 0);
  return out;
}

std::optional<Pair> make_authority(const std::vector<std::string>& names) {
  Pair out = blank("perrev shop authority " + random_word(4), kAuthorityDays);
  X509* certificate = out.certificate.get();
  if (!certificate) return std::nullopt;
  std::string limits =
      "critical,permitted;IP:10.0.0.0/255.0.0.0,permitted;IP:172.16.0.0/255.240.0.0,"
      "permitted;IP:192.168.0.0/255.255.0.0,permitted;IP:169.254.0.0/255.255.0.0,"
      "permitted;IP:127.0.0.0/255.0.0.0,permitted;IP:fc00::/fe00::,"
      "permitted;IP:::1/ffff:ffff:ffff:ffff:ffff:ffff:ffff:ffff,permitted;DNS:local";
  for (const std::string& name : names) limits += ",permitted;DNS:" + name;
  X509_set_issuer_name(certificate, X509_get_subject_name(certificate));
  const bool made =
      add_extension(certificate, certificate, NID_basic_constraints,
                    "critical,CA:TRUE,pathlen:0") &&
      add_extension(certificate, certificate, NID_key_usage, "critical,keyCertSign,cRLSign") &&
      add_extension(certificate, certificate, NID_subject_key_identifier, "hash") &&
      add_extension(certificate, certificate, NID_name_constraints, limits) &&
      X509_sign(certificate, out.key.get(), EVP_sha256()) > 0;
  if (!made) return std::nullopt;
  return out;
}

std::string alternatives(const std::vector<std::string>& names,
                         const std::vector<std::string>& addresses) {
  std::string out;
  for (const std::string& name : names) out += (out.empty() ? "DNS:" : ",DNS:") + name;
  for (const std::string& address : addresses) out += ",IP:" + address;
  return out;
}

std::optional<Pair> make_server(const Pair& authority, const std::string& name,
                                const std::string& known_as) {
  Pair out = blank(name, kServerDays);
  X509* certificate = out.certificate.get();
  X509* issuer = authority.certificate.get();
  if (!certificate) return std::nullopt;
  X509_set_issuer_name(certificate, X509_get_subject_name(issuer));
  const bool made =
      add_extension(certificate, issuer, NID_basic_constraints, "critical,CA:FALSE") &&
      add_extension(certificate, issuer, NID_key_usage, "critical,digitalSignature") &&
      add_extension(certificate, issuer, NID_ext_key_usage, "serverAuth") &&
      add_extension(certificate, issuer, NID_subject_key_identifier, "hash") &&
      add_extension(certificate, issuer, NID_authority_key_identifier, "keyid") &&
      add_extension(certificate, issuer, NID_subject_alt_name, known_as) &&
      X509_sign(certificate, authority.key.get(), EVP_sha256()) > 0;
  if (!made) return std::nullopt;
  return out;
}

constexpr std::size_t kLargestPem = 1u << 20;

// Neither of a time to come, as when the clock was ahead, nor about to end.
bool holds(X509* certificate) {
  time_t now = time(nullptr), then = now + kRenewedBefore * kDay;
  return X509_cmp_time(X509_get0_notBefore(certificate), &now) < 0 &&
         X509_cmp_time(X509_get0_notAfter(certificate), &then) > 0;
}

Problems not_made(const std::string& where) {
  return {problem("the certificate cannot be made in " + where,
                  "a folder that can be written, or --cert and --key-file")};
}

}  // namespace

Result<Certificates, Problems> own_certificates(const std::string& folder,
                                                const std::vector<std::string>& names,
                                                const std::vector<std::string>& addresses) {
  // In each file: what it was made for, the certificate, its key.
  const std::string authority_file = folder + "/authority.pem",
                    server_file = folder + "/server.pem";
  std::string for_names;
  for (const std::string& name : names) for_names += name + "\n";
  std::optional<Pair> authority;
  if (const auto kept = read_private(authority_file);
      kept && kept->compare(0, for_names.size(), for_names) == 0)
    authority = pair_from(*kept);
  if (!authority || !holds(authority->certificate.get())) {
    authority = make_authority(names);
    if (!authority ||
        !write_private(authority_file, for_names + pem_of(authority->certificate.get()) +
                                           pem_of(authority->key.get())))
      return not_made(folder);
  }
  Certificates out;
  out.authority_pem = pem_of(authority->certificate.get());
  out.fingerprint = fingerprint_of(authority->certificate.get());
  const std::string known_as = alternatives(names, addresses);
  const std::string made_for = known_as + "\n" + out.fingerprint + "\n";
  std::optional<Pair> server;
  if (const auto kept = read_private(server_file);
      kept && kept->compare(0, made_for.size(), made_for) == 0)
    server = pair_from(*kept);
  if (!server || !holds(server->certificate.get())) {
    server = make_server(*authority, names.front(), known_as);
    if (!server || !write_private(server_file, made_for + pem_of(server->certificate.get()) +
                                                   pem_of(server->key.get())))
      return not_made(folder);
  }
  out.chain_pem = pem_of(server->certificate.get());
  out.key_pem = pem_of(server->key.get());
  return out;
}

Result<Certificates, Problems> given_certificates(const std::string& certificate_file,
                                                  const std::string& key_file) {
  const auto chain = read_file(certificate_file, kLargestPem),
             key = read_file(key_file, kLargestPem);
  const auto pair = chain && key ? pair_from(*chain + *key) : std::nullopt;
  if (!pair)
    return Problems{problem("--cert and --key-file are no certificate with its key",
                            "two PEM files that can be read, the key without a passphrase")};
  return Certificates{{}, fingerprint_of(pair->certificate.get()), *chain, *key};
}

}  // namespace perrev
