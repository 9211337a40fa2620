// Where the words of a laid out page lie, measured as they are painted.
#pragma once

#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "support/picture_marks.hpp"
#include "throughcure/draw/picture.hpp"
#include "throughcure/draw/type_setter.hpp"

namespace throughcure::tests {

struct LaidWords {
  std::string words;
  double left_mm = 0;
  double right_mm = 0;
  double top_mm = 0;
  double bottom_mm = 0;

  [[nodiscard]] bool meets(const LaidWords& other) const {
    return left_mm < other.right_mm && other.left_mm < right_mm && top_mm < other.bottom_mm && other.top_mm < bottom_mm;
  }
};

/// Upright words only.
inline std::vector<LaidWords> laid_words(const draw::Picture& page) {
  const draw::TypeSetter type;
  std::vector<LaidWords> found;
  for (const draw::Text& text : all<draw::Text>(page)) {
    const double wide = type.width_mm(text.words, text.size_mm);
    const double left = text.at.x_mm - (text.align == draw::Align::kStart    ? 0
                                        : text.align == draw::Align::kMiddle ? wide / 2
                                                                             : wide);
    // Heights of capitals and depths of a g in DejaVu Sans: 0.73 and 0.24 of the size.
    found.push_back(
        {text.words, left, left + wide, text.at.y_mm - 0.73 * text.size_mm, text.at.y_mm + 0.24 * text.size_mm});
  }
  return found;
}

/// No words outside the page or this far from its edge, none over others, no line break inside one.
inline void expect_tidy(const draw::Picture& page, double margin_mm = 0) {
  const std::vector<LaidWords> laid = laid_words(page);
  for (std::size_t i = 0; i < laid.size(); ++i) {
    EXPECT_GE(laid[i].left_mm, margin_mm - 0.01) << laid[i].words;
    EXPECT_GE(laid[i].top_mm, margin_mm) << laid[i].words;
    EXPECT_LE(laid[i].right_mm, page.width_mm - margin_mm + 0.05) << laid[i].words;
    EXPECT_LE(laid[i].bottom_mm, page.height_mm - margin_mm) << laid[i].words;
    EXPECT_EQ(laid[i].words.find('\n'), std::string::npos) << laid[i].words;
    for (std::size_t j = 0; j < i; ++j) {
      EXPECT_FALSE(laid[i].meets(laid[j])) << "\"" << laid[i].words << "\" over \"" << laid[j].words << "\"";
    }
  }
}

}  // namespace throughcure::tests
