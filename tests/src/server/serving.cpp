#include "tests/src/server/serving.h"

#include <arpa/inet.h>
#include <netinet/in.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>

namespace perrev::test {

namespace {

constexpr int kPatience = 20000;  // milliseconds; a loaded machine is slow, a wrong answer never is

using Clock = std::chrono::steady_clock;

int left_until(Clock::time_point end) {
  const auto left = std::chrono::duration_cast<std::chrono::milliseconds>(end - Clock::now());
  return left.count() > 0 ? static_cast<int>(left.count()) : 0;
}

std::string lowered(std::string text) {
  for (char& c : text) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return text;
}

std::vector<std::string> serve_arguments(const std::string& store,
                                         const std::vector<std::string>& more) {
  std::vector<std::string> out = {"serve", "--store", store, "--port", "0"};
  out.insert(out.end(), more.begin(), more.end());
  return out;
}

}  // namespace

Serving::Serving(const std::string& store, const std::vector<std::string>& more,
                 const std::vector<std::string>& before, const std::string& log)
    : running_(serve_arguments(store, more), before, log),
      announced_(running_.until("ends it", kPatience)) {
  const std::size_t scheme = announced_.find("://");
  const std::size_t colon = scheme == std::string::npos ? scheme : announced_.find(':', scheme + 3);
  if (colon != std::string::npos)
    port_ = static_cast<std::uint16_t>(std::strtoul(announced_.c_str() + colon + 1, nullptr, 10));
}

Client::Client(std::uint16_t port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
  sockaddr_in to{};
  to.sin_family = AF_INET;
  to.sin_port = htons(port);
  to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  if (::connect(socket_, reinterpret_cast<const sockaddr*>(&to), sizeof to) != 0) {
    ::close(socket_);
    socket_ = -1;
  }
}

Client::~Client() { ::close(socket_); }

void Client::send(const std::string& bytes) {
  for (std::size_t at = 0; at < bytes.size();) {
    const ssize_t put = ::send(socket_, bytes.data() + at, bytes.size() - at, MSG_NOSIGNAL);
    if (put <= 0) return;  // it was closed: the answer says why
    at += static_cast<std::size_t>(put);
  }
}

void Client::end_sending() { ::shutdown(socket_, SHUT_WR); }

bool Client::more(int milliseconds) {
  pollfd wait{socket_, POLLIN, 0};
  if (::poll(&wait, 1, milliseconds) <= 0) return false;
  char buffer[16384];
  const ssize_t got = ::recv(socket_, buffer, sizeof buffer, 0);
  if (got <= 0) return false;
  got_.append(buffer, static_cast<std::size_t>(got));
  return true;
}

Answer Client::answer(bool to_head) {
  Answer out;
  const auto end = Clock::now() + std::chrono::milliseconds(kPatience);
  std::size_t head = std::string::npos;
  while ((head = got_.find("\r\n\r\n")) == std::string::npos)
    if (!more(left_until(end))) return out;
  out.status = std::atoi(got_.c_str() + 9);
  for (std::size_t at = got_.find("\r\n") + 2; at < head;) {
    const std::size_t line = got_.find("\r\n", at);
    const std::size_t colon = got_.find(": ", at);
    out.headers[lowered(got_.substr(at, colon - at))] = got_.substr(colon + 2, line - colon - 2);
    at = line + 2;
  }
  got_.erase(0, head + 4);
  if (out.status == 100) return answer(to_head);
  const auto length = out.headers.find("content-length");
  const std::size_t size = to_head || length == out.headers.end()
                               ? 0
                               : std::strtoul(length->second.c_str(), nullptr, 10);
  while (got_.size() < size && more(left_until(end))) {
  }
  out.body = got_.substr(0, size);
  got_.erase(0, size);
  return out;
}

std::string Client::until(const std::string& text, int milliseconds) {
  const auto end = Clock::now() + std::chrono::milliseconds(milliseconds);
  while (got_.find(text) == std::string::npos && left_until(end) > 0)
    if (!more(left_until(end))) break;
  return got_;
}

bool Client::is_closed(int milliseconds) {
  const auto end = Clock::now() + std::chrono::milliseconds(milliseconds);
  while (left_until(end) > 0) {
    pollfd wait{socket_, POLLIN, 0};
    if (::poll(&wait, 1, left_until(end)) > 0 && !more(0)) return true;
  }
  return false;
}

std::string request(const Serving& server, const std::string& method, const std::string& path,
                    const std::string& json, const std::string& headers) {
  std::string out = method + " " + path + " HTTP/1.1\r\nHost: " + server.host() + "\r\n" + headers;
  if (!json.empty())
    out +=
        "Content-Type: application/json\r\nContent-Length: " + std::to_string(json.size()) + "\r\n";
  return out + "\r\n" + json;
}

Answer ask(const Serving& server, const std::string& method, const std::string& path,
           const std::string& json, const std::string& headers) {
  Client client(server.port());
  client.send(request(server, method, path, json, headers));
  return client.answer(method == "HEAD");
}

}  // namespace perrev::test
