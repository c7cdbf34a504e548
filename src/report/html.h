// Writes HTML whose elements are always closed and whose text is always escaped.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace perrev {

// Text for an element or a quoted attribute. Line ends and tabs become blanks; other control
// characters, broken UTF-8 and marks that turn the direction of writing become U+FFFD.
std::string escaped_html(std::string_view text);

class Html {
 public:
  // `attributes` is markup of our own (`scope="col"`), never text of a case.
  Html& open(const char* tag, std::string_view classes = {}, std::string_view attributes = {});
  Html& close();
  Html& text(std::string_view text);
  // An element with nothing but text in it.
  Html& leaf(const char* tag, std::string_view text, std::string_view classes = {},
             std::string_view attributes = {});
  Html& image(std::string_view data_uri, std::string_view alternative);
  // A share of one as a bar beside its number.
  Html& bar(double share);

  // A row of a table: the first cell heads the row.
  Html& row(const std::vector<std::string>& cells);
  Html& head_row(const std::vector<std::string>& cells);

  // All of another one, closed.
  Html& add(Html& other);

  // Closes what is open.
  std::string take();

 private:
  void begin(const char* tag, std::string_view classes, std::string_view attributes);
  void end(const char* tag);

  std::string out_;
  std::vector<const char*> open_;
};

}  // namespace perrev
