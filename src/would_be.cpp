#include "src/would_be.h"

#include <algorithm>
#include <set>
#include <utility>

#include "engine/bench/findings.h"
#include "engine/bench/new_text.h"
#include "src/rules.h"

namespace perrev {

namespace {

std::vector<std::string> files_of(const std::vector<Insertion>& insertions) {
  std::vector<std::string> out;
  for (const Insertion& each : insertions)
    if (std::find(out.begin(), out.end(), each.file) == out.end()) out.push_back(each.file);
  return out;
}

}  // namespace

Result<WouldBe, Problems> WouldBe::open(const std::string& folder) {
  auto files = parsed_rules(folder);
  if (!files) return files.error();
  auto base = build_rule_base(*files);
  if (!base) return base.error();
  std::string plain = folder;
  while (plain.size() > 1 && plain.back() == '/') plain.pop_back();
  return WouldBe(plain, std::move(files).value(), std::move(base).value());
}

Problems WouldBe::add(const std::vector<NewThing>& things) {
  std::vector<NewThing> all = things_;
  all.insert(all.end(), things.begin(), things.end());
  auto insertions = insertions_for(all, files_);
  if (!insertions) return insertions.error();
  std::vector<ParsedFile> would_be = files_;
  for (const std::string& name : files_of(*insertions)) {
    const ParsedFile* before = file_named(files_, name);
    ParsedFile after = parse_file(
        {name, shown(name),
         with_insertions(name, before ? before->source.text : std::string(), *insertions)});
    if (!after.tree) return after.tree.error();
    if (!kept(name, before ? *before->tree : YamlNode(), *after.tree, all, files_))
      return {Problem{{shown(name), 0, 0, {}},
                      "the file is written in a way that nothing can be put into by itself",
                      "write it there by hand",
                      {}}};
    const auto there = std::find_if(would_be.begin(), would_be.end(), [&](const ParsedFile& file) {
      return file.source.name == name;
    });
    if (there == would_be.end())
      would_be.push_back(std::move(after));
    else
      *there = std::move(after);
  }
  auto base = build_rule_base(would_be);
  if (!base) return base.error();
  things_ = std::move(all);
  insertions_ = std::move(insertions).value();
  would_be_ = std::move(would_be);
  base_ = std::move(base).value();
  return {};
}

std::string WouldBe::listing() const {
  std::string out;
  for (const std::string& name : files_of(insertions_)) {
    const ParsedFile* before = file_named(files_, name);
    out += perrev::listing(name, shown(name), before ? before->source.text : std::string(),
                           insertions_);
  }
  return out;
}

std::vector<Finding> WouldBe::new_findings() const {
  const auto before = build_rule_base(files_);
  std::multiset<std::pair<std::string, std::string>> known;
  for (const Finding& each : findings(*before, files_)) known.emplace(each.id, each.what);
  std::vector<Finding> out;
  for (const Finding& each : findings(base_, would_be_)) {
    const auto old = known.find({each.id, each.what});
    if (old != known.end())
      known.erase(old);
    else
      out.push_back(each);
  }
  return out;
}

std::vector<FileChange> WouldBe::changes() const {
  std::vector<FileChange> out;
  for (const std::string& name : files_of(insertions_)) {
    const ParsedFile* before = file_named(files_, name);
    FileChange change;
    change.path = link_target(shown(name));
    if (before) change.before = before->source.text;
    change.after = file_named(would_be_, name)->source.text;
    out.push_back(std::move(change));
  }
  return out;
}

}  // namespace perrev
