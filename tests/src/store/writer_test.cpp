// Many callers, several processes, and processes that are killed.
#include "src/store/writer.h"

#include <doctest/doctest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <csignal>
#include <map>
#include <thread>

#include "tests/src/store/shop.h"

using perrev::Addition;
using perrev::Changes;
using perrev::Refused;
using perrev::Store;
using perrev::Writer;
using namespace perrev::test;

namespace {

// All entries of a case: id and JSON.
std::map<std::string, std::string> entries_of(const Store& store, const std::string& id) {
  std::map<std::string, std::string> out;
  const auto all = store.since(id, 0, 1000000);
  if (!all) return out;
  for (const Addition& one : *all)
    if (one.kind == Addition::Kind::entry) {
      const std::size_t begin = 7, end = one.json.find('"', begin);  // {"id":"
      out[one.json.substr(begin, end - begin)] = one.json;
    }
  return out;
}

// In a child process; ends it. What it prints goes into `to`.
template <class Work>
pid_t in_a_child(const Work& work) {
  const pid_t child = ::fork();
  if (child != 0) return child;
  ::_exit(work() ? 0 : 1);
}

bool ended_well(pid_t child) {
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) && WEXITSTATUS(status) == 0;
}

}  // namespace

TEST_CASE("what waits is committed together, each kept by itself, and told before it is answered") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  std::atomic<int> commits{0};
  std::atomic<std::int64_t> newest{0};
  std::atomic<bool> go{false};
  std::vector<std::future<perrev::Stored<perrev::Added>>> answers;
  {
    Writer writer(*shop, [&](std::int64_t seq) {
      ++commits;
      newest = seq;
    });
    // Keeps the writer busy until all others wait.
    std::atomic<bool> begun{false};
    writer.submit(
        [&](Changes&) -> std::optional<Refused> {
          begun = true;
          while (!go) std::this_thread::yield();
          return std::nullopt;
        },
        [](std::optional<Refused> refusal) { CHECK(!refusal); });
    while (!begun) std::this_thread::yield();
    for (int i = 0; i < 100; ++i) {
      const std::string id = std::to_string(i);
      // Every tenth batch has a fault in its second entry.
      answers.push_back(writer.add_entries(
          "case-1", {words_entry(id, id), i % 10 == 0 ? "{}" : words_entry(id + "b", id)}));
    }
    go = true;
    for (int i = 0; i < 100; ++i) {
      const auto answer = answers[static_cast<std::size_t>(i)].get();
      CHECK(answer.ok() == (i % 10 != 0));
      if (answer) CHECK(answer->last_seq <= newest);
    }
  }
  CHECK(commits == 2);
  CHECK(entries_of(*shop, "case-1").size() == 180);
  CHECK(faults(*shop) == "");
}

TEST_CASE("beyond what may wait, callers are told to try again; at the end all is done") {
  const Shop shop;
  std::atomic<bool> go{false};
  std::atomic<int> done{0}, busy{0};
  {
    Writer writer(*shop);
    const auto nothing = [&](Changes&) -> std::optional<Refused> {
      while (!go) std::this_thread::yield();
      return std::nullopt;
    };
    const int asked = static_cast<int>(Writer::kMostWaiting + Writer::kMostTogether + 10);
    for (int i = 0; i < asked; ++i)
      writer.submit(nothing, [&](std::optional<Refused> refusal) {
        if (refusal && refusal->kind == Refused::Kind::busy)
          ++busy;
        else
          ++done;
      });
    CHECK(busy >= 10);
    go = true;
  }
  CHECK(done + busy == static_cast<int>(Writer::kMostWaiting + Writer::kMostTogether + 10));
}

TEST_CASE("threads that read and write at once see whole batches only, and lose nothing") {
  const Shop shop;
  REQUIRE(shop->add_case("case-1", "{}").ok());
  std::atomic<bool> stop{false};
  std::atomic<int> torn{0}, failed{0};
  std::vector<std::thread> readers;
  for (int r = 0; r < 2; ++r)
    readers.emplace_back([&] {
      while (!stop) {
        const auto text = shop->case_text("case-1");
        const auto lines = shop->cases("word", 0, 10);
        if (!text || !lines) ++failed;
        if (lines && !lines->empty() && lines->front().entries % 3 != 0) ++torn;
      }
    });
  {
    Writer writer(*shop);
    std::vector<std::thread> callers;
    for (int c = 0; c < 4; ++c)
      callers.emplace_back([&, c] {
        for (int i = 0; i < 50; ++i) {
          const std::string id = std::to_string(c) + "-" + std::to_string(i);
          if (!writer
                   .add_entries("case-1",
                                {words_entry(id + "x", "word"), words_entry(id + "y", "word"),
                                 words_entry(id + "z", "")})
                   .get())
            ++failed;
        }
      });
    for (std::thread& caller : callers) caller.join();
  }
  stop = true;
  for (std::thread& reader : readers) reader.join();
  CHECK(torn == 0);
  CHECK(failed == 0);
  CHECK(entries_of(*shop, "case-1").size() == 600);
  CHECK(faults(*shop) == "");
}

TEST_CASE("several processes that make one store at the same moment all have it") {
  const Folder folder;
  int failed = 0;
  for (int round = 0; round < 50; ++round) {
    const std::string file = folder.path("shop-" + std::to_string(round) + ".db");
    int gate[2];
    REQUIRE(::pipe(gate) == 0);
    std::vector<pid_t> makers;
    for (int i = 0; i < 4; ++i)
      makers.push_back(in_a_child([&] {
        ::close(gate[1]);
        char nothing = 0;
        (void)!::read(gate[0], &nothing, 1);  // until it is shut
        return Store::open(file, Store::Mode::create).ok();
      }));
    ::close(gate[0]);
    ::close(gate[1]);
    for (const pid_t maker : makers)
      if (!ended_well(maker)) ++failed;
  }
  CHECK(failed == 0);
}

