// Pictures of beams: PNG and TIFF written here by their libraries, sound ones and wrong ones.
#include "throughcure/exchange/beam_image_file.hpp"

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <png.h>
#include <tiffio.h>

#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {
namespace {

namespace fs = std::filesystem;
using ::testing::ElementsAre;
using ::testing::HasSubstr;

class BeamImageFile : public ::testing::Test {
 protected:
  void SetUp() override { fs::create_directories(folder_); }
  void TearDown() override { fs::remove_all(folder_); }

  [[nodiscard]] fs::path in(const std::string& name) const { return folder_ / name; }

  /// A PNG file of one of libpng's own formats; the pixels are taken as they stand.
  template <class Pixel>
  fs::path png(const std::string& name, png_uint_32 format, unsigned width, unsigned height,
               const std::vector<Pixel>& pixels, const void* colours = nullptr) const {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    image.width = width;
    image.height = height;
    image.format = format;
    image.colormap_entries = colours == nullptr ? 0 : 2;
    EXPECT_NE(png_image_write_to_file(&image, in(name).c_str(), 0, pixels.data(), 0, colours), 0) << image.message;
    return in(name);
  }

  template <class Pixel>
  fs::path tiff(
      const std::string& name, unsigned width, unsigned height, const std::vector<Pixel>& pixels,
      const std::function<void(TIFF*)>& more = [](TIFF*) {}) const {
    TIFF* file = TIFFOpen(in(name).c_str(), "w");
    TIFFSetField(file, TIFFTAG_IMAGEWIDTH, width);
    TIFFSetField(file, TIFFTAG_IMAGELENGTH, height);
    TIFFSetField(file, TIFFTAG_BITSPERSAMPLE, 8 * sizeof(Pixel));
    TIFFSetField(file, TIFFTAG_SAMPLESPERPIXEL, pixels.size() / (static_cast<std::size_t>(width) * height));
    TIFFSetField(file, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISBLACK);
    TIFFSetField(file, TIFFTAG_PLANARCONFIG, PLANARCONFIG_CONTIG);
    TIFFSetField(file, TIFFTAG_COMPRESSION, COMPRESSION_LZW);
    more(file);
    std::vector<Pixel> copy = pixels;
    TIFFWriteEncodedStrip(file, 0, copy.data(), static_cast<tmsize_t>(copy.size() * sizeof(Pixel)));
    TIFFClose(file);
    return in(name);
  }

  [[nodiscard]] static std::vector<std::string> wrong(const fs::path& path, const std::optional<fs::path>& dark = {}) {
    base::Problems problems;
    EXPECT_FALSE(read_beam_image(path, dark, {.mm_per_pixel = 0.1}, problems).has_value());
    std::vector<std::string> all;
    for (const auto& problem : problems) all.push_back(base::sentence(problem));
    return all;
  }

  [[nodiscard]] static optics::BeamImage sound(const fs::path& path, const std::optional<fs::path>& dark,
                                               const PictureScale& scale = {.mm_per_pixel = 0.1}) {
    base::Problems problems;
    auto image = read_beam_image(path, dark, scale, problems);
    if (!image) throw base::InputError(problems);
    return *std::move(image);
  }

