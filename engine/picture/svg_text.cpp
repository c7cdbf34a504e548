#include "engine/picture/svg_text.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "engine/quantity/quantity.h"
#include "engine/quantity/text.h"

namespace perrev::svg {

namespace {

constexpr double kLetter = 0.62;  // em; the mean letter of a wide common sans serif

// Colours have a contrast of 4.5 to their paper and more (WCAG 2.1, 1.4.3). Programs that know no
// `prefers-color-scheme` show the light ones.
constexpr std::string_view kStyle = R"(<style>
.perrev-plot{max-width:100%;height:auto;font:12px system-ui,sans-serif;color:#1f2328}
.perrev-plot text,.perrev-plot .dots,.perrev-plot .head{fill:currentColor}
.perrev-plot .title{font-size:15px;font-weight:600}
.perrev-plot .note{font-size:11px} .perrev-plot .number{font-weight:600}
.perrev-plot .note,.perrev-plot .number,.perrev-plot .ring{
stroke:#fff;stroke-width:3px;paint-order:stroke}
.perrev-plot path{fill:none;stroke:currentColor;stroke-width:1.7px;stroke-linejoin:round}
.perrev-plot .paper{fill:#fff;stroke:none} .perrev-plot .line{stroke-linecap:round}
.perrev-plot .grid{stroke-width:1px;stroke-opacity:.14}
.perrev-plot .frame{stroke-width:1px;stroke-opacity:.6}
.perrev-plot .mark{stroke-width:1px;stroke-dasharray:3 3;stroke-opacity:.75}
.perrev-plot .across,.perrev-plot .halo{stroke-width:1.2px;stroke-dasharray:6 8}
.perrev-plot .halo{stroke-width:3.6px;stroke:#fff}
.perrev-plot .bars{stroke-width:1.5px;fill:currentColor;fill-opacity:.25}
.perrev-plot .dots,.perrev-plot .whiskers{stroke-width:1.5px;stroke-dasharray:none}
.perrev-plot .head{stroke:none}
.perrev-plot .heat{color:#08306b} .perrev-plot .heat path{stroke-width:inherit}
.perrev-plot .heat .unknown{color:#656d76;stroke-opacity:.45;stroke-dasharray:1 5;
shape-rendering:auto}
.perrev-plot .spread{stroke-width:1px;stroke-opacity:.5;fill:currentColor;fill-opacity:.13}
.perrev-plot .c0{color:#0b5cad} .perrev-plot .c1{color:#b93a06} .perrev-plot .c2{color:#12703a}
.perrev-plot .c3{color:#7e22ce} .perrev-plot .c4{color:#8a5a00}
.perrev-plot .reference{color:#656d76} .perrev-plot .reference .line{stroke-width:1px}
@media (prefers-color-scheme:dark){
.perrev-plot{color:#e6e8eb} .perrev-plot .paper{fill:#16191d}
.perrev-plot .note,.perrev-plot .number,.perrev-plot .ring,.perrev-plot .halo{stroke:#16191d}
.perrev-plot .c0{color:#6cb6ff} .perrev-plot .c1{color:#ff9e64} .perrev-plot .c2{color:#5fd38d}
.perrev-plot .c3{color:#d2a8ff} .perrev-plot .c4{color:#e3c04f}
.perrev-plot .reference{color:#98a1ab}
.perrev-plot .heat{color:#b9dcff} .perrev-plot .heat .unknown{color:#98a1ab}
}
</style>
)";

// There is one colour less than dashes, so that 30 series pass before two are alike.
constexpr std::array kDashes = {"none", "9 5", "1 5", "12 4 1 4", "20 6", "9 4 1 4 1 4"};

// The character at `at` as XML, moving past it; "?" for what is not UTF-8 or not allowed in XML.
std::string next_letter(std::string_view text, std::size_t& at) {
  const auto byte = [text](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const std::size_t start = at++, most = byte(start) < 0xC0 ? 1 : 4;
  while (at < text.size() && at < start + most && (byte(at) & 0xC0) == 0x80) ++at;
  const std::string_view letter = text.substr(start, at - start);
  if (letter == "&") return "&amp;";
  if (letter == "<") return "&lt;";
  if (letter == ">") return "&gt;";
  if (letter == "\xEF\xBF\xBE" || letter == "\xEF\xBF\xBF") return "?";
  const std::string safe = quoted(letter);
  return safe.substr(1, safe.size() - 2);
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) out += next_letter(text, at);
  return out;
}

double width_of(std::string_view text, double size) {
  double em = 0.0;
  for (std::size_t at = 0; at < text.size(); next_letter(text, at)) {
    em += static_cast<unsigned char>(text[at]) >= 0xE0 ? 1.0 : kLetter;
  }
  return em * size;
}

std::vector<std::string> lines_of(std::string_view text, double width, double size) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(' '), text.size());
    const std::string word(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
    if (word.empty()) continue;
    if (out.empty() || width_of(out.back() + " " + word, size) > width) {
      out.push_back(word);
    } else {
      out.back() += " " + word;
    }
  }
  return out;
}

std::string px(double value) { return show_number(std::round(value * 100.0) / 100.0); }
std::string px(double x, double y) { return px(x) + " " + px(y); }

std::string path(const std::string& kind, const std::string& d) {
  return d.empty() ? "" : "<path class=\"" + kind + "\" d=\"" + d + "\"/>\n";
}

std::string circle(double radius) {
  const std::string r = px(radius), arc = "a" + r + " " + r + " 0 1 0 ";
  return "m" + px(-radius, 0.0) + arc + px(2.0 * radius, 0.0) + arc + px(-2.0 * radius, 0.0) + "z";
}

std::string dressed(std::size_t own, bool reference, const std::string& body) {
  const std::string colour = reference ? "reference" : "c" + std::to_string(own % 5);
  const std::string dash = reference ? "4 3" : kDashes[own % kDashes.size()];
  return "<g class=\"" + colour + "\" stroke-dasharray=\"" + dash + "\">\n" + body + "</g>\n";
}

bool Box::meets(const Box& other) const {
  return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
}

Box box_of(double x, double y, std::string_view text, const std::string& anchor, double size) {
  const double width = width_of(text, size);
  const double start = anchor == "start" ? x : anchor == "end" ? x - width : x - width / 2.0;
  return {start, y - size, start + width, y + size / 4.0};
}

void Sheet::reach(const Box& to) {
  box = {std::min(box.left, to.left), std::min(box.top, to.top), std::max(box.right, to.right),
         std::max(box.bottom, to.bottom)};
}

void Sheet::write(const std::string& kind, double x, double y, const std::string& text,
                  const std::string& anchor) {
  if (text.empty()) return;
  reach(box_of(x, y, text, anchor, kind == "title" ? kTitleSize : kSize));
  body += "<text class=\"" + kind + "\" x=\"" + px(x) + "\" y=\"" + px(y) + "\" text-anchor=\"" +
          anchor + "\">" + escaped(text) + "</text>\n";
}

void Sheet::write_upright(double x, double y, const std::string& text) {
  if (text.empty()) return;
  const double half = width_of(text) / 2.0;
  reach({x - kSize, y - half, x, y + half});
  body += "<text class=\"axis\" transform=\"translate(" + px(x, y) +
          ") rotate(-90)\" text-anchor=\"middle\">" + escaped(text) + "</text>\n";
}

std::string document(const std::string& title, const std::string& summary, const Sheet& sheet) {
  const double left = sheet.box.left - kGap, top = sheet.box.top - kGap;
  const double width = sheet.box.right + kGap - left, height = sheet.box.bottom + kGap - top;
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"perrev-plot\" role=\"img\" width=\"" +
         px(width) + "\" height=\"" + px(height) + "\" viewBox=\"" + px(left, top) + " " +
         px(width, height) + "\">\n<title>" + escaped(title) + "</title>\n<desc>" +
         escaped(summary) + "</desc>\n" + std::string(kStyle) +
         path("paper", "M" + px(left, top) + "h" + px(width) + "v" + px(height) + "H" + px(left)) +
         sheet.body + "</svg>\n";
}

}  // namespace perrev::svg
