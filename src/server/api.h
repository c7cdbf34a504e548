// What the handlers of the API stand on. Made once, used by all threads.
#pragma once

#include <string>

#include "src/server/access.h"
#include "src/server/kept_cases.h"
#include "src/server/rankings.h"
#include "src/server/response.h"
#include "src/server/rules_in_use.h"
#include "src/server/workers.h"
#include "src/store/writer.h"

namespace perrev {

struct About {
  std::string version;
  std::string units = "us";
  bool lan = false;
};

class Api {
 public:
  // All that is referred to must outlive it.
  Api(const RulesInUse& rules, Store& store, Writer& writer, Workers& quick, Access& access,
      About about);

  const RulesInUse& rules;
  Store& store;
  Writer& writer;
  Workers& quick;
  Access& access;  // on the thread of the sockets alone
  const About about;

 private:
  // Two members of a JSON object: "rules_digest" and "ranking"; empty where the case cannot be
  // ranked.
  std::string ranking_of(const std::string& case_id);

  KeptCases kept_;

 public:
  Rankings rankings;
};

// Why the store did not do it.
Response refusal(const Refused& why);

// {"ok": X} as 200 with X, {"problems": [...]} as 422 with those.
Response unwrapped(const std::string& answer);

}  // namespace perrev
