// The one writer of round pictures: vectors round a turn in, the text of an SVG picture out.
//
// A dial is what the end of a shaft or the side of a wheel looks like with the mark (the valve, a
// chalk line) at the top: rings of round amounts, degrees and clock positions at the rim,
// clockwise, and arrows from the centre or from one another's tips. Arrows carry numbers at their
// tips; the legend below says what they are.
//
// The text is a picture of the kind that plot.h describes: it stands alone or in a page, has the
// same style sheet, colours for light and dark, title and summary for who can't see it, and its
// invariants 1, 2 and 6 hold here too. And:
//  1. Every tip is drawn where amount and angle say, or the arrow is not drawn at all: one that is
//     not finite or beyond 1e100, or that begins at one that is not drawn, or at itself in the end.
//  2. All tips and circles of uncertainty are within the rim, which is a round amount.
//  3. Arrows differ in dash as well as colour, no two of the first thirty look alike, and each has
//     the number that its line in the legend has.
//  4. No number or label of a ring meets another, as far as the width of letters can be told
//     without a font.
//
// Units: amounts as the caller's, angles in radians; sizes are CSS pixels. Nothing is an error: a
// dial with no arrows but references says "no data".
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace perrev {

struct DialArrow {
  std::string name = {};   // in the legend; empty: neither there nor numbered
  double amount = 0.0;     // below zero: the other way
  double angle = 0.0;      // clockwise from the mark at the top
  bool reference = false;  // something to compare with: thin, grey, takes no colour of its own
  std::string note = {};   // behind the name in the legend, such as "0.8 mm at 40 deg"
  std::optional<std::size_t> from = {};  // begins at the tip of that arrow: sums and differences
  double half_width = 0.0;               // of the 95 % circle round the tip, in units of amount
};

struct Dial {
  std::string title;           // also the picture's accessible name
  std::string summary;         // for who can't see it; empty: made of the arrows
  std::string unit;            // behind the amount of the rim
  std::string mark = "valve";  // what stands at the top
  std::vector<DialArrow> arrows;
  double width = 360.0;  // with the words at the rim; 160 to 4000
};

std::string svg_of(const Dial& dial);

}  // namespace perrev
