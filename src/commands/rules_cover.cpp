#include <algorithm>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>

#include "engine/bench/coverage.h"
#include "engine/json_text.h"
#include "src/commands/common.h"
#include "src/commands/rules_commands.h"
#include "src/reference_cases.h"
#include "src/rules.h"
#include "src/side_by_side.h"

namespace perrev {

namespace {

using Json = nlohmann::ordered_json;

struct CoverOptions {
  bool json = false;
  std::string rules, cases, only;
};

// One kind of thing: how many there are, and those that no case exercises, in JSON and in words.
struct Part {
  std::string key;    // of JSON
  std::string shown;  // with --only
  std::string words;
  std::size_t total = 0;
  Json missing = Json::array();
  std::vector<std::string> missing_words;
};

class Gaps {
 public:
  Gaps(const RuleBase& base, const Exercised& exercised) : base_(base), exercised_(exercised) {}

  std::vector<Part> all() const {
    std::vector<Part> out = {
        by_id("rules", "rules", "rules that no case fires", base_.rules, exercised_.rules),
        answers(),
        by_id("checks_offered", "path", "checks that no case offers", base_.checks,
              exercised_.offered),
        by_id("checks_learned", "path", "checks that no case learns", base_.checks,
              exercised_.learned),
        edges(),
        by_id("causes", "causes", "causes that are no case's truth", base_.causes,
              exercised_.causes)};
    if (!base_.physics.faults.empty()) out.push_back(faults());
    return out;
  }

 private:
  template <class Things>
  static Part by_id(const char* key, const char* shown, const char* words, const Things& things,
                    const std::vector<char>& is_exercised) {
    Part out{key, shown, words, things.size(), Json::array(), {}};
    for (std::size_t i = 0; i < things.size(); ++i)
      if (!is_exercised[i]) {
        out.missing.push_back(things[i].id);
        out.missing_words.push_back(things[i].id);
      }
    return out;
  }

  Part answers() const {
    Part out{"answers", "answers", "answers that no case gives", 0, Json::array(), {}};
    for (std::size_t f = 0; f < base_.facts.size(); ++f) {
      const std::vector<std::string> ids = answers_of(base_, static_cast<int>(f), Units::metric);
      std::string words;
      for (std::size_t a = 0; a < ids.size(); ++a) {
        if (exercised_.answers[f][a]) continue;
        out.missing.push_back({{"fact", base_.facts[f].id}, {"answer", ids[a]}});
        words += (words.empty() ? ": " : ", ") + ids[a];
      }
      out.total += ids.size();
      if (!words.empty()) out.missing_words.push_back(base_.facts[f].id + words);
    }
    return out;
  }

  Part edges() const {
    Part out{"edges", "path", "edges that no case opens", base_.edges.size(), Json::array(), {}};
    for (std::size_t e = 0; e < base_.edges.size(); ++e) {
      if (exercised_.edges[e]) continue;
      const PathEdge& edge = base_.edges[e];
      const std::string from = base_.vertex_name(edge.from), to = base_.vertex_name(edge.to);
      out.missing.push_back({{"from", from}, {"to", to}, {"line", edge.place.line}});
      out.missing_words.push_back(from + " to " + to + " (line " + std::to_string(edge.place.line) +
                                  ")");
    }
    return out;
  }

  Part faults() const {
    const std::vector<PhysicsFault>& all = base_.physics.faults;
    Part out{"faults",   "causes",      "faults that no case of their cause puts to physics",
             all.size(), Json::array(), {}};
    for (std::size_t i = 0; i < all.size(); ++i)
      if (!exercised_.faults[i]) {
        const std::string& id = base_.causes[static_cast<std::size_t>(all[i].cause)].id;
        out.missing.push_back(id);
        out.missing_words.push_back(id);
      }
    return out;
  }

  const RuleBase& base_;
  const Exercised& exercised_;
};

Json to_json(const std::string& digest, std::size_t cases, const std::vector<Part>& parts) {
  Json out = {{"rules_digest", digest}, {"cases", cases}};
  for (const Part& part : parts)
    out[part.key] = {{"total", part.total},
                     {"exercised", part.total - part.missing.size()},
                     {"missing", part.missing}};
  return out;
}

std::string to_text(std::size_t cases, const std::vector<Part>& parts) {
  std::string out = std::to_string(cases) + (cases == 1 ? " case\n" : " cases\n");
  for (const Part& part : parts) {
    const std::string count = std::to_string(part.missing.size());
    out += std::string(count.size() < 6 ? 6 - count.size() : 0, ' ') + count + " of " +
           std::to_string(part.total) + " " + part.words + "\n";
  }
  for (const Part& part : parts) {
    if (part.missing_words.empty()) continue;
    std::string head = part.words;
    head[0] = static_cast<char>(head[0] - 'a' + 'A');
    out += "\n" + head + "\n";
    for (const std::string& line : part.missing_words) out += wrapped(line, 2, 6);
  }
  return out;
}

Exit run(const CoverOptions& options) {
  const std::string folder = rules_folder(options.rules);
  const auto base = load_rules(folder);
  if (!base) return tell(base.error());
  const auto paths = case_paths(cases_folder(folder, options.cases));
  if (!paths) return tell(paths.error());
  std::vector<std::optional<Exercised>> by_case(paths->size());
  std::vector<Problems> problems(paths->size());
  side_by_side(paths->size(), [&](std::size_t i) {
    const auto read = read_reference((*paths)[i].path, *base);
    if (read)
      by_case[i] = exercised_by(*base, read->file, read->facts, read->expected);
    else
      problems[i] = read.error();
  });
  Exercised exercised(*base);
  Exit exit = Exit::done;
  for (std::size_t i = 0; i < by_case.size(); ++i) {
    if (by_case[i]) exercised.add(*by_case[i]);
    if (!problems[i].empty()) exit = tell(problems[i]);
  }
  if (exit != Exit::done) return exit;
  std::vector<Part> parts = Gaps(*base, exercised).all();
  if (!options.only.empty())
    parts.erase(std::remove_if(parts.begin(), parts.end(),
                               [&](const Part& part) { return part.shown != options.only; }),
                parts.end());
  if (options.json)
    std::cout << indented_json(to_json(base->digest, paths->size(), parts)) << "\n";
  else
    std::cout << to_text(paths->size(), parts);
  return Exit::done;
}

}  // namespace

void add_rules_cover(CLI::App& rules, Action& chosen) {
  CLI::App* command =
      rules.add_subcommand("cover", "Tell what of the rule base no reference case exercises");
  const auto options = std::make_shared<CoverOptions>();
  add_rules_folder(*command, "FOLDER", options->rules);
  add_cases_folder(*command, options->cases);
  command->add_option("--only", options->only, "rules, answers, path or causes")
      ->check(CLI::IsMember({"rules", "answers", "path", "causes"}));
  command->add_flag("--json", options->json, "print JSON");
  command->footer("Example: perrev rules cover --only rules");
  command->callback([&chosen, options] { chosen = [options] { return run(*options); }; });
}

}  // namespace perrev
