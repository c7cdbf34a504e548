#include "src/rules.h"

#include <algorithm>
#include <atomic>
#include <cstdlib>
#include <filesystem>
#include <optional>
#include <thread>
#include <utility>

#include "src/files.h"
#include "src/kept_trees.h"

namespace perrev {

namespace fs = std::filesystem;

std::string rules_folder(const std::string& asked) {
  if (!asked.empty()) return asked;
  const char* set = std::getenv("PERREV_RULES");
  return set && *set ? set : PERREV_RULES_FOLDER;
}

namespace {

// Names of the YAML files, relative to the folder; `schema/` holds no rules.
Result<std::vector<std::string>, Problems> yaml_files(const std::string& folder) {
  std::vector<std::string> names;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, error), end;
  if (error)
    return Problems{Problem{{folder, 0, 0, {}},
                            "the rule base cannot be opened: " + error.message(),
                            "the path of a folder of rules",
                            {}}};
  for (; !error && at != end; at.increment(error)) {
    std::error_code unknown;  // a link that leads nowhere is no file
    if (at->is_directory(unknown) && at->path().filename() == "schema")
      at.disable_recursion_pending();
    else if (at->path().extension() == ".yaml" && at->is_regular_file(unknown))
      names.push_back(at->path().lexically_relative(folder).generic_string());
  }
  if (error)
    return Problems{Problem{{folder, 0, 0, {}},
                            "the rule base cannot be read: " + error.message(),
                            "a folder that can be read",
                            {}}};
  std::sort(names.begin(), names.end());
  return names;
}

// The largest first, so that both workers end at about the same time.
std::vector<SourceFile> read_largest_first(const std::string& folder,
                                           const std::vector<std::string>& names,
                                           Problems& problems) {
  std::vector<SourceFile> files;
  for (const std::string& name : names) {
    const std::string path = (fs::path(folder) / name).generic_string();
    auto text = read_file(path, kLargestText);
    if (!text)
      problems.push_back(text.error());
    else
      files.push_back({name, path, std::move(text).value()});
  }
  std::sort(files.begin(), files.end(), [](const SourceFile& a, const SourceFile& b) {
    return a.text.size() != b.text.size() ? a.text.size() > b.text.size() : a.name < b.name;
  });
  return files;
}

std::vector<ParsedFile> parse_side_by_side(std::vector<SourceFile> files) {
  std::vector<std::optional<ParsedFile>> parsed(files.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < files.size(); i = next++)
      parsed[i] = parse_file(std::move(files[i]));
  };
  std::thread second(work);
  work();
  second.join();
  std::vector<ParsedFile> all;
  for (auto& file : parsed) all.push_back(std::move(*file));
  return all;
}

}  // namespace

Result<RuleBase, Problems> load_rules(const std::string& folder) {
  auto names = yaml_files(folder);
  if (!names) return names.error();
  Problems problems;
  std::vector<SourceFile> files = read_largest_first(folder, *names, problems);
  if (!problems.empty()) return problems;
  std::vector<ParsedFile> parsed;
  if (auto trees = kept_trees(files)) {
    for (std::size_t i = 0; i < files.size(); ++i)
      parsed.push_back(ParsedFile{std::move(files[i]), std::move((*trees)[i])});
  } else {
    parsed = parse_side_by_side(std::move(files));
    keep_trees(parsed);
  }
  return build_rule_base(std::move(parsed));
}

}  // namespace perrev