  fs::path folder_ =
      fs::temp_directory_path() /
      ("throughcure-pictures-" + std::string(::testing::UnitTest::GetInstance()->current_test_info()->name()));
  const std::vector<std::uint16_t> deep_ = {10, 20, 30, 1000, 40000, 7};
  const std::vector<std::uint16_t> dark_ = {10, 10, 10, 10, 10, 10};
  const std::vector<std::uint8_t> shallow_ = {1, 2, 3, 100, 255, 7};
};

TEST_F(BeamImageFile, TheDarkFrameIsTakenOffAndNoiseBelowItStays) {
  for (const bool as_png : {true, false}) {
    const auto beam = as_png ? png("b.png", PNG_FORMAT_LINEAR_Y, 3, 2, deep_) : tiff("b.tif", 3, 2, deep_);
    const auto dark = as_png ? png("d.png", PNG_FORMAT_LINEAR_Y, 3, 2, dark_) : tiff("d.tif", 3, 2, dark_);
    const auto image = sound(beam, dark, {.mm_per_pixel = 0.2, .tip_centre_px = {{0.5, 1}}});
    EXPECT_EQ(image.width, 3U);
    EXPECT_EQ(image.height, 2U);
    EXPECT_EQ(image.mm_per_pixel, 0.2);
    EXPECT_EQ(image.tip_centre_x_px, 0.5);
    EXPECT_EQ(image.tip_centre_y_px, 1);
    EXPECT_THAT(image.value, ElementsAre(0, 10, 20, 990, 39990, -3)) << beam;
  }
}

TEST_F(BeamImageFile, WithoutADarkFrameTheCornersAreTheBackground) {
  for (const auto& path : {png("b.png", PNG_FORMAT_GRAY, 3, 2, shallow_), tiff("b.tif", 3, 2, shallow_)}) {
    const double corners = (1 + 3 + 100 + 7) / 4.0;
    EXPECT_THAT(sound(path, std::nullopt).value,
                ElementsAre(1 - corners, 2 - corners, 3 - corners, 100 - corners, 255 - corners, 7 - corners))
        << path;
  }
}

TEST_F(BeamImageFile, ColourAndPalettesAreRefusedWithARemedy) {
  const std::vector<std::uint8_t> colour(18, 9);
  EXPECT_THAT(wrong(png("rgb.png", PNG_FORMAT_RGB, 3, 2, colour)),
              ElementsAre(HasSubstr("rgb.png: the picture has 3 channels, not 1. Export one channel")));
  EXPECT_THAT(
      wrong(tiff("rgb.tif", 3, 2, colour, [](TIFF* t) { TIFFSetField(t, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_RGB); })),
      ElementsAre(HasSubstr("3 channels, not 1")));
  const std::vector<std::uint8_t> alpha = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12};
  EXPECT_THAT(wrong(png("ga.png", PNG_FORMAT_GA, 3, 2, alpha)), ElementsAre(HasSubstr("transparency")));
  const std::vector<std::uint8_t> indices = {0, 1, 0, 1, 0, 1};
  const std::vector<std::uint8_t> colours = {255, 0, 0, 0, 0, 255};
  EXPECT_THAT(wrong(png("p.png", PNG_FORMAT_RGB_COLORMAP, 3, 2, indices, colours.data())),
              ElementsAre(HasSubstr("palette")));
  EXPECT_THAT(wrong(tiff("w.tif", 3, 2, shallow_,
                         [](TIFF* t) { TIFFSetField(t, TIFFTAG_PHOTOMETRIC, PHOTOMETRIC_MINISWHITE); })),
              ElementsAre(HasSubstr("do not rise with light")));
  const std::vector<float> real = {1, 2, 3, 4, 5, 6};
  EXPECT_THAT(
      wrong(tiff("f.tif", 3, 2, real, [](TIFF* t) { TIFFSetField(t, TIFFTAG_SAMPLEFORMAT, SAMPLEFORMAT_IEEEFP); })),
      ElementsAre(HasSubstr("not whole numbers of 8 or 16 bits")));
}

/// Pixels that no compression makes much smaller.
std::vector<std::uint16_t> noise(std::size_t count) {
  std::vector<std::uint16_t> pixels;
  pixels.reserve(count);
  for (std::size_t i = 0; i < count; ++i) pixels.push_back(static_cast<std::uint16_t>(i * i * 31));
  return pixels;
}

std::vector<std::string> faults_of(std::string_view bytes) {
  base::Problems problems;
  EXPECT_FALSE(parse_grey_picture(bytes, "cut", problems).has_value());
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

TEST_F(BeamImageFile, AFileCutShortIsRefusedWhereverItIsCut) {
  const std::vector<fs::path> files = {png("b.png", PNG_FORMAT_LINEAR_Y, 64, 64, noise(4096)),
                                       tiff("b.tif", 64, 64, noise(4096))};
  for (const fs::path& path : files) {
    const std::string whole = base::read_file(path);
    for (const std::size_t kept : {whole.size() / 10, whole.size() / 2, whole.size() - 5}) {
      EXPECT_THAT(faults_of(std::string_view(whole).substr(0, kept)), ElementsAre(HasSubstr("is broken or cut short")))
          << path << " " << kept;
    }
  }
}

TEST_F(BeamImageFile, OtherFilesDarkFramesAndDarkPicturesAreRefused) {
  const auto beam = png("b.png", PNG_FORMAT_LINEAR_Y, 3, 2, deep_);
  base::write_file(in("text.png"), "no picture");
  EXPECT_THAT(wrong(in("text.png")), ElementsAre(HasSubstr("neither a PNG nor a TIFF file")));
  EXPECT_THAT(wrong(in("none.png"), in("neither.png")), ElementsAre(HasSubstr("none.png"), HasSubstr("neither.png")));
  EXPECT_THAT(
      wrong(beam, png("d.png", PNG_FORMAT_GRAY, 3, 2, shallow_)),
      ElementsAre(HasSubstr("d.png: the dark frame has 3 x 2 pixels of 8 bits, the beam image 3 x 2 pixels of 16 "
                            "bits. Take both with the same settings")));
  EXPECT_THAT(wrong(beam, beam), ElementsAre(HasSubstr("no pixel is brighter than the background")));
  const std::vector<std::uint8_t> wide(5000, 1);
  EXPECT_THAT(wrong(png("wide.png", PNG_FORMAT_GRAY, 5000, 1, wide)),
              ElementsAre(HasSubstr("5000 x 1 pixels is outside the limits, 1 to 4096 each way. Cut the picture")));
}

}  // namespace
}  // namespace throughcure::exchange
