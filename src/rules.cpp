#include "src/rules.h"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <optional>
#include <utility>

#include "src/files.h"
#include "src/kept_trees.h"
#include "src/side_by_side.h"
#include "src/user_folders.h"

namespace perrev {

namespace fs = std::filesystem;

namespace {

// PREFIX/share/perrev/rules of PREFIX/bin.
std::string installed(const std::string& programs) {
  return (fs::path(programs) / "../share/perrev/rules").lexically_normal().string();
}

}  // namespace

std::string this_program() {
  std::error_code unknown;
  return fs::read_symlink("/proc/self/exe", unknown).string();
}

std::vector<std::string> rules_places(const std::string& program) {
  const std::string below = "/perrev/rules", beside = fs::path(program).parent_path().string();
  std::vector<std::string> out;
  if (!program.empty()) out.push_back(beside + "/rules");
  if (const std::string home = data_home(); !home.empty()) out.push_back(home + below);
  if (!program.empty()) out.push_back(installed(beside));
  for (const std::string& folder : data_folders()) out.push_back(folder + below);
  return out;
}

std::string rules_folder(const std::string& asked, const std::string& program) {
  if (!asked.empty()) return asked;
  const char* set = std::getenv("PERREV_RULES");
  if (set && *set) return set;
  for (const std::string& place : rules_places(program)) {
    std::error_code unknown;
    if (!fs::is_directory(place, unknown)) continue;
    const fs::path true_place = fs::canonical(place, unknown);
    return unknown ? place : true_place.string();
  }
  return installed(fs::path(program).parent_path().string());
}

namespace {

Problem at_path(const std::string& path, std::string what, std::string right) {
  return Problem{{path, 0, 0, {}}, std::move(what), std::move(right), {}};
}

// Names of the YAML files, relative to the folder; its `schema/` holds no rules. Links are
// followed. Whatever ends like a rule file and cannot be read as one is told: a rule base is never
// loaded in part.
Result<std::vector<std::string>, Problems> yaml_files(const std::string& folder) {
  std::vector<std::string> names;
  Problems problems;
  std::error_code error;
  fs::recursive_directory_iterator at(folder, fs::directory_options::follow_directory_symlink,
                                      error),
      end;
  if (error)
    return Problems{at_path(folder, "the rule base cannot be opened: " + error.message(),
                            "the path of a folder of rules, by --rules or PERREV_RULES")};
  for (; !error && at != end; at.increment(error)) {
    const fs::path& path = at->path();
    const std::string name = path.lexically_relative(folder).generic_string();
    std::error_code unknown;
    if (name == "schema" && at->is_directory(unknown)) {
      at.disable_recursion_pending();
    } else if (path.extension() == ".yml") {
      problems.push_back(
          at_path(path.generic_string(), "a rule file ends in .yaml", "another name"));
    } else if (path.extension() == ".yaml") {
      if (at->is_regular_file(unknown))
        names.push_back(name);
      else
        problems.push_back(
            at_path(path.generic_string(), "is no readable file", "a file, or another name"));
    }
  }
  if (error)
    problems.push_back(at_path(folder, "the rule base cannot be read: " + error.message(),
                               "folders that can be read, and no link that leads back to itself"));
  if (!problems.empty()) return problems;
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<SourceFile> read_each(const std::string& folder, const std::vector<std::string>& names,
                                  const OtherFiles& others, Problems& problems) {
  std::vector<SourceFile> files;
  for (const std::string& name : names) {
    const auto other = others.find(name);
    const std::string path =
        other == others.end() ? (fs::path(folder) / name).generic_string() : other->second;
    auto text = read_file(path, kLargestText);
    if (!text)
      problems.push_back(text.error());
    else
      files.push_back({name, path, std::move(text).value()});
  }
  return files;
}

std::vector<ParsedFile> parse_side_by_side(std::vector<SourceFile> files) {
  std::vector<std::optional<ParsedFile>> parsed(files.size());
  side_by_side(files.size(), [&](std::size_t i) { parsed[i] = parse_file(std::move(files[i])); });
  std::vector<ParsedFile> all;
  for (auto& file : parsed) all.push_back(std::move(*file));
  return all;
}

}  // namespace

// The largest first, so that all workers end at about the same time.
std::vector<ParsedFile> parsed_files(std::vector<SourceFile> files) {
  std::sort(files.begin(), files.end(), [](const SourceFile& a, const SourceFile& b) {
    return a.text.size() != b.text.size() ? a.text.size() > b.text.size() : a.name < b.name;
  });
  std::vector<ParsedFile> parsed;
  if (auto trees = kept_trees(files)) {
    for (std::size_t i = 0; i < files.size(); ++i)
      parsed.push_back(ParsedFile{std::move(files[i]), std::move((*trees)[i])});
  } else {
    parsed = parse_side_by_side(std::move(files));
    keep_trees(parsed);
  }
  return parsed;
}

Result<std::vector<SourceFile>, Problems> rule_texts(const std::string& folder,
                                                     const OtherFiles& others) {
  auto found = yaml_files(folder);
  if (!found) return found.error();
  std::vector<std::string> names = std::move(found).value();
  for (const auto& other : others)
    if (std::find(names.begin(), names.end(), other.first) == names.end())
      names.push_back(other.first);
  Problems problems;
  std::vector<SourceFile> files = read_each(folder, names, others, problems);
  if (!problems.empty()) return problems;
  return files;
}

Result<std::vector<ParsedFile>, Problems> parsed_rules(const std::string& folder,
                                                       const OtherFiles& others) {
  auto files = rule_texts(folder, others);
  if (!files) return files.error();
  return parsed_files(std::move(files).value());
}

Result<RuleBase, Problems> load_rules(const std::string& folder, const OtherFiles& others) {
  auto parsed = parsed_rules(folder, others);
  if (!parsed) return parsed.error();
  return build_rule_base(std::move(parsed).value());
}

}  // namespace perrev
