// Photos: named by their content, limited, in exported files and back.
#include <doctest/doctest.h>

#include "engine/casefile/casefile.h"
#include "src/store/digest.h"
#include "src/store/photo_bytes.h"
#include "tests/src/store/shop.h"

using perrev::Refused;
using perrev::Store;
using namespace perrev::test;
using Kind = Refused::Kind;

namespace {

const std::string kJpeg = "\xff\xd8\xff\xe0";
const std::string kPng = "\x89PNG\r\n\x1a\n";
const std::string kWebp = "RIFFxxxxWEBP";

std::string sized(std::string bytes, std::size_t size, char fill) {
  bytes.resize(size, fill);
  return bytes;
}

}  // namespace

TEST_CASE("digest and base64 against published values") {
  // FIPS 180-4 examples, NIST "SHA_All.pdf".
  CHECK(perrev::sha256_hex("abc") ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(perrev::sha256_hex("") ==
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  struct Row {
    const char *bytes, *text;
  };
  for (const Row& row : {Row{"", ""}, Row{"f", "Zg=="}, Row{"fo", "Zm8="}, Row{"foo", "Zm9v"},
                         Row{"foob", "Zm9vYg=="}, Row{"fooba", "Zm9vYmE="},
                         Row{"foobar", "Zm9vYmFy"}}) {  // RFC 4648, section 10
    CHECK(perrev::base64(row.bytes) == row.text);
    CHECK(perrev::from_base64(row.text) == std::string(row.bytes));
  }
  for (const char* bad : {"Zg", "Zg=", "Zh==", "Zm9v\n",
                          "Zm9v====", "====", "Z===", "Zg==Zg==", " Zg=", "Zm-v", "Zm9vYg==Zg=="})
    CHECK(!perrev::from_base64(bad));
}

TEST_CASE("a photo is known by its first bytes and comes back by its digest") {
  struct Row {
    std::string bytes, type, is;  // is: empty, refused
  };
  const Row rows[] = {{kJpeg + "1", "", "image/jpeg"},
                      {kPng + "1", "image/png", "image/png"},
                      {kWebp + "1", "image/webp", "image/webp"},
                      {kPng + "2", "image/jpeg", ""},
                      {"GIF89a", "", ""},
                      {"<svg xmlns=\"http://www.w3.org/2000/svg\"/>", "image/svg+xml", ""},
                      {"", "", ""},
                      {"\xff\xd8", "image/jpeg", ""},
                      {"RIFFxxxxWAVE", "image/webp", ""}};
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  for (const Row& row : rows) {
    CAPTURE(row.bytes);
    const auto added = shop->add_photo("case-1", row.bytes, row.type);
    CHECK(added.ok() == !row.is.empty());
    if (!added) {
      CHECK(added.error().kind == Kind::not_image);
      continue;
    }
    CHECK(*added == perrev::sha256_hex(row.bytes));
    CHECK(shop->add_photo("case-1", row.bytes, row.type).value() == *added);
    const auto photo = shop->photo(*added);
    REQUIRE(photo.ok());
    CHECK(photo->bytes == row.bytes);
    CHECK(photo->type == row.is);
  }
  CHECK(shop->photo("00").error().kind == Kind::missing);
  CHECK(shop->add_photo("no-case", kJpeg, "").error().kind == Kind::missing);
}

TEST_CASE("the fullest case that is taken in fits a case file, and comes back from it") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", R"({"label":"full"})").ok());
  CHECK(shop->add_photo("case-1", sized(kJpeg, (2u << 20) + 1, 'x'), "").error().kind ==
        Kind::too_large);
  for (const char fill : {'a', 'b', 'c', 'd', 'e'})
    REQUIRE(shop->add_photo("case-1", sized(kJpeg, 2u << 20, fill), "").ok());
  CHECK(shop->add_photo("case-1", kJpeg, "").error().kind == Kind::too_large);
  // One that is there already needs no room.
  CHECK(shop->add_photo("case-1", sized(kJpeg, 2u << 20, 'a'), "").ok());
  CHECK(!shop->change([](perrev::Changes& changes) -> std::optional<Refused> {
    const std::string value(16000, 'x');
    for (int i = 0; changes.add_entries("case-1", {words_entry(std::to_string(i), value)}); ++i) {
    }
    return std::nullopt;
  }));
  REQUIRE(shop->set_head("case-1", "{\"x\":\"" + std::string(261000, 'x') + "\"}").ok());
  const std::string text = text_of(*shop, "case-1");
  MESSAGE("fullest case in bytes: " << text.size());
  CHECK(text.size() > (15u << 20));
  CHECK(text.size() <= (16u << 20));
  CHECK(faults(*shop) == "");
  CHECK(imported(*shop, text, "case-2") == "");
  CHECK(text_of(*shop, "case-2") == text);
  CHECK(shop->case_text("case-2").value().text.find("base64") == std::string::npos);
  CHECK(shop->case_text("case-2").value().text.size() < (3u << 20));
  REQUIRE(shop->add_case("case-3", "{}").ok());
  CHECK(!shop->change([](perrev::Changes& changes) -> std::optional<Refused> {
    for (int i = 0; i < 500; ++i) {
      const auto added = changes.add_photo("case-3", kPng + std::to_string(i), "");
      if (!added) return added.error();
    }
    return std::nullopt;
  }));
  CHECK(shop->add_photo("case-3", kPng, "").error().kind == Kind::too_large);
}

TEST_CASE(
    "an exported case with photos comes back the same; a photo that is not its digest's does not") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", R"({"label":"van"})").ok());
  REQUIRE(shop->add_photo("case-1", kPng + "z", "").ok());
  const std::string sha256 = shop->add_photo("case-1", kJpeg + "a", "").value();
  REQUIRE(shop->add_entries("case-1",
                            {entry_with("1", "\"retracts\":\"0\",\"photos\":[\"" + sha256 + "\"]")})
              .ok());
  const std::string text = text_of(*shop, "case-1");
  const auto read = perrev::CaseFile::parse("a.json", text);
  REQUIRE(read.ok());
  CHECK(read->text() == text);
  const Shop other;
  REQUIRE(imported(*other, text, "case-1") == "");
  CHECK(text_of(*other, "case-1") == text);
  CHECK(other->photo(sha256).value().bytes == kJpeg + "a");
  CHECK(faults(*other) == "");
  const auto refused_with = [&](const std::string& from, const std::string& to) {
    std::string changed = text;
    const std::size_t at = changed.find(from);
    REQUIRE(at != std::string::npos);
    changed.replace(at, from.size(), to);
    const Shop third;
    const std::string message = imported(*third, changed, "case-1");
    CHECK(third->last_seq().value() == 0);
    return message;
  };
  const std::string data = "\"" + perrev::base64(kPng + "z") + "\"";
  CHECK(refused_with(data, "\"" + perrev::base64(kPng + "y") + "\"")
            .find("a.json:/photos: error: the photo is not the one that its digest names") == 0);
  CHECK(refused_with(data, "\"?\"").find("not base64") != std::string::npos);
  CHECK(refused_with(data, "7").find("this is no photo") != std::string::npos);
  CHECK(refused_with("image/png", "image/jpeg").find("is image/png, not") != std::string::npos);
  CHECK(refused_with("\"type\"", "\"more\": 1, \"type\"").find("this is no photo") !=
        std::string::npos);
}
