// Streams of server-sent events (WHATWG HTML, 9.2): what is committed reaches every reader.
//
// The hub follows the store: it reads what was added since its last look, at most every 20 ms, and
// hands it to the streams of that case and to those of all cases. It looks when the writer has
// committed and, for what other processes add, when it is told to at intervals. A new stream first
// gets what its reader has missed, page by page as fast as the reader takes it. Every addition is
// sent once, in the order of seq.
//
// All of it on the thread of the sockets; the store is read on a thread of the hub's own.
#pragma once

#include <chrono>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "src/server/response.h"
#include "src/server/workers.h"
#include "src/store/store.h"

namespace perrev {

using Chunk = std::shared_ptr<const std::string>;

// One reader's connection.
class EventSink {
 public:
  virtual ~EventSink() = default;
  virtual void send(Chunk chunk) = 0;
  virtual std::size_t waiting() const = 0;  // bytes not yet taken by the network
  virtual void end() = 0;
};

std::string event_of_case(const Addition& addition);
std::string event_of_all(const Addition& addition);

class EventHub {
 public:
  static constexpr std::size_t kMostStreams = 1000;
  static constexpr std::size_t kMostWaiting = 1u << 20;  // bytes; a slower reader is dropped

  // `on_sockets` runs something later on the thread of the sockets.
  EventHub(const Store& store, std::function<void(std::function<void()>)> on_sockets);

  bool has_room() const { return streams_.size() < kMostStreams; }
  void join(std::shared_ptr<EventSink> sink, const EventsWish& wish);
  void leave(const EventSink* sink);
  void drained(const EventSink* sink);  // it has nothing waiting any more
  void look();                          // there may be something new
  // Something of all readers' concern that has no seq: now, and first to whoever comes later.
  void tell_all(std::string event);
  void beat();  // a comment to everybody, so that nobody takes them for dead
  void end_all();

 private:
  struct Stream {
    std::shared_ptr<EventSink> sink;
    std::string case_id;
    std::int64_t position = 0;  // the last seq sent, or known not to concern it
    bool catching_up = false;
    bool reading = false;
  };
  using Additions = std::vector<Addition>;

  void send_all(const Chunk& chunk);
  void read_on(const EventSink* sink);
  void caught(const EventSink* sink, const Additions& page, std::int64_t seen_before);
  void deliver(const Additions& news);
  void drop_slow();

  const Store& store_;
  std::function<void(std::function<void()>)> on_sockets_;
  std::int64_t seen_ = 0;
  bool looking_ = false, look_again_ = false;
  std::map<const EventSink*, Stream> streams_;
  std::string told_;                                 // to all, last
  std::chrono::steady_clock::time_point last_look_;  // of the reader's thread alone
  Workers reader_{1};                                // last: ends before what it uses
};

}  // namespace perrev
