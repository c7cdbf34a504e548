#include "tests/engine/shipped_rules.h"

#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <utility>
#include <vector>

#include "engine/knowledge/load.h"

namespace perrev::testing {

namespace {

namespace fs = std::filesystem;

RuleBase load_shipped() {
  std::vector<SourceFile> files;
  const fs::path folder = fs::path(PERREV_SOURCE_FOLDER) / "rules";
  for (const fs::directory_entry& found : fs::recursive_directory_iterator(folder)) {
    const std::string name = found.path().lexically_relative(folder).generic_string();
    if (found.path().extension() != ".yaml" || name.rfind("schema/", 0) == 0) continue;
    std::ifstream in(found.path(), std::ios::binary);
    files.push_back({name, "rules/" + name, {std::istreambuf_iterator<char>(in), {}}});
  }
  auto loaded = load_rule_base(std::move(files));
  if (!loaded) throw std::runtime_error(loaded.error().front().text());
  return std::move(loaded).value();
}

}  // namespace

const RuleBase& shipped_rules() {
  static const RuleBase base = load_shipped();
  return base;
}

}  // namespace perrev::testing
