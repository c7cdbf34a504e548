// What stands in an SVG that the plot writer wrote.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace perrev::test {

struct Element {
  std::string name;
  std::map<std::string, std::string> attributes;
  std::string text;
  std::string at(const std::string& key) const {
    return attributes.count(key) > 0 ? attributes.at(key) : "";
  }
  double number(const std::string& key) const { return std::stod(at(key)); }
};

// The elements in document order; nothing where the text is not well-formed: tags that do not
// match, attributes without quotes or twice, bare signs, control bytes, more than one root.
std::optional<std::vector<Element>> read_svg(const std::string& svg);

}  // namespace perrev::test
