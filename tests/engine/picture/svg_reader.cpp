#include "tests/engine/picture/svg_reader.h"

#include <doctest/doctest.h>

#include <cstddef>
#include <sstream>

namespace perrev::test {

namespace {

// Entities resolved; nothing where there is a control byte or a bare "<" or "&".
std::optional<std::string> plain(std::string xml) {
  for (const char c : xml) {
    if (c == '<' || (static_cast<unsigned char>(c) < 0x20 && c != '\n')) return std::nullopt;
  }
  const std::map<std::string, std::string> known = {{"&lt;", "<"}, {"&gt;", ">"}, {"&amp;", "&"}};
  for (std::size_t at = xml.find('&'); at != std::string::npos; at = xml.find('&', at + 1)) {
    const auto entity = known.find(xml.substr(at, xml.find(';', at) - at + 1));
    if (entity == known.end()) return std::nullopt;
    xml.replace(at, entity->first.size(), entity->second);
  }
  return xml;
}

}  // namespace

std::optional<std::vector<Element>> read_svg(const std::string& svg) {
  std::vector<Element> out;
  std::vector<std::size_t> open;
  std::size_t at = 0, tag = 0;
  for (; (tag = svg.find('<', at)) != std::string::npos; at = svg.find('>', tag) + 1) {
    const auto text = plain(svg.substr(at, tag - at));
    const std::size_t end = svg.find('>', tag);
    if (!text || end == std::string::npos || (open.empty() && !text->empty())) return std::nullopt;
    if (!open.empty()) out[open.back()].text += *text;
    std::string inside = svg.substr(tag + 1, end - tag - 1);
    if (inside[0] == '/') {
      if (open.empty() || inside.substr(1) != out[open.back()].name) return std::nullopt;
      open.pop_back();
      continue;
    }
    if (open.empty() && !out.empty()) return std::nullopt;
    inside.back() == '/' ? inside.pop_back() : open.push_back(out.size());
    std::size_t blank = inside.find(' ');
    out.push_back({inside.substr(0, blank), {}, ""});
    while (blank != std::string::npos) {
      const std::size_t from = inside.find("=\"", blank), to = inside.find('"', from + 2);
      if (from == std::string::npos || to == std::string::npos) return std::nullopt;
      const auto value = plain(inside.substr(from + 2, to - from - 2));
      const std::string key = inside.substr(blank + 1, from - blank - 1);
      if (!value || !out.back().attributes.emplace(key, *value).second) return std::nullopt;
      blank = to + 1 < inside.size() ? to + 1 : std::string::npos;
      if (blank != std::string::npos && inside[blank] != ' ') return std::nullopt;
    }
  }
  if (!open.empty() || out.empty() || svg.substr(at) != "\n") return std::nullopt;
  return out;
}

std::vector<Element> all_of(const std::string& svg, const std::string& kind) {
  auto elements = read_svg(svg);
  REQUIRE_MESSAGE(elements.has_value(), svg);
  std::erase_if(*elements,
                [&](const Element& each) { return !kind.empty() && each.at("class") != kind; });
  return *elements;
}

std::string texts_of(const std::string& svg, const std::string& kind) {
  std::string out;
  for (const Element& each : all_of(svg, kind)) out += "[" + each.text + "]";
  return out;
}

std::vector<Pixel> starts_of(const std::string& svg, const std::string& kind) {
  std::vector<Pixel> out;
  for (const Element& each : all_of(svg, kind)) {
    const std::string d = each.at("d");
    for (std::size_t at = d.find('M'); at != std::string::npos; at = d.find('M', at + 1)) {
      out.emplace_back();
      std::istringstream(d.substr(at + 1)) >> out.back().x >> out.back().y;
    }
  }
  return out;
}

void check_leans_on_nothing(const std::string& svg) {
  for (const char* word : {"<script", " id=", "url(", "href", "@import", "@font-face", "on="}) {
    CAPTURE(word);
    CHECK(svg.find(word) == std::string::npos);
  }
}

}  // namespace perrev::test
