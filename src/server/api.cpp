#include "src/server/api.h"

namespace perrev {

Api::Api(const RulesInUse& rules_, Store& store_, Writer& writer_, Workers& quick_, Access& access_,
         About about_)
    : rules(rules_),
      store(store_),
      writer(writer_),
      quick(quick_),
      access(access_),
      about(std::move(about_)),
      kept_(store_),
      rankings(quick_, [this](const std::string& id) { return ranking_of(id); }) {}

std::string Api::ranking_of(const std::string& case_id) {
  auto kept = kept_.take(case_id);
  if (!kept) return {};
  const Rules with = rules.now();
  const std::string ranking = with->answers.ranking(kept->file);
  kept_.give_back(std::move(kept));
  if (ranking.empty()) return {};
  return "\"rules_digest\":\"" + with->base.digest + "\",\"ranking\":" + ranking;
}

Response refusal(const Refused& why) {
  int status = 500;
  switch (why.kind) {
    case Refused::Kind::invalid:
    case Refused::Kind::not_image:
      status = 422;
      break;
    case Refused::Kind::missing:
      status = 404;
      break;
    case Refused::Kind::conflict:
      status = 409;
      break;
    case Refused::Kind::too_large:
      status = 413;
      break;
    case Refused::Kind::busy:
      return problems_response(503, why.problems).with("Retry-After", "1");
    case Refused::Kind::broken:
      status = 503;
      break;
  }
  return problems_response(status, why.problems);
}

Response unwrapped(const std::string& answer) {
  // What the answers write begins so; taking it apart as text spares reading it once more.
  constexpr std::string_view kOk = "{\"ok\":";
  if (answer.compare(0, kOk.size(), kOk) != 0) return json_response(422, answer);
  return json_response(200, answer.substr(kOk.size(), answer.size() - kOk.size() - 1));
}

}  // namespace perrev
