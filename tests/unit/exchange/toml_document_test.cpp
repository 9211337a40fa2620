// The typed reader of our TOML files: what it returns, and what it says about a wrong one.
#include "throughcure/exchange/toml_document.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/write_file.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

TomlDocument document(std::string_view text) { return TomlDocument::parse(text, "light.toml", "/data/lights"); }

std::vector<std::string> sentences(TomlDocument& file) {
  std::vector<std::string> all;
  for (const auto& problem : file.finish()) all.push_back(base::sentence(problem));
  return all;
}

TEST(TomlDocument, RefusesLettersBeyondAsciiOutsideQuotes) {
  for (const char* text : {"d\u00d7 = 1", "size = Gr\u00f6\u00dfe", "\u00d7", "a = 1 \u0416"}) {
    TomlDocument file = document(text);
    EXPECT_THAT(sentences(file), Not(IsEmpty())) << text;
  }
}

TEST(TomlDocument, SaysTheBeginningOfAKeyThatIsLong) {
  TomlDocument file = document("\"a line\\n" + std::string(100'000, 'y') + "\" = 1");
  EXPECT_THAT(sentences(file), ElementsAre("light.toml:1:1: a line " + std::string(190, 'y') +
                                           "...: this key is not used. "
                                           "Take it out; nothing else is known here."));
}

TEST(TomlDocument, RefusesATimeOfDayWithoutDigits) {
  TomlDocument file = document("start = 1980-05-27Tp:32:00Z");
  EXPECT_THAT(sentences(file), Not(IsEmpty()));
}

TEST(TomlDocument, ReadsEachKindOfValue) {
  TomlDocument file = document(R"(
name = "long tip"
cordless = true
presses = 3
spectrum = "spectra/blue.csv"
dark = "/elsewhere/dark.png"
words = ["a", "b"]
[tip]
diameter_mm = 8
power_mW = 500.5
beam = "gaussian"
[[mode]]
seconds = [5, 10.5]
[[mode]]
seconds = []
)");
  const TomlTable root = file.root();
  enum class Beam : std::uint8_t { uniform, gaussian };
  EXPECT_EQ(root.text("name"), "long tip");
  EXPECT_TRUE(root.flag("cordless"));
  EXPECT_EQ(root.whole("presses", 1, 10), 3);
  EXPECT_EQ(root.file("spectrum"), "/data/lights/spectra/blue.csv");
  EXPECT_EQ(root.file("dark"), "/elsewhere/dark.png");
  EXPECT_THAT(root.texts("words"), ElementsAre("a", "b"));
  EXPECT_EQ(root.number("tip.diameter_mm", {.at_least = 1, .at_most = 20, .unit = "mm"}), 8);
  EXPECT_EQ(root.table("tip").number("power_mW", {.above = 0, .unit = "mW"}), 500.5);
  EXPECT_EQ(root.choice<Beam>("tip.beam", {{"uniform", Beam::uniform}, {"gaussian", Beam::gaussian}}), Beam::gaussian);
  const auto modes = root.tables("mode", {.at_least = 1});
  ASSERT_EQ(modes.size(), 2U);
  EXPECT_THAT(modes[0].numbers("seconds"), ElementsAre(5, 10.5));
  EXPECT_THAT(modes[1].numbers("seconds"), IsEmpty());
  EXPECT_THAT(sentences(file), IsEmpty());
}

TEST(TomlDocument, OptionalKeysMayBeAbsentAndAddNothing) {
  TomlDocument file = document("");
  const TomlTable root = file.root();
  EXPECT_EQ(root.optional_number("a"), std::nullopt);
  EXPECT_EQ(root.optional_whole("a", 0, 1), std::nullopt);
  EXPECT_EQ(root.optional_text("a"), std::nullopt);
  EXPECT_EQ(root.optional_flag("a"), std::nullopt);
  EXPECT_EQ(root.optional_choice("a", {"x", "y"}), std::nullopt);
  EXPECT_EQ(root.optional_numbers("a"), std::nullopt);
  EXPECT_EQ(root.optional_texts("a"), std::nullopt);
  EXPECT_EQ(root.optional_file("a.b"), std::nullopt);
  EXPECT_FALSE(root.optional_table("a").has_value());
  EXPECT_THAT(root.tables("a"), IsEmpty());
  EXPECT_FALSE(root.has("a"));
  EXPECT_THAT(sentences(file), IsEmpty());
}

TEST(TomlDocument, NamesFilePlaceFieldValueLimitAndRemedy) {
  TomlDocument file = document("[tip]\ndiameter_mm = -8\n");
  EXPECT_EQ(file.root().number("tip.diameter_mm", {.at_least = 0.5, .at_most = 20, .unit = "mm"}), 0.5);
  EXPECT_THAT(sentences(file), ElementsAre("light.toml:2:15: tip.diameter_mm: -8 mm is below the least allowed, "
                                           "0.5 mm. Give a number from 0.5 to 20 mm."));
}

TEST(TomlDocument, FindsEverythingWrongInOneGo) {
  TomlDocument file = document(R"(a = "x"
b = nan
c = -inf
d = 3.0
e = "green"
f = [1, -1]
g = 1979-05-27
h = "two\nlines"
i = 1
j = ""
)");
  const TomlTable root = file.root();
  EXPECT_TRUE(std::isfinite(root.number("a")));
  EXPECT_TRUE(std::isfinite(root.number("b", {.at_least = 1})));
  EXPECT_TRUE(std::isfinite(root.optional_number("c").value_or(0)));
  EXPECT_EQ(root.whole("d", 2, 4), 2);
  EXPECT_EQ(root.choice("e", {"violet", "blue"}), "violet");
  EXPECT_THAT(root.numbers("f", {.at_least = 0, .unit = "s"}), IsEmpty());
  (void)root.text("g");
  (void)root.text("h");
  (void)root.number("i.j");
  (void)root.text("j");
  (void)root.number("k", {.above = 0, .unit = "mm"});
  EXPECT_THAT(sentences(file),
              ElementsAre("light.toml: k: it is missing. Give a number above 0 mm.",
                          "light.toml:1:5: a: text (x) is given. Give a number.",
                          "light.toml:2:5: b: nan is not a number that can be used. Give a number not below 1.",
                          "light.toml:3:5: c: -inf is not a number that can be used. Give a number.",
                          "light.toml:4:5: d: a number (3.0) is given. Give a whole number from 2 to 4.",
                          "light.toml:5:5: e: \"green\" is not known here. Give one of: violet, blue.",
                          "light.toml:6:9: f[2]: -1 s is below the least allowed, 0 s. Give a number not below 0 s.",
                          HasSubstr("7:5: g: a date or time (1979-05-27) is given"),
                          HasSubstr("8:5: h: the text holds a control character or a line break"),
                          HasSubstr("9:5: i: a whole number (1) is given. Give a table, [i]"),
                          HasSubstr("10:5: j: the text is empty")));
}

TEST(TomlDocument, StrictAndOpenLimits) {
  TomlDocument file = document("zero = 0\none = 1\nbig = 3\n");
  EXPECT_GT(file.root().number("zero", {.above = 0, .unit = "mm"}), 0);
  EXPECT_LT(file.root().number("one", {.below = 1}), 1);
  EXPECT_LE(file.root().number("big", {.at_most = 2}), 2);
  EXPECT_THAT(sentences(file), ElementsAre(HasSubstr("0 mm is not above 0 mm"), HasSubstr("1 is not below 1"),
                                           HasSubstr("3 is above the most allowed, 2")));
}

TEST(TomlDocument, AKeyGivenButNotUsedIsAProblemWithARemedy) {
  TomlDocument file = document(R"(diametr_mm = 8
[tip]
exitance_w_cm2 = 1
length = 3
temp_k = 300
[[mode]]
seconds = 10
watts = 3
[extra]
a = 1
)");
  const TomlTable root = file.root();
  (void)root.optional_number("diameter_mm");
  (void)root.optional_number("tip.exitance_mw_cm2");
  (void)root.optional_number("tip.length_mm");
  (void)root.optional_number("tip.temp_c");
  for (const TomlTable& mode : root.tables("mode")) (void)mode.number("seconds");
  EXPECT_THAT(
      sentences(file),
      ElementsAre("light.toml:1:1: diametr_mm: this key is not used. Did you mean diameter_mm? Otherwise take it out.",
                  "light.toml:3:1: tip.exitance_w_cm2: this key is not used. Give it as exitance_mw_cm2: 1 W/cm2 is "
                  "1000 mW/cm2.",
                  "light.toml:4:1: tip.length: this key is not used. Give it as length_mm, in mm.",
                  "light.toml:5:1: tip.temp_k: this key is not used. Give it as temp_c, in C.",
                  "light.toml:8:1: mode[1].watts: this key is not used. Take it out; nothing else is known here.",
                  HasSubstr("9:2: extra: this key is not used")));
}

TEST(TomlDocument, AWordAskedForWithHasIsKnownButNotUsed) {
  TomlDocument file = document("a = 1\n[b]\nc = 2\n");
  EXPECT_TRUE(file.root().has("a"));
  EXPECT_TRUE(file.root().has("b.c"));
  EXPECT_EQ(file.finish().size(), 2U);
}

TEST(TomlDocument, AMissingTableIsSaidOnceAndItsKeysAreNot) {
  TomlDocument file = document("tips = 1\n");
  const TomlTable tip = file.root().table("tip");
  (void)tip.number("diameter_mm");
  (void)tip.table("deeper").text("name");
  EXPECT_THAT(tip.tables("series"), IsEmpty());
  tip.refuse("diameter_mm", "unsaid", "");
  EXPECT_THAT(sentences(file), ElementsAre("light.toml: tip: it is missing. Give a table, [tip].",
                                           HasSubstr("1:1: tips: this key is not used. Did you mean tip?")));
}

TEST(TomlDocument, ArraysOfTheWrongLengthAndKind) {
  TomlDocument file = document("a = [1, 2, 3]\nb = [\"x\", 1]\nc = 4\n[d]\n");
  const TomlTable root = file.root();
  EXPECT_THAT(root.numbers("a", {}, {.at_least = 4, .at_most = 5}), IsEmpty());
  EXPECT_THAT(root.texts("b"), IsEmpty());
  EXPECT_THAT(root.tables("c"), IsEmpty());
  EXPECT_THAT(root.tables("d"), IsEmpty());
  EXPECT_THAT(root.tables("e", {.at_least = 1}), IsEmpty());
  EXPECT_EQ(file.finish().size(), 5U);
}

TEST(TomlDocument, AReadersOwnProblemStandsAtItsValue) {
  TomlDocument file = document("a = 1\n[b]\nc = 2\n");
  (void)file.root().number("a");
  const TomlTable b = file.root().table("b");
  (void)b.number("c");
  b.refuse("c", "2 mm is thicker than the tooth, 1 mm", "Give less");
  b.refuse("", "the two do not fit", "Give one");
  EXPECT_THAT(sentences(file), ElementsAre("light.toml:2:1: b: the two do not fit. Give one.",
                                           "light.toml:3:5: b.c: 2 mm is thicker than the tooth, 1 mm. Give less."));
}

TEST(TomlDocument, SayingTheSameTwiceIsSaidOnce) {
  TomlDocument file = document("");
  (void)file.root().number("a");
  (void)file.root().number("a");
  EXPECT_EQ(file.finish().size(), 1U);
}

TEST(TomlDocument, BrokenTomlIsOneProblemWithItsPlace) {
  TomlDocument file = document("a = 1\nb = = 2\n");
  (void)file.root().number("a");
  (void)file.root().table("t").number("x");
  file.root().refuse("a", "unsaid", "");
  const auto problems = file.finish();
  ASSERT_EQ(problems.size(), 1U);
  EXPECT_EQ(problems[0].line, 2);
  EXPECT_EQ(problems[0].column, 5);
}

TEST(TomlDocument, RefusesWhatIsTooLargeOrNotThere) {
  TomlDocument large = document(std::string(2'000'000, '#'));
  EXPECT_THAT(sentences(large), ElementsAre(HasSubstr("2000000 bytes is more than")));
  TomlDocument missing = TomlDocument::open("/no/such/light.toml");
  (void)missing.root().number("a");
  EXPECT_THAT(sentences(missing), ElementsAre(HasSubstr("/no/such/light.toml: there is no such file")));
  TomlDocument long_text = document("a = \"" + std::string(3000, 'x') + "\"\n");
  (void)long_text.root().text("a");
  EXPECT_THAT(sentences(long_text), ElementsAre(HasSubstr("the text has 3000 bytes, more than 2000")));
}

TEST(TomlDocument, OpensAFileAndResolvesPathsBesideIt) {
  const auto folder = std::filesystem::temp_directory_path() / "throughcure_toml_test";
  std::filesystem::create_directories(folder);
  base::write_file(folder / "light.toml", std::string_view("spectrum = \"../blue.csv\"\n"));
  TomlDocument file = TomlDocument::open(folder / "light.toml");
  EXPECT_EQ(file.root().file("spectrum"), folder.parent_path() / "blue.csv");
  EXPECT_THAT(file.finish(), IsEmpty());
  std::filesystem::remove_all(folder);
}

TEST(TomlDocument, KeysComeInTheOrderOfTheFile) {
  const TomlDocument file = document("[z]\n[a]\n[m]\n");
  EXPECT_THAT(file.root().keys(), ElementsAre("z", "a", "m"));
}

// A key makes a table of each of its parts; half a million of them once ended the program.
TEST(TomlDocument, KeysThatAreFarTooDeepAreRefused) {
  std::string deep = "a";
  for (int i = 0; i < 300'000; ++i) deep += ".a";
  for (const std::string& text :
       {deep + " = 1\n", "[" + deep + "]\n", "x = [\"\"\"\n\"\"\"\"\", { " + deep + " = 1 }]\n",
        "'.' = \"# \\\" \"  # \"\n" + deep + " = 1\n"}) {
    const TomlDocument file = TomlDocument::parse(text, "deep.toml");
    ASSERT_EQ(file.problems().size(), 1U);
    EXPECT_EQ(file.problems()[0].what, "a key of 300001 parts is too deep");
  }
  const std::string dots(100, '.');
  const TomlDocument file =
      TomlDocument::parse("a = \"" + dots + "\"  # " + dots + "\nb.c.d = '" + dots + "'\n", "f.toml");
  EXPECT_TRUE(file.problems().empty());
}

}  // namespace
}  // namespace throughcure::exchange
