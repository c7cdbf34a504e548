#include "src/server/coding.h"

#include <zlib.h>

#include <algorithm>

namespace perrev {

namespace {

constexpr std::size_t kWorthCoding = 4096;  // bytes; less fits a few packets anyway

}  // namespace

bool lists(std::string_view header, std::string_view word) {
  while (!header.empty()) {
    const std::size_t end = std::min(header.find(','), header.size());
    std::string_view item = header.substr(0, end);
    header.remove_prefix(std::min(end + 1, header.size()));
    const std::string_view rest = item.substr(std::min(item.find(';'), item.size()));
    item = item.substr(0, item.size() - rest.size());
    while (!item.empty() && item.front() == ' ') item.remove_prefix(1);
    while (!item.empty() && item.back() == ' ') item.remove_suffix(1);
    if (same_word(item, word))
      return rest.find("q=0") == std::string_view::npos ||
             rest.find("q=0.") != std::string_view::npos;
  }
  return false;
}

bool takes_gzip(const Request& request) { return lists(request.header("Accept-Encoding"), "gzip"); }

std::string gzipped(std::string_view bytes) {
  constexpr int kLevel = 3, kGzipWindow = 15 + 16, kMemory = 8;  // answers are made anew each time
  z_stream stream{};
  if (deflateInit2(&stream, kLevel, Z_DEFLATED, kGzipWindow, kMemory, Z_DEFAULT_STRATEGY) != Z_OK)
    return {};
  std::string out(deflateBound(&stream, static_cast<uLong>(bytes.size())), '\0');
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  stream.next_out = reinterpret_cast<Bytef*>(out.data());
  stream.avail_out = static_cast<uInt>(out.size());
  const bool whole = deflate(&stream, Z_FINISH) == Z_STREAM_END;
  out.resize(whole ? stream.total_out : 0);
  deflateEnd(&stream);
  return out;
}

Response coded(Response response, const Request& request) {
  const auto is_json = [](const auto& header) {
    return header.first == "Content-Type" && header.second == "application/json";
  };
  if (response.body.size() < kWorthCoding ||
      std::none_of(response.headers.begin(), response.headers.end(), is_json))
    return response;
  response.with("Vary", "Accept-Encoding");
  if (!takes_gzip(request)) return response;
  std::string shorter = gzipped(response.body);
  if (shorter.empty()) return response;
  response.body = std::move(shorter);
  response.with("Content-Encoding", "gzip");
  return response;
}

}  // namespace perrev
