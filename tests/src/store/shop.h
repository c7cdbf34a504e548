// A store in a folder of its own, and things to put in it.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "src/store/store.h"
#include "tests/engine/reasoning/lcg.h"
#include "tests/src/run_perrev.h"

namespace perrev::test {

class Shop {
 public:
  Shop() : store_(opened()) {}
  Store& operator*() const { return *store_; }
  Store* operator->() const { return store_.get(); }
  std::string file() const { return folder_.path("shop.db"); }
  const Folder& folder() const { return folder_; }
  void close() { store_.reset(); }
  void open() { store_ = opened(); }
  // By SQL of the test's own, past the store; the message of what refused it, empty when it went
  // through.
  std::string run_sql(const std::string& text) const;

 private:
  std::unique_ptr<Store> opened() const;
  Folder folder_;
  std::unique_ptr<Store> store_;
};

std::string run_sql(const std::string& file, const std::string& text);

// Entries as JSON; `value` is text.
std::string words_entry(const std::string& id, const std::string& value);
std::string answer_entry(const std::string& id, const std::string& fact, const std::string& value);
// Of any kind: `rest` are its keys.
std::string entry_with(const std::string& id, const std::string& rest);
std::string json_text(const std::string& text);

// A whole document in the layout of CaseFile::text: heads with keys on both sides of the entries,
// entries of all kinds, unknown keys of all types, text in many scripts.
std::string random_document(testing::Lcg& random);

// What `check` tells, a line a problem.
std::string faults(const Store& store);
std::string text_of(const Store& store, const std::string& id);
// Imports a document under an id; the problems, empty when it was taken in.
std::string imported(Store& store, const std::string& text, const std::string& id,
                     std::string* made_id = nullptr, std::size_t* fresh = nullptr);
std::string told(const Refused& refusal);

}  // namespace perrev::test
