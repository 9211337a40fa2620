// What is painted is what the list says: read back pixel by pixel.
#include "throughcure/draw/paint_png.hpp"

#include <array>
#include <cstring>
#include <stdexcept>
#include <vector>

#include <gtest/gtest.h>
#include <png.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::draw {
namespace {

struct Pixels {
  std::size_t width = 0;
  std::size_t height = 0;
  std::vector<std::uint8_t> rgb;

  [[nodiscard]] Colour at(std::size_t x, std::size_t y) const {
    const std::uint8_t* p = &rgb[3 * (y * width + x)];
    return {p[0], p[1], p[2]};
  }
};

Pixels read_back(const std::string& bytes) {
  png_image image{};
  image.version = PNG_IMAGE_VERSION;
  const auto insist = [&](int fine) {
    if (fine == 0) throw std::runtime_error(image.message);
  };
  insist(png_image_begin_read_from_memory(&image, bytes.data(), bytes.size()));
  image.format = PNG_FORMAT_RGB;
  Pixels out{image.width, image.height, std::vector<std::uint8_t>(PNG_IMAGE_SIZE(image))};
  insist(png_image_finish_read(&image, nullptr, out.rgb.data(), 0, nullptr));
  return out;
}

constexpr Colour kRed{200, 10, 20};
constexpr Colour kGreen{10, 180, 30};

Picture sheet(std::vector<Mark> marks) {
  return {.width_mm = 10, .height_mm = 5, .marks = std::move(marks), .description = {}};
}

std::size_t not_paper(const Pixels& pixels) {
  std::size_t count = 0;
  for (std::size_t y = 0; y < pixels.height; ++y) {
    for (std::size_t x = 0; x < pixels.width; ++x) count += pixels.at(x, y) == kPaper ? 0U : 1U;
  }
  return count;
}

TEST(PaintPng, AnEmptySheetIsPaperUpToItsLastPixel) {
  const Pixels p = read_back(paint_png(sheet({}), 10.13));
  EXPECT_EQ(p.width, 102U);
  EXPECT_EQ(p.height, 51U);
  EXPECT_EQ(not_paper(p), 0U);
}

TEST(PaintPng, APolygonWithAHole) {
  const Line outer{{1, 1}, {9, 1}, {9, 4}, {1, 4}};
  const Line hole{{4, 2}, {6, 2}, {6, 3}, {4, 3}};
  const Pixels p = read_back(paint_png(sheet({Polygon{{outer, hole}, kRed}}), 10));
  EXPECT_EQ(p.at(20, 20), kRed);
  EXPECT_EQ(p.at(50, 25), kPaper);
  EXPECT_EQ(p.at(5, 5), kPaper);
  EXPECT_EQ(not_paper(p), 80U * 30 - 20 * 10);
}

TEST(PaintPng, AStrokeHasItsWidthAndLiesOnWhatCameBefore) {
  const Pixels p = read_back(paint_png(sheet({Polygon{{{{0, 0}, {10, 0}, {10, 5}, {0, 5}}}, kGreen},
                                              Stroke{.line = {{0, 2.5}, {10, 2.5}}, .width_mm = 1, .colour = kRed}}),
                                       10));
  EXPECT_EQ(p.at(50, 19), kGreen);
  EXPECT_EQ(p.at(50, 20), kRed);
  EXPECT_EQ(p.at(50, 29), kRed);
  EXPECT_EQ(p.at(50, 30), kGreen);
}

TEST(PaintPng, ARasterKeepsItsPixelsInPlaceAndInsideItsClip) {
  const Raster raster{
      .top_left = {2, 1}, .width_mm = 4, .height_mm = 2, .columns = 2, .rows = 1, .colour = {kRed, kGreen}};
  const Pixels p = read_back(paint_png(sheet({raster}), 10));
  EXPECT_EQ(p.at(21, 15), kRed);
  EXPECT_EQ(p.at(58, 15), kGreen);
  EXPECT_EQ(p.at(15, 15), kPaper);
  EXPECT_EQ(p.at(61, 15), kPaper);
  Raster clipped = raster;
  clipped.clip = {{2, 1}, {3, 1}, {3, 3}, {2, 3}};
  const Pixels c = read_back(paint_png(sheet({clipped}), 10));
  EXPECT_EQ(c.at(21, 15), kRed);
  EXPECT_EQ(c.at(58, 15), kPaper);
}

TEST(PaintPng, WordsStandWhereTheyAreAligned) {
  const auto painted = [](Align align) {
    const Pixels p = read_back(
        paint_png(sheet({Text{.at = {5, 3}, .words = "mW/cm²", .size_mm = 1, .colour = kInk, .align = align}}), 20));
    std::array<std::size_t, 2> ink{};  // left and right of the anchor
    for (std::size_t y = 0; y < p.height; ++y) {
      for (std::size_t x = 0; x < p.width; ++x) ink.at(x < 100 ? 0 : 1) += p.at(x, y) == kPaper ? 0U : 1U;
    }
    return ink;
  };
  EXPECT_EQ(painted(Align::kStart)[0], 0U);
  EXPECT_GT(painted(Align::kStart)[1], 50U);
  EXPECT_GT(painted(Align::kEnd)[0], 50U);
  EXPECT_EQ(painted(Align::kEnd)[1], 0U);
  EXPECT_GT(painted(Align::kMiddle)[0], 20U);
  EXPECT_GT(painted(Align::kMiddle)[1], 20U);
}

TEST(PaintPng, TheSameListGivesTheSameBytes) {
  const Picture picture = sheet({Stroke{.line = circle({5, 2.5}, 2), .closed = true, .colour = kInk},
                                 Text{.at = {1, 1}, .words = "twice", .colour = kInk}});
  EXPECT_EQ(paint_png(picture), paint_png(picture));
}

TEST(PaintPng, ASheetTooLargeIsRefused) {
  Picture picture = sheet({});
  picture.width_mm = 1e6;
  EXPECT_THROW(paint_png(picture), base::Failure);
}

}  // namespace
}  // namespace throughcure::draw
