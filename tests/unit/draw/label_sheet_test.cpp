// Labels lie inside their cut marks, whatever they say. No outside source: our own contract.
#include "throughcure/draw/label_sheet.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "support/picture_marks.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/draw/type_setter.hpp"

namespace throughcure::draw {
namespace {

using tests::all;

Label label(const std::string& name, std::size_t side = 33) {
  return {.name = name,
          .serial = "K-1042",
          .place = "Room 1, Harbour street",
          .address = "https://desk.local:8420/check?light=1",
          .side = side,
          .dark = std::vector<bool>(side * side, true)};
}

TEST(LabelSheet, HoldsTwentyFourAndGoesOnOnTheNext) {
  EXPECT_EQ(label_sheets({}, "note").size(), 1U);
  EXPECT_EQ(label_sheets(std::vector(24, label("Lamp")), "").size(), 1U);
  const auto sheets = label_sheets(std::vector(25, label("Lamp")), "");
  ASSERT_EQ(sheets.size(), 2U);
  EXPECT_EQ(all<Polygon>(sheets[0]).size(), 24U * 33);
  EXPECT_EQ(all<Polygon>(sheets[1]).size(), 33U);
}

TEST(LabelSheet, WordsStayOnTheirLabelHoweverLong) {
  const TypeSetter type;
  for (const std::string& words : {std::string(80, 'W'), std::string("W \xC3\x84rger ") + std::string(400, 'm'),
                                   std::string("two\nlines\nand\nmore\nof\nthem"), std::string()}) {
    Label one = label(words);
    one.serial = words;
    one.place = words;
    one.address = "https://" + words;
    const Picture sheet = label_sheets({one}, "").at(0);
    const std::vector<Text> texts = all<Text>(sheet);
    for (std::size_t i = 0; i < texts.size(); ++i) {
      const Text& text = texts[i];
      EXPECT_EQ(text.words.find('\n'), std::string::npos);
      EXPECT_GE(text.at.x_mm, 15);
      EXPECT_LE(text.at.x_mm + type.width_mm(text.words, text.size_mm), 15 + kLabelWidth_mm) << text.words;
      EXPECT_LE(text.at.y_mm, 12 + kLabelHeight_mm);
      for (std::size_t j = 0; j < i; ++j) {
        const bool beside = text.at.x_mm != texts[j].at.x_mm;
        EXPECT_TRUE(beside || std::abs(text.at.y_mm - texts[j].at.y_mm) >= 0.9 * text.size_mm) << text.words;
      }
    }
  }
}

TEST(LabelSheet, ASquareTooFineForAPhoneIsRefused) {
  EXPECT_THROW(label_sheets({label("Lamp", 61)}, ""), base::Failure);
  EXPECT_THROW(label_sheets({label("Lamp", 0)}, ""), base::Failure);
}

}  // namespace
}  // namespace throughcure::draw
