// What stands in an SVG that the writers of pictures wrote.
#pragma once

#include <locale>
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

// Those of that class, or all; the test ends where the picture is not well-formed.
std::vector<Element> all_of(const std::string& svg, const std::string& kind = "");
// Their words, each in square brackets.
std::string texts_of(const std::string& svg, const std::string& kind);

struct Pixel {
  double x = 0.0, y = 0.0;
};
// Where each "M x y" of the paths of this kind stands.
std::vector<Pixel> starts_of(const std::string& svg, const std::string& kind);

// No program that runs, nothing fetched, no name that could meet another one's in a page.
void check_leans_on_nothing(const std::string& svg);

class DecimalComma : public std::numpunct<char> {
  char do_decimal_point() const override { return ','; }
};

}  // namespace perrev::test
