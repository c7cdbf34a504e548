// What the writers of pictures share: letters made safe for XML, words and the room they take,
// numbers of pixels, and the whole document with its style sheet.
//
// Inside the pictures only: plot.h and dial.h say what holds for what comes out. Units: CSS pixels.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace perrev::svg {

inline constexpr double kLargest = 1e100, kSmallest = 1e-100;  // between them powers stay finite
inline constexpr double kSize = 12.0, kTitleSize = 16.0;       // the title has 15, but is bold
inline constexpr double kRow = 18.0, kGap = 8.0;  // from line to line, between what must not touch
inline constexpr double kSample = 32.0;           // width of a sample in the legend

std::string escaped(std::string_view text);

// Letters beyond the European scripts count as wide as they are high.
double width_of(std::string_view text, double size = kSize);
// Cut at blanks into lines no wider than that, as far as words allow.
std::vector<std::string> lines_of(std::string_view text, double width, double size = kSize);

std::string px(double value);
std::string px(double x, double y);

// A path of that class; nothing where there is nothing to draw.
std::string path(const std::string& kind, const std::string& d);
// A circle round the place that the path has come to.
std::string circle(double radius);
// The body in the colour and dash of the series with that number, or grey for a reference.
std::string dressed(std::size_t own, bool reference, const std::string& body);

struct Box {
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
  bool meets(const Box& other) const;
};

// Where words stand. `anchor` is where in them x is: "start", "middle", "end".
Box box_of(double x, double y, std::string_view text, const std::string& anchor = "start",
           double size = kSize);

// What is drawn so far, and the box that holds it: the picture is as large as its words need.
struct Sheet {
  std::string body;
  Box box;

  void reach(const Box& to);
  void write(const std::string& kind, double x, double y, const std::string& text,
             const std::string& anchor = "start");
  // Upwards, centred on y.
  void write_upright(double x, double y, const std::string& text);
};

// The whole document, with a little room round the sheet.
std::string document(const std::string& title, const std::string& summary, const Sheet& sheet);

}  // namespace perrev::svg
