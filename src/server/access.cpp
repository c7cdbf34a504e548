#include "src/server/access.h"

#include <algorithm>

#include "src/server/secret.h"
#include "src/store/digest.h"

namespace perrev {

namespace {

constexpr std::string_view kCookie = "__Host-perrev";
constexpr std::string_view kCookieRules = "; Path=/; Secure; HttpOnly; SameSite=Strict";
constexpr std::size_t kMostSessions = 1000;
constexpr auto kIdle = std::chrono::hours(16);  // longer than a working day

// Networks hand out whole /64s of IPv6: one guesser has all of it. From memory.
std::string guesser(const std::string& peer) {
  std::size_t at = 0;
  for (int groups = 0; groups < 4; ++groups) {
    at = peer.find(':', at);
    if (at == std::string::npos) return peer;
    ++at;
  }
  return peer.substr(0, at);
}

}  // namespace

std::string Access::session_of(const Request& request) const {
  for (const auto& [name, value] : request.headers) {
    if (!same_word(name, "Cookie")) continue;
    std::string_view left = value;
    while (!left.empty()) {
      const std::size_t end = std::min(left.find(';'), left.size());
      std::string_view item = left.substr(0, end);
      left.remove_prefix(std::min(end + 1, left.size()));
      while (!item.empty() && item[0] == ' ') item.remove_prefix(1);
      if (item.size() <= kCookie.size() || item.substr(0, kCookie.size()) != kCookie ||
          item[kCookie.size()] != '=')
        continue;
      const std::string digest = sha256_hex(item.substr(kCookie.size() + 1));
      if (sessions_.count(digest) > 0) return digest;
    }
  }
  return {};
}

std::optional<Response> Access::refuse(const Request& request, bool open_to_all,
                                       Clock::time_point now) {
  if (!lan()) return std::nullopt;
  if (!request.is_safe() && !changes_.take(request.peer, now))
    return refused(429, "too much at once", "a moment later").with("Retry-After", "1");
  if (open_to_all) return std::nullopt;
  const std::string session = session_of(request);
  const auto found = sessions_.find(session);
  if (found == sessions_.end() || now - found->second > kIdle)
    return refused(401, "this device has not been let in yet",
                   "the key that `perrev serve` printed, or its code")
        .with("WWW-Authenticate", "Perrev-Key");
  found->second = now;
  return std::nullopt;
}

Response Access::enter(const Request& request, const std::string& typed_key,
                       Clock::time_point now) {
  if (!lan()) return json_response(200, "{}");
  const std::string who = guesser(request.peer);
  if (const int seconds = guesses_.wait(who, now))
    return refused(429, "too many wrong keys", "a try in " + std::to_string(seconds) + " s")
        .with("Retry-After", std::to_string(seconds));
  if (!same_secret(out_of_groups(typed_key), key_)) {
    guesses_.failed(who, now);
    return refused(401, "this is not the key", "the one that perrev serve printed last")
        .with("WWW-Authenticate", "Perrev-Key");
  }
  guesses_.succeeded(who);
  if (sessions_.size() >= kMostSessions)
    sessions_.erase(
        std::min_element(sessions_.begin(), sessions_.end(),
                         [](const auto& a, const auto& b) { return a.second < b.second; }));
  const std::string word = random_word(16);
  if (word.empty()) return refused(503, "no random numbers", "a try later");
  sessions_[sha256_hex(word)] = now;
  return json_response(200, "{}").with(
      "Set-Cookie", std::string(kCookie) + "=" + word + std::string(kCookieRules));
}

Response Access::leave(const Request& request) {
  if (const std::string session = session_of(request); !session.empty()) sessions_.erase(session);
  return json_response(200, "{}").with(
      "Set-Cookie", std::string(kCookie) + "=; Max-Age=0" + std::string(kCookieRules));
}

}  // namespace perrev
