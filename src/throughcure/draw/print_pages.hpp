// A print laid out on pages: lines, tables, pictures from top to bottom, each page with its head, number and foot.
#pragma once

#include <vector>

#include "throughcure/draw/paint_pdf.hpp"
#include "throughcure/draw/print_matter.hpp"

namespace throughcure::draw {

constexpr double kPrintMargin_mm = 15;  // left and right

struct LaidOut {
  std::vector<Picture> pages;  ///< one at least
  std::vector<Chapter> chapters;
};

/// All words lie inside the page and none over another, however long: a cell's words break into lines, and one that
/// would not fit a page ends in an ellipsis. Throws base::Failure where a row has not as many cells as there are
/// columns.
LaidOut laid_out(const Matter& matter);

/// A mark moved by so much.
Mark moved(Mark mark, double right_mm, double down_mm);

}  // namespace throughcure::draw
