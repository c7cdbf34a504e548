#include "src/commands/rules_new_rest.h"

#include <algorithm>
#include <string_view>
#include <utility>

#include "engine/knowledge/rule_files.h"
#include "engine/quantity/text.h"
#include "src/answers/words.h"

namespace perrev {

namespace {

// The first name in quotes of what a finding says.
std::string named_in(const std::string& what) {
  const std::size_t begin = what.find('\'');
  if (begin == std::string::npos) return {};
  const std::size_t end = what.find('\'', begin + 1);
  return end == std::string::npos ? std::string() : what.substr(begin + 1, end - begin - 1);
}

constexpr std::string_view kYaml = ".yaml";

// Of a name with slashes between its parts.
bool stays_inside(const std::string& name) {
  for (std::size_t at = 0; at <= name.size();) {
    const std::size_t end = std::min(name.find('/', at), name.size());
    const std::string part = name.substr(at, end - at);
    if (part.empty() || part == "." || part == "..") return false;
    at = end + 1;
  }
  return name.find('\\') == std::string::npos;
}

// Without the folder: the name that `rules test --only` takes.
std::string case_name(const std::string& path) {
  const std::string file = path.substr(path.rfind('/') + 1);
  return file.substr(0, file.rfind('.'));
}

}  // namespace

Result<std::string> evidence_file(const std::string& said) {
  if (said.empty()) return said;
  std::string name = said.rfind(kEvidence, 0) == 0 ? said.substr(kEvidence.size()) : said;
  if (name.size() >= kYaml.size() &&
      name.compare(name.size() - kYaml.size(), kYaml.size(), kYaml) == 0)
    name.erase(name.size() - kYaml.size());
  if (!stays_inside(name))
    return problem(perrev::quoted(said) + " is no file of the folder " + std::string(kEvidence),
                   "a plain name, as my_shop or evidence/my_shop.yaml");
  return std::string(kEvidence) + name + std::string(kYaml);
}

std::string command_for(const Finding& finding, const RuleBase& base) {
  const std::string name = named_in(finding.what);
  const std::string rule = "perrev rules new rule NAME ", check = "perrev rules new check NAME ";
  if (name.empty()) return {};
  if (finding.id == "nothing-for") return rule + "--for " + name + ":strong";
  if (finding.id == "nothing-against") return rule + "--against " + name + ":strong";
  if (finding.id == "not-told-apart") return rule + "--against " + name + ":strong";
  if (finding.id == "never-shown") return check + "--confirms \"" + name + ": FACT: ANSWER\"";
  const int fact = base.fact_index(name);
  if (fact < 0) return {};
  const std::vector<Answer>& answers = base.facts[static_cast<std::size_t>(fact)].answers;
  const std::string answer = answers.empty() ? "ANSWER" : answers.back().id;
  if (finding.id == "fact-without-check") return check + "--learns " + name;
  if (finding.id == "unused-fact" || finding.id == "fact-without-effect")
    return rule + "--when " + name + ":" + answer;
  return {};
}

std::string findings_text(const std::vector<Finding>& found, const RuleBase& base) {
  if (found.empty()) return "perrev rules check finds nothing new.\n";
  std::string out = "What perrev rules check says that it did not say before:\n";
  for (const Finding& each : found) {
    out += wrapped(each.what + "; " + each.right + "  [" + each.id + "]", 2, 4);
    const std::string command = command_for(each, base);
    if (!command.empty()) out += "      " + command + "\n";
  }
  return out;
}

std::string next_text(const std::string& rules, const std::string& case_path) {
  const std::string command = "  perrev rules ";
  return "Next:\n" +
         (case_path.empty()
              ? std::string()
              : command + "test " + rules + " --only " + case_name(case_path) + "\n") +
         command + "test " + rules + "\n" + command + "schema " + rules + "\n";
}

}  // namespace perrev