TEST_CASE("two processes that make the store and write at once lose nothing") {
  const Folder folder;
  const std::string file = folder.path("shop.db");
  constexpr int kEach = 150;
  const auto work = [&](const std::string& name) {
    return in_a_child([&] {
      auto store = Store::open(file, Store::Mode::create);
      if (!store || !(*store)->add_case("shared", R"({"label":"both"})")) return false;
      for (int i = 0; i < kEach; ++i) {
        const std::string own = name + "-" + std::to_string(i);
        if (!(*store)->add_entries("shared", {words_entry(own, own),
                                              words_entry("of-both-" + std::to_string(i), "same")}))
          return false;
      }
      return true;
    });
  };
  const pid_t one = work("one"), other = work("other");
  CHECK(ended_well(one));
  CHECK(ended_well(other));
  const auto store = Store::open(file, Store::Mode::existing);
  REQUIRE(store.ok());
  CHECK(entries_of(**store, "shared").size() == 3 * kEach);
  CHECK(faults(**store) == "");
}

namespace {

// Writes batches of three until it is killed, several waiting at once. Tells -1 when it begins and
// each number after its batch was acknowledged.
bool write_for_ever(const std::string& file, const std::string& id, int to) {
  auto store = Store::open(file, Store::Mode::create);
  if (!store || !(*store)->add_case(id, "{}")) return false;
  Writer writer(**store);
  const std::int32_t ready = -1;
  if (::write(to, &ready, sizeof ready) != sizeof ready) return false;
  std::vector<std::future<perrev::Stored<perrev::Added>>> waiting;
  for (int number = 0; number < 1600; ++number) {
    const std::string n = std::to_string(number);
    waiting.push_back(writer.add_entries(
        id, {words_entry(n + "a", n), words_entry(n + "b", n), words_entry(n + "c", n)}));
    if (waiting.size() < 8) continue;
    for (std::size_t i = 0; i < waiting.size(); ++i) {
      if (!waiting[i].get()) return false;
      const std::int32_t told = number - 7 + static_cast<std::int32_t>(i);
      if (::write(to, &told, sizeof told) != sizeof told) return false;
    }
    waiting.clear();
  }
  ::pause();
  return true;
}

// What a killed child told before it ended, and the case it wrote to.
struct Killed {
  std::string id;
  std::vector<int> acknowledged;
};

Killed kill_a_child(const std::string& file, const std::string& id, perrev::testing::Lcg& random) {
  int ends[2];
  REQUIRE(::pipe(ends) == 0);
  const pid_t child = in_a_child([&] {
    ::close(ends[0]);
    return write_for_ever(file, id, ends[1]);
  });
  ::close(ends[1]);
  // Some are killed while they open the store, most while they write.
  Killed out{id, {}};
  const auto heard = [&] {
    std::int32_t number = 0;
    if (::read(ends[0], &number, sizeof number) != sizeof number) return false;
    if (number >= 0) out.acknowledged.push_back(number);
    return true;
  };
  for (int messages = random.below(4); messages > 0; --messages) REQUIRE(heard());
  std::this_thread::sleep_for(std::chrono::microseconds(random.between(100, 15000)));
  REQUIRE(::kill(child, SIGKILL) == 0);
  int status = 0;
  ::waitpid(child, &status, 0);
  REQUIRE(WIFSIGNALED(status));
  while (heard()) {
  }
  ::close(ends[0]);
  return out;
}

void check_nothing_lost(const Store& store, const Killed& killed) {
  const auto entries = entries_of(store, killed.id);
  int lost = 0;
  for (const int one : killed.acknowledged)
    for (const char* part : {"a", "b", "c"}) {
      const std::string n = std::to_string(one);
      const auto found = entries.find(n + part);
      if (found == entries.end() || found->second != words_entry(n + part, n)) ++lost;
    }
  CHECK(lost == 0);
  CHECK(entries.size() % 3 == 0);  // what was not acknowledged is whole or not there
}

}  // namespace

TEST_CASE("killed two hundred times while it writes: what was acknowledged is there, whole") {
  const Folder folder;
  const std::string file = folder.path("shop.db");
  perrev::testing::Lcg random(11);
  std::size_t acknowledged = 0, without = 0;
  std::vector<Killed> all;
  for (int run = 0; run < 200; ++run) {
    CAPTURE(run);
    all.push_back(kill_a_child(file, "killed-" + std::to_string(run), random));
    acknowledged += all.back().acknowledged.size();
    if (all.back().acknowledged.empty()) ++without;
    if (run % 4 != 3) continue;  // else the next child comes to what this one left
    const auto store = Store::open(file, Store::Mode::create);
    REQUIRE(store.ok());
    for (std::size_t i = all.size() - 4; i < all.size(); ++i) check_nothing_lost(**store, all[i]);
  }
  const auto store = Store::open(file, Store::Mode::existing);
  REQUIRE(store.ok());
  for (const Killed& killed : all) check_nothing_lost(**store, killed);
  CHECK(faults(**store) == "");
  MESSAGE("acknowledged batches: " << acknowledged
                                   << ", children killed before the first: " << without);
  CHECK(without < 150);
}
