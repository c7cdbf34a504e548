// Content that goes as gzip: RFC 1952, read back by zlib's own reader.
#include "src/server/coding.h"

#include <doctest/doctest.h>
#include <zlib.h>

#include <string>

using namespace perrev;

namespace {

std::string read_back(const std::string& bytes) {
  z_stream stream{};
  REQUIRE(inflateInit2(&stream, 15 + 16) == Z_OK);
  std::string out(1 << 20, '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  CHECK(inflate(&stream, Z_FINISH) == Z_STREAM_END);
  CHECK(stream.avail_in == 0);
  out.resize(stream.total_out);
  inflateEnd(&stream);
  return out;
}

std::string header(const Response& response, const std::string& name) {
  std::string out;
  for (const auto& [key, value] : response.headers)
    if (key == name) out += value;
  return out;
}

}  // namespace

TEST_CASE("what was made shorter is the same when it is read back") {
  std::string text;
  for (int i = 0; i < 3000; ++i) {
    if (i % 100 == 0) CHECK(read_back(gzipped(text)) == text);
    text += static_cast<char>((i * i * 7 + i) % 251);
  }
}

TEST_CASE("only long JSON is coded, and only for those who take it") {
  const std::string longer = "[\"" + std::string(10000, 'x') + "\"]";
  Request takes, takes_not;
  takes.headers = {{"Accept-Encoding", "br, gzip"}};
  takes_not.headers = {{"Accept-Encoding", "gzip;q=0"}};
  const Response packed = coded(json_response(200, longer), takes);
  CHECK(header(packed, "Content-Encoding") == "gzip");
  CHECK(header(packed, "Vary") == "Accept-Encoding");
  CHECK(packed.body.size() < longer.size() / 10);
  CHECK(read_back(packed.body) == longer);
  const Response plain = coded(json_response(200, longer), takes_not);
  CHECK(header(plain, "Content-Encoding").empty());
  CHECK(header(plain, "Vary") == "Accept-Encoding");
  CHECK(plain.body == longer);
  CHECK(coded(json_response(200, "{}"), takes).body == "{}");
  Response photo;
  photo.body = longer;
  photo.with("Content-Type", "image/png");
  CHECK(coded(photo, takes).body == longer);
}
