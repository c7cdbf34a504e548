#include "tests/src/store/shop.h"

#include <doctest/doctest.h>
#include <sqlite3.h>

#include <nlohmann/json.hpp>

#include "src/store/case_import.h"

namespace perrev::test {

using Json = nlohmann::ordered_json;
using testing::Lcg;

std::unique_ptr<Store> Shop::opened() const {
  auto store = Store::open(file(), Store::Mode::create);
  if (!store) FAIL(told(store.error()));
  return std::move(store).value();
}

std::string Shop::run_sql(const std::string& text) const { return test::run_sql(file(), text); }

std::string run_sql(const std::string& file, const std::string& text) {
  sqlite3* handle = nullptr;
  sqlite3_open(file.c_str(), &handle);
  char* message = nullptr;
  std::string out;
  if (sqlite3_exec(handle, text.c_str(), nullptr, nullptr, &message) != SQLITE_OK)
    out = message ? message : "failed";
  sqlite3_free(message);
  sqlite3_close(handle);
  return out;
}

std::string json_text(const std::string& text) { return Json(text).dump(); }

std::string entry_with(const std::string& id, const std::string& rest) {
  return "{\"id\":" + json_text(id) + ",\"at\":\"2026-05-04T09:12:00Z\",\"by\":\"bay\"," + rest +
         "}";
}

std::string answer_entry(const std::string& id, const std::string& fact, const std::string& value) {
  return entry_with(id, "\"fact\":" + json_text(fact) + ",\"value\":" + json_text(value));
}

std::string words_entry(const std::string& id, const std::string& value) {
  return answer_entry(id, "complaint_words", value);
}

namespace {

std::string random_text(Lcg& random) {
  static const std::vector<std::string> kPieces = {
      "shakes", " ",      "\"",      "\\", "/",       "\n", "\t",       "\x01",   "Schütteln",
      "振動",   "🛞",     "e\u0301", "'",  "DROP",    "--", "*",        "65 mph", "{\"a\":",
      "NEAR",   "\u202e", "ﬀ",       "й",  "\\u0000", "%s", "</script>"};
  std::string out;
  for (int n = random.below(6); n >= 0; --n) out += random.pick(kPieces);
  if (random.chance(0.05)) out.push_back('\0');
  return out;
}

Json random_value(Lcg& random, int depth) {
  switch (random.below(depth > 3 ? 6 : 8)) {
    case 0:
      return random_text(random);
    case 1:
      return random.between(-1000, 1000);
    case 2:
      return random.chance(0.5) ? Json(18446744073709551615ULL)
                                : Json(static_cast<std::int64_t>(-9223372036854775807LL - 1));
    case 3:
      return random.chance(0.3) ? 1.0 : (random.real() - 0.5) * (random.chance(0.5) ? 1e-9 : 1e300);
    case 4:
      return random.chance(0.5);
    case 5:
      return nullptr;
    case 6: {
      Json list = Json::array();
      for (int n = random.below(4); n > 0; --n) list.push_back(random_value(random, depth + 1));
      return list;
    }
    default: {
      Json object = Json::object();
      for (int n = random.below(4); n > 0; --n)
        object["k" + std::to_string(n) + random_text(random)] = random_value(random, depth + 1);
      return object;
    }
  }
}

// The keys that make an entry one of its kind.
Json random_kind(Lcg& random) {
  switch (random.below(7)) {
    case 0:
      return {{"fact", "complaint_words"}, {"value", random_text(random)}};
    case 1:
      return {{"fact", "felt_at"}, {"value", {"seat", random_text(random)}}};
    case 2:
      return {{"fact", "pull"}, {"answer", "unsure"}, {"place", "left_front"}};
    case 3:
      return {{"check", "drive"}, {"answer", "not_possible"}};
    case 4:
      return {{"retracts", std::to_string(random.below(9))}};
    case 5:
      return {{"repair", "rebalance"}, {"result", random.chance(0.5) ? "done" : "not_done"}};
    default:
      return {{"closes", random.chance(0.5) ? Json{"wheel_imbalance"} : Json::array()},
              {"proof", random_text(random)}};
  }
}

// With unknown keys between the others.
Json random_entry(Lcg& random, int id) {
  Json out = Json::object();
  const auto unknown = [&] {
    if (random.chance(0.3)) out["note" + std::to_string(out.size())] = random_value(random, 0);
  };
  unknown();
  out["at"] = "2026-05-0" + std::to_string(random.between(1, 9)) + "T09:12:00." +
              std::to_string(random.below(1000000000)) + "+02:00";
  unknown();
  out["id"] = random.chance(0.8) ? std::to_string(id) : random_text(random) + std::to_string(id);
  const Json kind = random_kind(random);
  for (const auto& item : kind.items()) out[item.key()] = item.value();
  out["by"] = random.pick(std::vector<std::string>{"write_up", "road", "bay"});
  unknown();
  return out;
}

}  // namespace

std::string random_document(Lcg& random) {
  Json out = Json::object();
  const auto unknown = [&] {
    for (int n = random.below(3); n > 0; --n)
      out["z" + std::to_string(out.size()) + random_text(random)] = random_value(random, 0);
  };
  unknown();
  out["perrev_case"] = 1;
  if (random.chance(0.8)) out["label"] = random_text(random);
  unknown();
  Json entries = Json::array();
  for (int i = 0, count = random.below(12); i < count; ++i)
    entries.push_back(random_entry(random, i));
  out["entries"] = entries;
  unknown();
  return out.dump(2) + "\n";
}

std::string told(const Refused& refusal) {
  std::string out;
  for (const Problem& p : refusal.problems) out += (out.empty() ? "" : "\n") + p.text();
  return out;
}

std::string faults(const Store& store) {
  const auto found = store.check();
  return told(found ? Refused{Refused::Kind::broken, *found} : found.error());
}

std::string text_of(const Store& store, const std::string& id) {
  const auto text = store.case_text(id, Store::Photos::with);
  return text ? text->text : told(text.error());
}

std::string imported(Store& store, const std::string& text, const std::string& id,
                     std::string* made_id, std::size_t* fresh) {
  const auto refusal = store.change([&](Changes& changes) -> std::optional<Refused> {
    const auto one = import_case(changes, "a.json", text, id);
    if (!one) return one.error();
    if (made_id) *made_id = one->case_id;
    if (fresh) *fresh = one->fresh;
    return std::nullopt;
  });
  return refusal ? told(*refusal) : std::string();
}

}  // namespace perrev::test
