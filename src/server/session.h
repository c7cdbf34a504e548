// One connection: requests in, responses or a stream of events out. Internal to plain_session.cpp
// and tls_session.cpp, which are this for a bare socket and for TLS.
//
// wait -> read_head -> (admit) -> read_content -> (answer) -> respond -> wait ...
//                                                                    \-> a stream, to the end
#pragma once

#include <boost/asio/buffer.hpp>
#include <boost/asio/post.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/parser.hpp>
#include <boost/beast/http/read.hpp>
#include <boost/beast/http/string_body.hpp>
#include <chrono>
#include <deque>
#include <limits>
#include <memory>
#include <optional>
#include <vector>

#include "src/server/door.h"
#include "src/server/session_words.h"

namespace perrev {

template <class Stream>
class Session final : public EventSink,
                      public Connection,
                      public std::enable_shared_from_this<Session<Stream>> {
  using Error = boost::beast::error_code;
  using Parser = boost::beast::http::request_parser<boost::beast::http::string_body>;

 public:
  template <class... More>
  Session(Door& door, std::string peer, boost::asio::ip::tcp::socket socket, More&... more)
      : door_(door), peer_(std::move(peer)), stream_(std::move(socket), more...) {
    door_.connections.insert(this);
    ++door_.peers[peer_];
  }

  ~Session() override {
    door_.connections.erase(this);
    const auto found = door_.peers.find(peer_);
    if (--found->second == 0) door_.peers.erase(found);
  }

  void start();  // of each kind, in its file

  void wait() {
    phase_ = Phase::idle;
    since_ = std::chrono::steady_clock::now();
    response_ = {};  // a long one need not stay until the next
    if (door_.stopping) return close();
    if (buffer_.size() > 0) return read_head();
    lowest().expires_after(kIdle);
    stream_.async_read_some(buffer_.prepare(4096), [me = self()](Error error, std::size_t bytes) {
      if (error) return me->close();
      me->buffer_.commit(bytes);
      me->read_head();
    });
  }

  void stop() override {
    if (phase_ == Phase::idle || phase_ == Phase::streaming) close();
  }
  std::optional<std::chrono::steady_clock::time_point> waits_since() const override {
    const bool ours = phase_ == Phase::busy || phase_ == Phase::streaming;
    return ours || phase_ == Phase::closed ? std::nullopt : std::optional(since_);
  }
  void give_way() override { close(); }

  // EventSink
  void send(Chunk chunk) override {
    if (phase_ != Phase::streaming) return;
    waiting_ += chunk->size();
    chunks_.push_back(std::move(chunk));
    if (sending_ == 0) send_next();
  }
  std::size_t waiting() const override { return waiting_; }
  void end() override { close(); }

 private:
  enum class Phase { idle, content, busy, writing, streaming, closed };
  static constexpr auto kIdle = std::chrono::seconds(60);
  static constexpr auto kHead = std::chrono::seconds(10);
  static constexpr auto kContent = std::chrono::seconds(30);
  static constexpr auto kWriting = std::chrono::seconds(60);
  static constexpr auto kLingering = std::chrono::seconds(2);
  static constexpr std::uint32_t kLargestHead = 16u << 10;
  static constexpr std::size_t kMostRead = 64u << 10;  // at once
  static constexpr std::size_t kMostChunks = 16;       // in one write

  auto self() { return this->shared_from_this(); }
  boost::beast::tcp_stream& lowest() { return boost::beast::get_lowest_layer(stream_); }

  void read_head() {
    began_ = std::chrono::steady_clock::now();
    request_ = {};
    request_.peer = peer_;
    all_read_ = false;
    parser_.emplace();
    parser_->header_limit(kLargestHead);
    // Each route has a limit of its own. (To this parser every length is beyond boost::none.)
    parser_->body_limit(std::numeric_limits<std::uint64_t>::max());
    lowest().expires_after(kHead);
    boost::beast::http::async_read_header(
        stream_, buffer_, *parser_,
        [me = self()](Error error, std::size_t) { me->head_is_read(error); });
  }

  void head_is_read(Error error) {
    if (error) {
      const auto held = buffer_.data();
      auto response = bad_head(error, {static_cast<const char*>(held.data()), held.size()},
                               !parser_->get().target().empty());
      return response ? respond(std::move(*response)) : close();
    }
    phase_ = Phase::content;
    take_head(request_, parser_->get());
    keep_alive_ = parser_->keep_alive();
    admission_ = door_.service.admit(request_);
    all_read_ = parser_->is_done();
    if (admission_.response) return respond(std::move(*admission_.response));
    if (all_read_) return answer();
    if (!request_held_.take(parser_->content_length() ? *parser_->content_length()
                                                      : admission_.most_body))
      return respond(too_much_held());
    if (!same_word(request_.header("Expect"), "100-continue")) return read_content();
    lowest().expires_after(kWriting);
    boost::asio::async_write(
        stream_, boost::asio::buffer(kContinue.data(), kContinue.size()),
        [me = self()](Error failed, std::size_t) { failed ? me->close() : me->read_content(); });
  }

  void read_content() {
    parser_->body_limit(admission_.most_body);
    lowest().expires_after(kContent);
    boost::beast::http::async_read(
        stream_, buffer_, *parser_, [me = self()](Error error, std::size_t) {
          if (error) {
            auto response = bad_content(error);
            return response ? me->respond(std::move(*response)) : me->close();
          }
          me->all_read_ = true;
          me->answer();
        });
  }

  void answer() {
    phase_ = Phase::busy;
    lowest().expires_never();
    request_.body = std::move(parser_->get().body());
    method_ = request_.method;
    path_ = request_.path;
    // The connection must end on the thread of the sockets: whoever answers gives it back with the
    // answer, and keeps nothing of it.
    auto mine = std::make_shared<std::shared_ptr<Session>>(self());
    door_.service.answer(
        admission_, std::move(request_), [mine, &sockets = door_.sockets](Response response) {
          auto kept = std::make_shared<Response>(std::move(response));
          boost::asio::post(sockets, [me = std::move(*mine), kept = std::move(kept)] {
            me->respond(std::move(*kept));
          });
        });
  }

  void respond(Response response) {
    phase_ = Phase::writing;
    since_ = std::chrono::steady_clock::now();
    request_held_.give_back();
    if (!answer_held_.take(response.body.size())) response = too_much_held();
    if (method_.empty()) {
      method_ = request_.method;
      path_ = request_.path;
    }
    if (response.events.wanted && !door_.hub.has_room())
      response = refused(503, "too many streams are open", "a try later");
    response_ = std::move(response);
    const bool head_only = method_ == "HEAD";
    goes_on_ =
        keep_alive_ && all_read_ && !response_.close && !response_.events.wanted && !door_.stopping;
    head_ = head_text(response_, goes_on_);
    door_.log(
        log_line(method_, path_, response_.status, std::chrono::steady_clock::now() - began_));
    const std::string_view content = head_only ? std::string_view() : response_.content();
    const bool streams = response_.events.wanted && !head_only;
    lowest().expires_after(kWriting);
    // No array of two: of such a pair Asio leaves the first one empty once it is sent, which the
    // TLS stream of Beast 1.74 takes for the end. Other sequences lose it.
    const std::vector<boost::asio::const_buffer> parts = {
        boost::asio::buffer(head_), boost::asio::buffer(content.data(), content.size())};
    boost::asio::async_write(stream_, parts, [me = self(), streams](Error error, std::size_t) {
      me->responded(error, streams);
    });
  }

  void responded(Error error, bool streams) {
    method_.clear();
    path_.clear();
    answer_held_.give_back();
    if (error) return close();
    if (streams) return begin_stream();
    if (goes_on_) return wait();
    linger();
  }

  // Closing with content unread would make the system reset the connection, and the peer could
  // lose the response: its rest is read for a moment and thrown away.
  void linger() {
    phase_ = Phase::idle;
    Error ignored;
    lowest().socket().shutdown(boost::asio::ip::tcp::socket::shutdown_send, ignored);
    lowest().expires_after(kLingering);
    throw_away(1u << 20);
  }

  void throw_away(std::size_t left) {
    buffer_.clear();
    lowest().async_read_some(buffer_.prepare(kMostRead),
                             [me = self(), left](Error error, std::size_t bytes) {
                               if (error || bytes >= left) return me->close();
                               me->throw_away(left - bytes);
                             });
  }

  void begin_stream() {
    if (door_.stopping) return close();
    phase_ = Phase::streaming;
    lowest().expires_never();
    door_.hub.join(self(), response_.events);
    watch();
  }

  // A reader that goes is noticed by reading; one that sends something more is not one of ours.
  void watch() {
    buffer_.clear();
    stream_.async_read_some(buffer_.prepare(512),
                            [me = self()](Error, std::size_t) { me->close(); });
  }

  void send_next() {
    std::vector<boost::asio::const_buffer> parts;
    sending_ = std::min(chunks_.size(), kMostChunks);
    for (std::size_t i = 0; i < sending_; ++i) parts.emplace_back(boost::asio::buffer(*chunks_[i]));
    boost::asio::async_write(stream_, parts, [me = self()](Error error, std::size_t) {
      for (; me->sending_ > 0; --me->sending_) {
        me->waiting_ -= me->chunks_.front()->size();
        me->chunks_.pop_front();
      }
      if (error) return me->close();
      if (!me->chunks_.empty()) return me->send_next();
      me->door_.hub.drained(me.get());
    });
  }

  void close() {
    if (phase_ == Phase::closed) return;
    if (phase_ == Phase::streaming) door_.hub.leave(this);
    phase_ = Phase::closed;
    lowest().close();
  }

  static Response too_much_held() {
    return refused(503, "too much is sent and answered at once", "a try later")
        .with("Retry-After", "1");
  }

  Door& door_;
  Held request_held_{door_.requests}, answer_held_{door_.answers};
  const std::string peer_;
  Stream stream_;
  boost::beast::flat_buffer buffer_{kMostRead};
  std::optional<Parser> parser_;
  Phase phase_ = Phase::idle;
  std::chrono::steady_clock::time_point since_ = std::chrono::steady_clock::now();
  std::chrono::steady_clock::time_point began_;
  Request request_;
  std::string method_, path_;  // of the request that is being answered
  Admission admission_;
  bool keep_alive_ = false, all_read_ = false, goes_on_ = false;
  Response response_;
  std::string head_;
  std::deque<Chunk> chunks_;  // of a stream; the first `sending_` are on their way
  std::size_t sending_ = 0, waiting_ = 0;
};

// The peer's address when the connection may be had, else nothing.
inline std::optional<std::string> let_in(Door& door, boost::asio::ip::tcp::socket& socket) {
  boost::system::error_code error;
  const auto peer = socket.remote_endpoint(error);
  if (error) return std::nullopt;
  std::string address = peer.address().to_string();
  const auto found = door.peers.find(address);
  if (door.lan && found != door.peers.end() && found->second >= Door::kMostOfOnePeer)
    return std::nullopt;
  if (!door.has_room()) return std::nullopt;
  return address;
}

}  // namespace perrev
