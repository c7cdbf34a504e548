// The store is kept by another program: how long one waits, what is said, and that reading goes on.
#include <doctest/doctest.h>
#include <sqlite3.h>

#include <atomic>
#include <thread>

#include "src/store/store.h"
#include "tests/src/run_perrev.h"
#include "tests/src/server/serving.h"
#include "tests/src/store/shop.h"

using namespace perrev;
using namespace perrev::test;
using std::chrono::milliseconds;

namespace {

// Another program with the store: what it runs it keeps until it ends.
class Other {
 public:
  explicit Other(const std::string& file) {
    sqlite3_open(file.c_str(), &handle_);
    sqlite3_busy_timeout(handle_, 20000);
  }
  ~Other() { sqlite3_close(handle_); }
  Other(const Other&) = delete;
  Other& operator=(const Other&) = delete;
  bool run(const char* sql) const {
    return sqlite3_exec(handle_, sql, nullptr, nullptr, nullptr) == SQLITE_OK;
  }

 private:
  sqlite3* handle_ = nullptr;
};

std::unique_ptr<Store> opened(const std::string& file, const Patience& patience) {
  auto store = Store::open(file, Store::Mode::existing, patience);
  REQUIRE(store.ok());
  return std::move(store).value();
}

}  // namespace

TEST_CASE(
    "a writer waits its time and is told that another program keeps the store; readers go on") {
  const Shop shop;
  REQUIRE(shop->add_case("case-one", "{}").ok());
  const auto store = opened(shop.file(), {milliseconds(100), {}});
  const Other other(shop.file());
  REQUIRE(other.run("BEGIN IMMEDIATE"));
  const auto refused = store->add_entries("case-one", {words_entry("a", "hums")});
  REQUIRE_FALSE(refused.ok());
  CHECK(refused.error().kind == Refused::Kind::busy);
  CHECK(told(refused.error()).find("another program keeps the store busy; try again") !=
        std::string::npos);
  CHECK(store->cases("", 0, 10).ok());
  CHECK(opened(shop.file(), {milliseconds(100), {}})->case_text("case-one").ok());
  REQUIRE(other.run("ROLLBACK"));
  CHECK(store->add_entries("case-one", {words_entry("a", "hums")}).ok());
  CHECK(faults(*store) == "");
}

TEST_CASE("who waits longer than a second hears of it once, and gets his turn") {
  const Shop shop;
  REQUIRE(shop->add_case("case-one", "{}").ok());
  std::atomic<int> heard{0};
  const auto store = opened(shop.file(), {milliseconds(60000), [&] { ++heard; }});
  const Other other(shop.file());
  REQUIRE(other.run("BEGIN IMMEDIATE"));
  std::thread writing(
      [&] { CHECK(store->add_entries("case-one", {words_entry("a", "hums")}).ok()); });
  while (heard == 0) std::this_thread::sleep_for(milliseconds(5));
  REQUIRE(other.run("COMMIT"));
  writing.join();
  CHECK(heard == 1);
}

TEST_CASE(
    "a store that was a backup and is kept whole by another program is not waited for for ever") {
  const Shop shop;
  REQUIRE(shop->add_case("case-one", "{}").ok());
  const std::string copy = shop.folder().path("copy.db");
  REQUIRE_FALSE(shop->backup(copy).has_value());
  const Other other(copy);
  for (const char* kept : {"BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"}) {
    CAPTURE(kept);
    REQUIRE(other.run(kept));
    const auto store = Store::open(copy, Store::Mode::existing, {milliseconds(100), {}});
    REQUIRE_FALSE(store.ok());
    CHECK(store.error().kind == Refused::Kind::busy);
    REQUIRE(other.run("ROLLBACK"));
  }
  CHECK(Store::open(copy, Store::Mode::existing).ok());
}

TEST_CASE("a command says what it waits for, and does its work when the other has ended") {
  const Shop shop;
  const Other other(shop.file());
  REQUIRE(other.run("BEGIN IMMEDIATE"));
  const std::string log = shop.folder().path("log");
  Running import({"store", "import", project("cases/it_shakes.json"), "--store", shop.file()}, {},
                 log);
  for (int tries = 0; tries < 2000 && read_whole(log).empty(); ++tries)
    std::this_thread::sleep_for(milliseconds(10));
  CHECK(read_whole(log) ==
        "perrev: another program keeps the store busy; it is waited for, up to 20 s\n");
  REQUIRE(other.run("COMMIT"));
  CHECK(import.until("additions").find("additions") != std::string::npos);
  CHECK(shop->case_ids()->size() == 1);
}

TEST_CASE("while another program writes, a server reads, and writes once it may") {
  const Shop shop;
  REQUIRE(shop->add_case("case-one", "{}").ok());
  const Serving server(shop.file());
  const Serving second(shop.file());  // two of them with one store
  const Other other(shop.file());
  REQUIRE(other.run("BEGIN IMMEDIATE"));
  Client writing(server.port());
  writing.send(request(server, "PATCH", "/api/cases/case-one", R"({"label":"new"})"));
  for (const Serving* one : {&server, &second}) {
    CHECK(ask(*one, "GET", "/api/cases/case-one").status == 200);
    CHECK(ask(*one, "GET", "/api/cases/case-one/diagnosis").status == 200);
  }
  REQUIRE(other.run("COMMIT"));
  CHECK(writing.answer().status == 200);
  CHECK(ask(second, "GET", "/api/cases/case-one").body.find("\"new\"") != std::string::npos);
}
