#include "src/report/html.h"

#include <algorithm>
#include <cstdio>

#include "engine/quantity/text.h"

namespace perrev {

namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";  // U+FFFD

// U+0080 to U+009F are control characters; U+202A to U+202E and U+2066 to U+2069 turn the direction
// of writing (Unicode Standard Annex 9), so that text could be read in another order than written.
bool must_go(std::string_view sequence) {
  if (sequence.size() == 1)
    return static_cast<unsigned char>(sequence[0]) < 0x20 || sequence[0] == 0x7F;
  if (sequence.size() == 2)
    return sequence[0] == '\xC2' && static_cast<unsigned char>(sequence[1]) < 0xA0;
  if (sequence.size() != 3 || sequence[0] != '\xE2') return false;
  const auto last = static_cast<unsigned char>(sequence[2]);
  return (sequence[1] == '\x80' && last >= 0xAA && last <= 0xAE) ||
         (sequence[1] == '\x81' && last >= 0xA6 && last <= 0xA9);
}

void add_escaped(std::string_view sequence, std::string& out) {
  const char c = sequence.size() == 1 ? sequence[0] : 'a';
  if (c == '&')
    out += "&amp;";
  else if (c == '<')
    out += "&lt;";
  else if (c == '>')
    out += "&gt;";
  else if (c == '"')
    out += "&quot;";
  else if (c == '\'')
    out += "&#39;";
  else if (c == '\n' || c == '\t' || c == '\r')
    out += ' ';
  else
    out += must_go(sequence) ? kReplacement : sequence;
}

// Of these the end tag stands at the end of a line.
bool is_block(std::string_view tag) {
  for (const std::string_view inline_tag :
       {"span", "strong", "em", "td", "th", "dt", "code", "time"})
    if (tag == inline_tag) return false;
  return true;
}

}  // namespace

std::string escaped_html(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t length = sequence_length(text, at);
    if (length == 0)
      out += kReplacement;
    else
      add_escaped(text.substr(at, length), out);
    at += std::max<std::size_t>(length, 1);
  }
  return out;
}

void Html::begin(const char* tag, std::string_view classes, std::string_view attributes) {
  out_ += std::string("<") + tag;
  if (!classes.empty()) out_ += " class=\"" + std::string(classes) + "\"";
  if (!attributes.empty()) out_ += " " + std::string(attributes);
  out_ += '>';
}

void Html::end(const char* tag) {
  out_ += std::string("</") + tag + ">";
  if (is_block(tag)) out_ += '\n';
}

Html& Html::open(const char* tag, std::string_view classes, std::string_view attributes) {
  begin(tag, classes, attributes);
  open_.push_back(tag);
  return *this;
}

Html& Html::close() {
  end(open_.back());
  open_.pop_back();
  return *this;
}

Html& Html::text(std::string_view text) {
  out_ += escaped_html(text);
  return *this;
}

Html& Html::leaf(const char* tag, std::string_view words, std::string_view classes,
                 std::string_view attributes) {
  begin(tag, classes, attributes);
  text(words);
  end(tag);
  return *this;
}

Html& Html::image(std::string_view data_uri, std::string_view alternative) {
  out_ +=
      "<img src=\"" + escaped_html(data_uri) + "\" alt=\"" + escaped_html(alternative) + "\">\n";
  return *this;
}

Html& Html::bar(double share) {
  char width[32];
  std::snprintf(width, sizeof width, "%.1f", 100.0 * std::clamp(share, 0.0, 1.0));
  out_ +=
      "<svg class=\"bar\" viewBox=\"0 0 100 10\" preserveAspectRatio=\"none\" aria-hidden=\"true\">"
      "<rect class=\"all\" width=\"100\" height=\"10\"/><rect class=\"part\" width=\"" +
      std::string(width) + "\" height=\"10\"/></svg>";
  return *this;
}

Html& Html::row(const std::vector<std::string>& cells) {
  open("tr");
  for (std::size_t i = 0; i < cells.size(); ++i)
    leaf(i == 0 ? "th" : "td", cells[i], {}, i == 0 ? "scope=\"row\"" : "");
  return close();
}

Html& Html::head_row(const std::vector<std::string>& cells) {
  open("thead").open("tr");
  for (const std::string& cell : cells) leaf("th", cell, {}, "scope=\"col\"");
  return close().close();
}

Html& Html::add(Html& other) {
  out_ += other.take();
  return *this;
}

std::string Html::take() {
  while (!open_.empty()) close();
  return std::move(out_);
}

}  // namespace perrev
