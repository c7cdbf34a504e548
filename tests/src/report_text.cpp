#include "tests/src/report_text.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <set>

namespace perrev::test {

namespace {

std::string name_in(const std::string& tag) {
  const std::size_t first = tag[0] == '/' ? 1 : 0;
  return tag.substr(first, tag.find_first_of(" /", first) - first);
}

bool ends_line(const std::string& tag) {
  static const std::set<std::string> inside = {"span", "strong", "em",  "code", "td",
                                               "th",   "dt",     "svg", "rect", "img"};
  return inside.count(name_in(tag)) == 0;
}

std::string decoded(const std::string& entity) {
  if (entity == "amp") return "&";
  if (entity == "lt") return "<";
  if (entity == "gt") return ">";
  if (entity == "quot") return "\"";
  return entity == "#39" ? "'" : "&" + entity + ";";
}

// name="value" pairs of a tag; what does not read so is told whole.
std::vector<std::pair<std::string, std::string>> attributes_of(const std::string& tag) {
  std::vector<std::pair<std::string, std::string>> out;
  std::size_t at = tag.find(' ');
  while (at != std::string::npos && tag.find_first_not_of(" /", at) != std::string::npos) {
    const std::size_t begin = tag.find_first_not_of(' ', at), equals = tag.find("=\"", begin);
    const std::size_t end = equals == std::string::npos ? equals : tag.find('"', equals + 2);
    if (end == std::string::npos) {
      out.emplace_back(tag.substr(begin), "");
      break;
    }
    out.emplace_back(tag.substr(begin, equals - begin), tag.substr(equals + 2, end - equals - 2));
    at = tag.find_first_not_of(' ', end + 1) == std::string::npos ? std::string::npos : end + 1;
  }
  return out;
}

double channel(const std::string& colour, std::size_t at) {
  const double c = std::stoi(colour.substr(at, 2), nullptr, 16) / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

double luminance(const std::string& colour) {
  return 0.2126 * channel(colour, 1) + 0.7152 * channel(colour, 3) + 0.0722 * channel(colour, 5);
}

}  // namespace

std::string text_of_html(const std::string& html) {
  std::string out;
  const auto blank = [&](char c) {
    if (out.empty() || out.back() == '\n') return;
    if (out.back() == ' ') out.pop_back();
    out += c;
  };
  for (std::size_t at = 0; at < html.size(); ++at) {
    const char c = html[at];
    if (c == '<') {
      const std::size_t end = html.find('>', at);
      const std::string tag = html.substr(at + 1, end - at - 1);
      const std::string name = name_in(tag);
      if (ends_line(tag))
        blank('\n');
      else if (name == "td" || name == "th" || name == "dt")
        blank(' ');
      at = end;
    } else if (c == '&') {
      const std::size_t end = html.find(';', at);
      out += decoded(html.substr(at + 1, end - at - 1));
      at = end;
    } else if (c == ' ' || c == '\n') {
      blank(' ');
    } else {
      out += c;
    }
  }
  return out;
}

std::vector<std::string> html_faults(const std::string& html) {
  static const std::set<std::string> elements = {
      "article",    "header", "footer",     "section", "h1",    "h2",  "h3",  "p",
      "ul",         "ol",     "li",         "dl",      "dt",    "dd",  "div", "span",
      "strong",     "code",   "table",      "thead",   "tbody", "tr",  "th",  "td",
      "blockquote", "figure", "figcaption", "img",     "svg",   "rect"};
  static const std::set<std::string> attributes = {"class",       "scope",   "alt",
                                                   "src",         "viewBox", "preserveAspectRatio",
                                                   "aria-hidden", "width",   "height"};
  std::vector<std::string> faults, open;
  for (std::size_t at = html.find('<'); at != std::string::npos; at = html.find('<', at + 1)) {
    const std::size_t end = html.find('>', at);
    const std::string tag = html.substr(at + 1, end - at - 1), name = name_in(tag);
    if (elements.count(name) == 0) faults.push_back("element " + name);
    for (const auto& one : attributes_of(tag)) {
      if (attributes.count(one.first) == 0) faults.push_back("attribute " + one.first);
      if (one.first == "src" && one.second.rfind("data:image/", 0) != 0)
        faults.push_back("source " + one.second);
    }
    if (tag[0] == '/') {
      if (open.empty() || open.back() != name)
        faults.push_back("end of " + name);
      else
        open.pop_back();
    } else if (tag.back() != '/' && name != "img") {
      open.push_back(name);
    }
  }
  for (const std::string& name : open) faults.push_back("not closed: " + name);
  return faults;
}

double contrast(const std::string& one, const std::string& other) {
  const double a = luminance(one), b = luminance(other);
  return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

}  // namespace perrev::test
