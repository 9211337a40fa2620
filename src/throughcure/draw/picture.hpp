// A picture as a list of strokes, polygons, rasters, shadings and texts in millimetres:
// cairo and the page paint the same list.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <variant>
#include <vector>

namespace throughcure::draw {

/// sRGB, 0..255 each; `alpha` 255 is opaque.
struct Colour {
  std::uint8_t red = 0;
  std::uint8_t green = 0;
  std::uint8_t blue = 0;
  std::uint8_t alpha = 255;

  constexpr bool operator==(const Colour&) const = default;
};

/// A place on the sheet [mm]: x to the right, y downwards, from its top left
/// corner.
struct Place {
  double x_mm = 0;
  double y_mm = 0;

  constexpr bool operator==(const Place&) const = default;
};
using Line = std::vector<Place>;

/// A line along its places, with round ends and corners.
struct Stroke {
  Line line;
  bool closed = false;
  double width_mm = 0.2;
  Colour colour;
  std::vector<double> dashes_mm{};  ///< drawn and left out in turn; empty for a full line
};

/// An area between one or more closed lines; where they overlap it is a hole
/// (even and odd).
struct Polygon {
  std::vector<Line> rings;
  Colour colour;
};

/// A field of colours, row by row from the top left, smooth between the pixels'
/// middles.
struct Raster {
  Place top_left;
  double width_mm = 0;
  double height_mm = 0;
  std::size_t columns = 0;
  std::size_t rows = 0;
  std::vector<Colour> colour;  ///< columns x rows
  Line clip{};                 ///< only what lies inside this closed line is seen; empty for all
};

/// Areas painted one over another, seen only inside `clip` (even and odd): a field in steps too fine to be told apart,
/// with sharp edges at any size.
struct Shading {
  std::vector<Line> clip;
  std::vector<Polygon> areas;
};

enum class Align : std::uint8_t { kStart, kMiddle, kEnd };

/// One line of words.
struct Text {
  Place at;  ///< on the base line, at the start, middle or end of the words
  std::string words;
  double size_mm = 3;  ///< of the type
  Colour colour;
  Align align = Align::kStart;
  double turn_rad = 0;      ///< about `at`, clockwise as one looks at the sheet
  Colour halo{0, 0, 0, 0};  ///< a rim about the letters that lifts them off what
                            ///< lies below; none where alpha is 0
};

using Mark = std::variant<Stroke, Polygon, Raster, Shading, Text>;

/// A sheet and what lies on it, the first undermost.
struct Picture {
  double width_mm = 0;
  double height_mm = 0;
  Colour paper{251, 250, 246};
  std::vector<Mark> marks;
  std::string description;  ///< the same in words, for who cannot see it
};

/// Paper and ink, the same as on the page.
inline constexpr Colour kPaper{251, 250, 246};
inline constexpr Colour kInk{29, 31, 36};
inline constexpr Colour kFaintInk{86, 90, 99};
inline constexpr Colour kWhite{255, 255, 255};

/// A circle as a closed line of so many corners that nobody sees them (within a
/// hundredth of a millimetre).
Line circle(Place middle, double radius_mm);

}  // namespace throughcure::draw
