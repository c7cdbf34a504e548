#include "src/reference_cases.h"

#include <algorithm>
#include <filesystem>

#include "engine/quantity/text.h"
#include "src/answers/open_case.h"
#include "src/files.h"
#include "src/side_by_side.h"

namespace perrev {

namespace fs = std::filesystem;

std::string cases_folder(const std::string& rules, const std::string& asked) {
  if (!asked.empty()) return asked;
  return (fs::path(rules) / ".." / "cases").lexically_normal().generic_string();
}

Result<std::vector<CasePath>, Problems> case_paths(const std::string& folder,
                                                   const std::vector<std::string>& only) {
  std::vector<CasePath> all;
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (at->path().extension() == ".json")
      all.push_back({at->path().stem().string(), at->path().generic_string()});
  const auto problem_of = [&](std::string what, std::string right) {
    return Problem{{folder, 0, 0, {}}, std::move(what), std::move(right), {}};
  };
  if (error)
    return Problems{problem_of("the cases cannot be read: " + error.message(),
                               "the path of a folder of reference cases")};
  std::sort(all.begin(), all.end(),
            [](const CasePath& a, const CasePath& b) { return a.name < b.name; });
  if (all.empty()) return Problems{problem_of("no reference case", "files that end in .json")};
  if (only.empty()) return all;
  Problems problems;
  std::vector<std::string> known, wanted;
  for (const CasePath& each : all) known.push_back(each.name);
  for (const std::string& name : only) {
    const fs::path path(name);
    wanted.push_back((path.extension() == ".json" ? path.stem() : path.filename()).string());
    if (std::find(known.begin(), known.end(), wanted.back()) != known.end()) continue;
    const auto near = nearest(wanted.back(), known);
    problems.push_back(problem_of("no case " + perrev::quoted(wanted.back()),
                                  near ? "did you mean " + perrev::quoted(*near) + "?"
                                       : "the name of a file, without .json"));
  }
  if (!problems.empty()) return problems;
  all.erase(std::remove_if(all.begin(), all.end(),
                           [&](const CasePath& each) {
                             return std::find(wanted.begin(), wanted.end(), each.name) ==
                                    wanted.end();
                           }),
            all.end());
  return all;
}

Result<ReferenceCase, Problems> read_reference(const std::string& path, const RuleBase& base) {
  auto text = read_file(path, kLargestCaseFile);
  if (!text) return Problems{text.error()};
  auto open = read_case(path, *text, base);
  if (!open) return open.error();
  auto expected = read_expectation(open->file, base);
  if (!expected) return expected.error();
  return ReferenceCase{std::move(open.value().file), std::move(open.value().facts),
                       std::move(expected).value()};
}

namespace {

TestedCase test_case(const Planner& planner, const CasePath& path) {
  const auto read = read_reference(path.path, planner.reasoner().base());
  if (!read) return {path.name, CaseStanding::unreadable, read.error(), {}, {}, {}};
  const Ranking ranking = rank(planner.reasoner(), read->facts);
  return tested_case(path.name, read->expected,
                     judge(planner, read->file, read->facts, ranking, read->expected));
}

}  // namespace

std::vector<TestedCase> test_cases(const Planner& planner, const std::vector<CasePath>& paths) {
  std::vector<TestedCase> out(paths.size());
  side_by_side(paths.size(), [&](std::size_t i) { out[i] = test_case(planner, paths[i]); });
  return out;
}

namespace {

CaseChange compare_case(const Planner& before, const Planner& after, const CasePath& path) {
  const auto was = read_reference(path.path, before.reasoner().base());
  const auto is = read_reference(path.path, after.reasoner().base());
  const auto side = [](const Planner& planner, const ReferenceCase& of) {
    return CaseSide{planner, of.file, of.facts, of.expected};
  };
  const auto view = [&](const Planner& planner, const Result<ReferenceCase, Problems>& read) {
    if (read) return view_of(path.name, side(planner, *read));
    CaseView out;
    out.tested = {path.name, CaseStanding::unreadable, read.error(), {}, {}, {}};
    return out;
  };
  CaseChange out = case_change(view(before, was), view(after, is));
  if (was && is) explain(out, side(before, *was), side(after, *is));
  return out;
}

}  // namespace

std::vector<CaseChange> compare_cases(const Planner& before, const Planner& after,
                                      const std::vector<CasePath>& paths) {
  std::vector<CaseChange> out(paths.size());
  side_by_side(paths.size(),
               [&](std::size_t i) { out[i] = compare_case(before, after, paths[i]); });
  return out;
}

}  // namespace perrev
