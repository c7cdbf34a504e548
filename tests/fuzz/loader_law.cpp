#include "tests/fuzz/loader_law.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/bench/draw_evidence.h"
#include "engine/bench/draw_path.h"
#include "engine/bench/findings.h"
#include "engine/knowledge/rule_bytes.h"
#include "engine/providers/orders.h"
#include "engine/reasoning/next.h"
#include "tests/engine/knowledge/badly_told.h"
#include "tests/engine/knowledge/small_base.h"
#include "tests/engine/knowledge/sound_base.h"
#include "tests/fuzz/ranking_law.h"

namespace perrev::fuzz {

namespace {

constexpr std::string_view kFile = "--- file ", kNo = "--- no ";

std::vector<ParsedFile> parsed(const std::vector<SourceFile>& files) {
  std::vector<ParsedFile> out;
  for (const SourceFile& file : files) out.push_back(parse_file(file));
  return out;
}

std::string name_after(std::string_view mark, std::string_view line) {
  return std::string(line.substr(mark.size(), line.find_last_not_of('\r') + 1 - mark.size()));
}

// The first that is not empty.
std::string first_of(const std::vector<std::string>& told) {
  const auto found =
      std::find_if(told.begin(), told.end(), [](const std::string& each) { return !each.empty(); });
  return found == told.end() ? "" : *found;
}

std::string broken_finding(const RuleBase& base, const std::vector<ParsedFile>& files) {
  for (const Finding& each : findings(base, files)) {
    if (each.what.empty()) return each.id + ": nothing is said";
    if (const std::string wrong = small::badly_placed(each.place, files); !wrong.empty())
      return each.id + ": " + wrong;
  }
  return "";
}

std::string broken_bytes(const RuleBase& base, const std::vector<ParsedFile>& files) {
  const auto again = rule_base_from(rule_bytes(files, base));
  if (!again) return "refused as bytes: " + again.error().front().text();
  return small::written_out(*again) == small::written_out(base) ? "" : "another one as bytes";
}

std::string broken_drawing(const Reasoner& reasoner, const CaseFacts& facts) {
  const RuleBase& base = reasoner.base();
  const EvidencePen pen{reasoner, &facts};
  std::vector<Drawing> drawn = {draw_families(pen), draw_path(base, {}, &facts, Units::us)};
  for (std::size_t c = 0; c < base.causes.size(); ++c)
    drawn.push_back(draw_cause(pen, static_cast<int>(c)));
  for (std::size_t f = 0; f < base.families.size(); ++f)
    drawn.push_back(draw_family(pen, static_cast<int>(f)));
  for (std::size_t f = 0; f < base.facts.size(); ++f)
    drawn.push_back(draw_facts(pen, {static_cast<int>(f)}, base.facts[f].id));
  for (const Drawing& each : drawn)
    if (dot_of(each).empty()) return "a drawing is empty";
  return "";
}

std::string broken_reasoning(const Reasoner& reasoner, const CaseFacts& facts) {
  const Ranking ranking = rank(reasoner, facts);
  if (const std::string wrong = broken_ranking(ranking); !wrong.empty()) return wrong;
  for (const NextCheck& each :
       next_steps(reasoner, facts, ranking, offers_of(reasoner.base(), facts)).checks)
    if (!std::isfinite(each.bits) || !(each.minutes > 0.0)) return "a next check of no worth";
  return "";
}

std::string broken_use(const RuleBase& base) {
  static const OrdersProvider orders;
  const Reasoner reasoner(base, {&orders});
  const auto facts = facts_of(CaseFile(), base);
  if (!facts) return "an empty case is refused: " + facts.error().front().text();
  return first_of({broken_drawing(reasoner, *facts), broken_reasoning(reasoner, *facts)});
}

}  // namespace

std::vector<ParsedFile> files_in(std::string_view input) {
  static const std::vector<ParsedFile> small = parsed(small::small_files());
  std::vector<SourceFile> replaced;
  std::vector<std::string> gone;
  bool reading = false;
  while (!input.empty()) {
    const std::string_view line = input.substr(0, std::min(input.find('\n'), input.size() - 1) + 1);
    input.remove_prefix(line.size());
    const std::string_view bare = line.substr(0, line.find('\n'));
    if (bare.substr(0, kFile.size()) == kFile) {
      const std::string name = name_after(kFile, bare);
      replaced.erase(
          std::remove_if(replaced.begin(), replaced.end(),
                         [&](const SourceFile& earlier) { return earlier.name == name; }),
          replaced.end());
      replaced.push_back({name, "rules/" + name, ""});
      gone.push_back(name);
      reading = true;
    } else if (bare.substr(0, kNo.size()) == kNo) {
      gone.push_back(name_after(kNo, bare));
      reading = false;
    } else if (reading) {
      replaced.back().text += line;
    }
  }
  std::vector<ParsedFile> out = parsed(replaced);
  for (const ParsedFile& file : small)
    if (std::find(gone.begin(), gone.end(), file.source.name) == gone.end()) out.push_back(file);
  return out;
}

std::string broken_loader_law(std::string_view input) {
  const std::vector<ParsedFile> files = files_in(input);
  const auto base = build_rule_base(files);
  if (!base) {
    if (base.error().empty()) return "neither a rule base nor a problem";
    for (const Problem& problem : base.error())
      if (const std::string wrong = small::badly_told(problem, files); !wrong.empty())
        return wrong + ": " + problem.text();
    return "";
  }
  return first_of({first_of(small::unsound(*base)), broken_finding(*base, files),
                   broken_bytes(*base, files), broken_use(*base)});
}

bool loader_comes_through(std::string_view input) { return build_rule_base(files_in(input)).ok(); }

}  // namespace perrev::fuzz
