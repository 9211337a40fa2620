// A beam image as a function of place.
#include "throughcure/optics/beam_image.hpp"

#include <gtest/gtest.h>

namespace throughcure::optics {
namespace {

TEST(BeamImage, IsLinearBetweenPixelMiddlesAndZeroOutside) {
  BeamImage image = blank_image(3, 2, 0.5);
  image.value = {0, 1, 2,  //
                 4, 5, 6};
  EXPECT_DOUBLE_EQ(image.x_mm(0), -0.5);
  EXPECT_DOUBLE_EQ(image.y_mm(1), 0.25);
  EXPECT_DOUBLE_EQ(value_at_mm(image, 0, 0), 3);
  EXPECT_DOUBLE_EQ(value_at_mm(image, 0.25, -0.25), 1.5);
  // Half a pixel past the outer middles is still theirs; further out there is nothing.
  EXPECT_DOUBLE_EQ(value_at_mm(image, 0.74, 0.49), 6);
  EXPECT_EQ(value_at_mm(image, 0.76, 0), 0);
  EXPECT_EQ(value_at_mm(image, 0, -0.51), 0);
}

TEST(BeamImage, BackgroundComesFromTheCornersAndNoiseBelowItStays) {
  BeamImage image = blank_image(40, 40, 0.1);
  for (double& v : image.value) v = 7;
  image.value[20 * 40 + 20] = 100;
  image.value[20 * 40 + 21] = 6;
  EXPECT_DOUBLE_EQ(corner_background(image), 7);
  const auto clean = without_background(image, 7);
  EXPECT_DOUBLE_EQ(clean.at(20, 20), 93);
  EXPECT_DOUBLE_EQ(clean.at(21, 20), -1);
}

}  // namespace
}  // namespace throughcure::optics
