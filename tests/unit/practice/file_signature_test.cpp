// The first bytes as the standards give them: ISO 32000-1 7.5.2, W3C PNG / ISO/IEC 15948 5.2, ITU-T T.81 B.1.1.2 and
// B.2.1.
#include "throughcure/practice/file_signature.hpp"

#include <string>
#include <string_view>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::practice {
namespace {

using namespace std::string_view_literals;

constexpr std::string_view kPdfStart = "%PDF-1.7\n";
constexpr std::string_view kPngStart = "\x89\x50\x4e\x47\x0d\x0a\x1a\x0a"sv;
constexpr std::string_view kJpegStart = "\xff\xd8\xff\xe0"sv;

TEST(FileSignature, TellsTheThreeKinds) {
  EXPECT_EQ(media_type_of(kPdfStart), MediaType::kPdf);
  EXPECT_EQ(media_type_of("%PDF-2.0\r"), MediaType::kPdf);
  EXPECT_EQ(media_type_of(kPngStart), MediaType::kPng);
  EXPECT_EQ(media_type_of(kJpegStart), MediaType::kJpeg);
  EXPECT_EQ(media_type_of("\xff\xd8\xff\xdb"sv), MediaType::kJpeg);
}

TEST(FileSignature, AStartCutShortOrMovedOrWithOneBitChangedIsNone) {
  for (const std::string_view start : {kPdfStart.substr(0, 8), kPngStart, kJpegStart.substr(0, 3)}) {
    ASSERT_TRUE(media_type_of(start).has_value());
    for (std::size_t length = 0; length < start.size(); ++length) {
      EXPECT_FALSE(media_type_of(start.substr(0, length)).has_value()) << length;
    }
    EXPECT_FALSE(media_type_of(" " + std::string(start)).has_value()) << "another file may hold one further on";
    for (std::size_t at = 0; at < start.size(); ++at) {
      std::string changed(start);
      changed[at] = static_cast<char>(changed[at] ^ 0x40);
      EXPECT_FALSE(media_type_of(changed).has_value()) << at;
    }
  }
}

TEST(FileSignature, OtherKindsAreRefusedWithARemedy) {
  for (const std::string_view other :
       {""sv, "GIF89a"sv, "<svg xmlns=\"http://www.w3.org/2000/svg\"/>"sv, "<!doctype html>"sv, "PK\x03\x04"sv,
        "MZ\x90\x00"sv, "%PDF-x.y"sv, "%!PS-Adobe-3.0"sv}) {
    try {
      (void)accepted_media_type(other);
      FAIL() << other << " was accepted";
    } catch (const base::InputError& e) {
      ASSERT_EQ(e.problems().size(), 1U);
      EXPECT_THAT(e.problems()[0].remedy, testing::HasSubstr("Save or scan it as one of these"));
    }
  }
}

TEST(FileSignature, TheLargestIsAcceptedAndOneByteMoreIsNot) {
  std::string file(kPngStart);
  file.resize(kMostAttachedBytes, '\0');
  EXPECT_EQ(accepted_media_type(file), MediaType::kPng);
  file.push_back('\0');
  EXPECT_THROW((void)accepted_media_type(file), base::InputError);
}

}  // namespace
}  // namespace throughcure::practice
