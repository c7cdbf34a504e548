// The steps of load.h that begin with text: no part of the engine in the page.
#include <utility>

#include "engine/knowledge/load.h"
#include "engine/knowledge/yaml_parse.h"

namespace perrev {

ParsedFile parse_file(SourceFile source) {
  auto tree = parse_yaml(source.shown, source.text);
  return ParsedFile{std::move(source), std::move(tree)};
}

Result<RuleBase, Problems> load_rule_base(std::vector<SourceFile> files) {
  std::vector<ParsedFile> parsed;
  for (SourceFile& file : files) parsed.push_back(parse_file(std::move(file)));
  return build_rule_base(std::move(parsed));
}

}  // namespace perrev
