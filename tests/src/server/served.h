// The server without sockets: its store in a folder of its own, its threads, its API. A request
// value goes in, a response value comes out.
#pragma once

#include <future>
#include <memory>
#include <utility>

#include "src/server/rules_in_use.h"
#include "src/server/service.h"
#include "tests/src/folder.h"

namespace perrev::test {

struct Served {
  explicit Served(Rules first, Access given = {}, Trust trust = {})
      : rules(std::move(first)),
        store(std::move(Store::open(folder.path("shop.db"), Store::Mode::create)).value()),
        access(std::move(given)),
        api(rules, *store, writer, quick, access, {"1", "us", false}),
        service(api, access, slow, {false, {"localhost"}, 8640}, std::move(trust)) {}

  // To a request that was admitted.
  Response answer(const Admission& admission, Request request) {
    auto answered = std::make_shared<std::promise<Response>>();
    auto answer = answered->get_future();
    service.answer(admission, std::move(request),
                   [answered](Response response) { answered->set_value(std::move(response)); });
    return answer.get();
  }

  Folder folder;
  RulesInUse rules;
  std::unique_ptr<Store> store;
  Workers quick{2}, slow{2};
  Writer writer{*store};
  Access access;
  Api api;
  Service service;
};

}  // namespace perrev::test
