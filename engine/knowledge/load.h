// Loading a rule base from (name, text) pairs. Finds every error of every file that parses.
//
// Parsing one file and building the whole are separate steps, so that a caller with threads can
// parse files side by side; the engine itself has none. A name tells what a file is: facts.yaml,
// limits.yaml, strengths.yaml, families.yaml, shop.yaml, checks.yaml, path.yaml, repairs.yaml,
// causes/*.yaml and evidence/*.yaml; flow_chart.yaml, phrases.yaml and physics.yaml may be missing.
#pragma once

#include <string>
#include <vector>

#include "engine/knowledge/rule_base.h"
#include "engine/knowledge/yaml_tree.h"
#include "engine/result.h"

namespace perrev {

struct SourceFile {
  std::string name;   // relative to the rule base: "causes/wheel.yaml"
  std::string shown;  // how problems name it: "rules/causes/wheel.yaml"
  std::string text;
};

struct ParsedFile {
  SourceFile source;
  Result<YamlNode, Problems> tree;
};

ParsedFile parse_file(SourceFile source);

// The order of `files` does not matter. `digest` is what it was of their texts, where these are no
// longer at hand.
Result<RuleBase, Problems> build_rule_base(std::vector<ParsedFile> files, std::string digest = {});

Result<RuleBase, Problems> load_rule_base(std::vector<SourceFile> files);

}  // namespace perrev
