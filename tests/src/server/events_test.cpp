#include "src/server/events.h"

#include <doctest/doctest.h>

#include <condition_variable>
#include <deque>
#include <mutex>

#include "tests/src/run_perrev.h"

using namespace perrev;
using perrev::test::Folder;

namespace {

// The thread of the sockets, as a queue that the test empties.
class Sockets {
 public:
  std::function<void(std::function<void()>)> poster() {
    return [this](std::function<void()> what) {
      const std::lock_guard lock(mutex_);
      waiting_.push_back(std::move(what));
      some_.notify_all();
    };
  }
  void run_for(std::chrono::milliseconds time) {
    run_until([] { return false; }, time);
  }
  // Runs what comes until `enough`; false after a long time without.
  bool run_until(const std::function<bool()>& enough,
                 std::chrono::milliseconds patience = std::chrono::seconds(20)) {
    const auto end = std::chrono::steady_clock::now() + patience;
    while (!enough()) {
      std::function<void()> what;
      {
        std::unique_lock lock(mutex_);
        if (!some_.wait_until(lock, end, [this] { return !waiting_.empty(); })) return false;
        what = std::move(waiting_.front());
        waiting_.pop_front();
      }
      what();
    }
    return true;
  }

 private:
  std::mutex mutex_;
  std::condition_variable some_;
  std::deque<std::function<void()>> waiting_;
};

class Reader : public EventSink {
 public:
  explicit Reader(EventHub& hub, bool slow = false) : hub_(hub), slow_(slow) {}
  void send(Chunk chunk) override {
    text += *chunk;
    waiting_ += chunk->size();
  }
  std::size_t waiting() const override { return slow_ ? waiting_ : 0; }
  void end() override {
    ended = true;
    hub_.leave(this);
  }
  // The ids in the order of their coming.
  std::vector<std::int64_t> ids() const {
    std::vector<std::int64_t> out;
    for (std::size_t at = 0; (at = text.find("id: ", at)) != std::string::npos; ++at)
      if (at == 0 || text[at - 1] == '\n') out.push_back(std::stoll(text.substr(at + 4)));
    return out;
  }
  bool take() {  // the network takes all; false when nothing waited
    const bool had = waiting_ > 0;
    waiting_ = 0;
    return had;
  }

  std::string text;
  bool ended = false;

 private:
  EventHub& hub_;
  bool slow_;
  std::size_t waiting_ = 0;
};

std::string entry(const std::string& id, const std::string& words = "x") {
  return R"({"id":")" + id +
         R"(","at":"2026-05-04T09:12:00Z","by":"write_up","fact":"complaint_words","value":")" +
         words + "\"}";
}

struct Shop {
  Shop() : store(std::move(Store::open(folder.path("shop.db"), Store::Mode::create)).value()) {
    store->add_case("case-one", R"({"label":"one"})");
    store->add_case("case-two", R"({"label":"two"})");
  }
  std::int64_t add(const std::string& case_id, const std::string& id,
                   const std::string& words = "x") {
    const auto added = store->add_entries(case_id, {entry(id, words)});
    return added ? added->last_seq : -1;
  }
  Folder folder;
  std::unique_ptr<Store> store;
  Sockets sockets;
};

std::vector<std::int64_t> seqs(const Store& store, const std::string& case_id, std::int64_t after) {
  std::vector<std::int64_t> out;
  const auto found = store.since(case_id, after, 100000);
  if (found)
    for (const Addition& one : *found) out.push_back(one.seq);
  return out;
}

}  // namespace

TEST_CASE("an event is one block of lines, whatever its data (WHATWG HTML, 9.2.6)") {
  const Addition of{7, "case-one", Addition::Kind::entry, "{\"a\":\n1}"};
  CHECK(event_of_case(of) == "id: 7\nevent: entry\ndata: {\"seq\":7,\"entry\":{\"a\": 1}}\n\n");
  CHECK(event_of_all(of) == "id: 7\nevent: case\ndata: {\"case\":\"case-one\",\"seq\":7}\n\n");
}

