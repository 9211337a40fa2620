// Two columns of numbers, as instruments and spreadsheets write them; spectra and distance series on top of it.
#include "throughcure/exchange/number_pairs.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/exchange/distance_csv.hpp"
#include "throughcure/exchange/spectrum_csv.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

std::vector<std::string> sentences(const base::Problems& problems) {
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

std::vector<std::string> wrong_spectrum(std::string_view text) {
  base::Problems problems;
  EXPECT_FALSE(parse_spectrum(text, "s.csv", optics::SpectrumScale::kRelative, problems).has_value());
  return sentences(problems);
}

TEST(NumberPairs, AreReadHoweverTheyAreWritten) {
  for (const std::string text : {
           "400,0.5\n410,1.25\n",                                 // the plain form
           "wavelength,power\n400,0.5\n410,1.25",                 // a header, no last line end
           "\xEF\xBB\xBFnm;W/nm\r\n400,0;0,5\r\n410,0;1,25\r\n",  // byte order mark, Windows, decimal commas
           "# a note\n\n400\t0,5\n  \n410\t1,25 # another\n",     // tabs, notes, blank lines
           "400   0.5\n410   1.25\n",                             // spaces
           "400,0 0,5\n410,0 1,25\n",                             // spaces and decimal commas
           "400, 0.5\n410, 1.25\n",                               // comma and space
           "\"400\";\"0,5\"\n\"410\";\"1,25\"\n",                 // quotes
           "nm;power\r400;+5e-1\r410;1.25\r",                     // carriage returns alone
       }) {
    base::Problems problems;
    const auto spectrum = parse_spectrum(text, "s.csv", optics::SpectrumScale::kRelative, problems);
    ASSERT_THAT(sentences(problems), IsEmpty()) << text;
    EXPECT_THAT(spectrum->wavelength_nm, ElementsAre(400, 410)) << text;
    EXPECT_THAT(spectrum->power_per_nm, ElementsAre(0.5, 1.25)) << text;
  }
}

TEST(NumberPairs, EveryFaultIsNamedWithItsLineAndField) {
  EXPECT_THAT(wrong_spectrum("nm,power\n400,1\n410,NaN\n420,-2\n420,3\n430,1\n425,1\nx,1\n440,1e999\n450\n460,1,1\n"),
              ElementsAre(HasSubstr("s.csv:3: power: nan is not a number that can be used"),
                          HasSubstr("s.csv:4: power: -2 is below the least allowed, 0"),
                          HasSubstr("s.csv:5: wavelength_nm: 420 is there twice"),
                          HasSubstr("s.csv:7: wavelength_nm: 425 stands after 430. Sort the rows"),
                          HasSubstr("s.csv:8: wavelength_nm: \"x\" is no number"),
                          HasSubstr("s.csv:9: power: \"1e999\" is no number"),
                          HasSubstr("s.csv:10: \"450\" holds 1 columns, not 2"),
                          HasSubstr("s.csv:11: \"460,1,1\" holds 3 columns, not 2")));
}

TEST(NumberPairs, NothingOrTooLittleIsAProblem) {
  EXPECT_THAT(wrong_spectrum(""), ElementsAre(HasSubstr("0 rows of numbers are fewer than the least, 2")));
  EXPECT_THAT(wrong_spectrum("nm;power\n"), ElementsAre(HasSubstr("0 rows")));
  EXPECT_THAT(wrong_spectrum("400;0\n410;0\n"), ElementsAre(HasSubstr("power: every value is 0")));
  EXPECT_THAT(wrong_spectrum("0.4;1\n0.41;1\n"),
              ElementsAre(HasSubstr("0.4 nm is below the least allowed, 200 nm"), HasSubstr("0.41 nm")));
}

TEST(NumberPairs, ManyFaultsAreCountedAndNotAllListed) {
  std::string text;
  for (int i = 0; i < 500; ++i) text += "400;a\n";
  const auto said = wrong_spectrum(text);
  EXPECT_THAT(said, SizeIs(21));
  EXPECT_THAT(said.back(), HasSubstr("more lines are wrong"));
  std::string many;
  for (int i = 0; i < 20'001; ++i) many += std::to_string(200 + i * 0.04) + ";1\n";
  EXPECT_THAT(wrong_spectrum(many), ElementsAre(HasSubstr("20001 rows are more than the most, 20000")));
}

TEST(NumberPairs, DecimalAndSeparatingCommasTogetherAreRefused) {
  EXPECT_THAT(wrong_spectrum("400,5,0,5\n401,5,0,7\n"),
              testing::Contains(HasSubstr("separated by ; or a tab where decimals are written with a comma")));
  EXPECT_THAT(wrong_spectrum("400;1.234,5\n401;2\n"), ElementsAre(HasSubstr("\"1.234,5\" is no number")));
}

TEST(DistanceCsv, WantsFourReadingsAboveZero) {
  base::Problems problems;
  const auto series = parse_distance_series("mm;mW/cm2\n0;1000\n2;900\n4;800,5\n8;500\n", "d.csv", 3.9, problems);
  ASSERT_THAT(sentences(problems), IsEmpty());
  EXPECT_EQ(series->aperture_diameter_mm, 3.9);
  EXPECT_THAT(series->distance_mm, ElementsAre(0, 2, 4, 8));
  EXPECT_THAT(series->irradiance_mw_cm2, ElementsAre(1000, 900, 800.5, 500));
  EXPECT_FALSE(parse_distance_series("0;1000\n2;0\n4;800\n", "d.csv", 3.9, problems));
  EXPECT_THAT(sentences(problems), ElementsAre(HasSubstr("d.csv:2: irradiance_mw_cm2: 0 mW/cm2 is not above 0 mW/cm2"),
                                               HasSubstr("3 rows of numbers are fewer than the least, 4")));
}

}  // namespace
}  // namespace throughcure::exchange
