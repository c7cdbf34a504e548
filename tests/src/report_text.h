// Reads reports as a test must: what a reader would read, and whether the HTML is sound.
#pragma once

#include <string>
#include <vector>

namespace perrev::test {

// Text without tags, blanks run together, a line a block.
std::string text_of_html(const std::string& html);

// Elements that are not closed in order, elements and attributes that a report has no business
// with. Empty where all is well.
std::vector<std::string> html_faults(const std::string& html);

// Of two colours "#rrggbb" as WCAG 2.2 defines it, 1 to 21.
double contrast(const std::string& one, const std::string& other);

}  // namespace perrev::test