TEST_CASE("every reader gets what it asked for, once and in order, whenever it comes") {
  Shop shop;
  for (int i = 0; i < 120; ++i)
    shop.add(i % 3 == 0 ? "case-two" : "case-one", "a-" + std::to_string(i));
  EventHub hub(*shop.store, shop.sockets.poster());
  const std::int64_t half = seqs(*shop.store, {}, 0)[60];
  const auto now_one = std::make_shared<Reader>(hub), from_start = std::make_shared<Reader>(hub),
             from_half = std::make_shared<Reader>(hub), all = std::make_shared<Reader>(hub);
  const std::int64_t now = *shop.store->last_seq();
  hub.join(now_one, {true, "case-one", -1});
  hub.join(from_start, {true, "case-one", 0});
  hub.join(all, {true, "", 0});
  // Additions go on while they catch up.
  for (int i = 200; i < 230; ++i) {
    shop.add(i % 2 == 0 ? "case-two" : "case-one", "b-" + std::to_string(i));
    hub.look();
    if (i == 210) hub.join(from_half, {true, "case-two", half});
    shop.sockets.run_for(std::chrono::milliseconds(5));
    for (const auto& one : {now_one, from_start, from_half, all})
      if (one->take()) hub.drained(one.get());
  }
  const auto wanted_one = seqs(*shop.store, "case-one", now),
             wanted_start = seqs(*shop.store, "case-one", 0),
             wanted_half = seqs(*shop.store, "case-two", half),
             wanted_all = seqs(*shop.store, {}, 0);
  CHECK(shop.sockets.run_until([&] {
    hub.look();
    for (const auto& one : {now_one, from_start, from_half, all})
      if (one->take()) hub.drained(one.get());
    return now_one->ids().size() >= wanted_one.size() &&
           from_start->ids().size() >= wanted_start.size() &&
           from_half->ids().size() >= wanted_half.size() && all->ids().size() >= wanted_all.size();
  }));
  CHECK(now_one->ids() == wanted_one);
  CHECK(from_start->ids() == wanted_start);
  CHECK(from_half->ids() == wanted_half);
  CHECK(all->ids() == wanted_all);
}

TEST_CASE("what another process adds is found by looking") {
  Shop shop;
  EventHub hub(*shop.store, shop.sockets.poster());
  const auto reader = std::make_shared<Reader>(hub);
  hub.join(reader, {true, "case-one", -1});
  auto other = std::move(Store::open(shop.folder.path("shop.db"), Store::Mode::existing)).value();
  REQUIRE(other->add_entries("case-one", {entry("other-1")}).ok());
  hub.look();
  CHECK(shop.sockets.run_until([&] { return reader->ids().size() == 1; }));
}

TEST_CASE("a reader that takes nothing is dropped beyond a mebibyte, and nobody else is") {
  Shop shop;
  EventHub hub(*shop.store, shop.sockets.poster());
  const auto slow = std::make_shared<Reader>(hub, true), quick = std::make_shared<Reader>(hub);
  hub.join(slow, {true, "case-one", -1});
  hub.join(quick, {true, "case-one", -1});
  const std::string words(15000, 'w');
  int added = 0;
  while (added < 70) {
    REQUIRE(shop.add("case-one", "w-" + std::to_string(++added), words) > 0);
    hub.look();
    const std::size_t before = quick->ids().size();
    REQUIRE(shop.sockets.run_until([&] { return quick->ids().size() > before; }));
    CHECK(slow->ended == (slow->text.size() > EventHub::kMostWaiting));
    if (slow->ended) break;
  }
  CHECK(slow->ended);
  CHECK_FALSE(quick->ended);
}

TEST_CASE("a reader with a long way to catch up is given it as fast as it takes it") {
  Shop shop;
  for (int i = 0; i < 130; ++i)
    shop.add("case-one", "l-" + std::to_string(i), std::string(15000, 'w'));
  EventHub hub(*shop.store, shop.sockets.poster());
  const auto reader = std::make_shared<Reader>(hub, true);
  hub.join(reader, {true, "case-one", 0});
  const auto wanted = seqs(*shop.store, "case-one", 0);
  CHECK(shop.sockets.run_until([&] {
    if (reader->take()) hub.drained(reader.get());
    return reader->ids().size() >= wanted.size();
  }));
  CHECK(reader->ids() == wanted);
  CHECK_FALSE(reader->ended);
}

TEST_CASE("a heartbeat is a comment: no reader takes it for an event") {
  Shop shop;
  EventHub hub(*shop.store, shop.sockets.poster());
  const auto reader = std::make_shared<Reader>(hub);
  hub.join(reader, {true, "", -1});
  const std::size_t before = reader->text.size();
  hub.beat();
  CHECK(reader->text.substr(before) == ":\n\n");
}

TEST_CASE("what concerns everybody is told now, and first to whoever comes later") {
  Shop shop;
  EventHub hub(*shop.store, shop.sockets.poster());
  const auto early = std::make_shared<Reader>(hub), late = std::make_shared<Reader>(hub);
  hub.join(early, {true, "", -1});
  hub.tell_all("event: rules\ndata: {}\n\n");
  hub.join(late, {true, "case-one", 0});
  for (const auto& reader : {early, late})
    CHECK(reader->text == ": perrev\nretry: 2000\n\nevent: rules\ndata: {}\n\n");
}
