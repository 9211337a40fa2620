// The published numbers: all of them have a kind and a source, and the binary holds the folder as it is.
#include <filesystem>
#include <set>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

std::vector<std::string> refused(std::string_view toml) {
  std::vector<std::string> all;
  for (const auto& problem : numbers_without_provenance(toml, "x.toml")) all.push_back(base::sentence(problem));
  return all;
}

TEST(Reference, EveryNumberOfTheFolderHasAKindAndASource) {
  for (const std::string_view topic : reference_topics()) {
    const auto problems = numbers_without_provenance(reference_text(topic), std::string(topic) + ".toml");
    EXPECT_THAT(base::InputError(problems).what(), ::testing::StrEq("")) << topic;
  }
}

TEST(Reference, TheBinaryHoldsTheFolder) {
  std::set<std::string> topics;
  for (const auto& entry : std::filesystem::directory_iterator(THROUGHCURE_SOURCE_DIR "/reference")) {
    if (entry.path().extension() != ".toml") continue;
    topics.insert(entry.path().stem().string());
    EXPECT_EQ(reference_text(entry.path().stem().string()), base::read_file(entry.path())) << entry.path();
  }
  EXPECT_GE(topics.size(), 6U);
  const auto held = reference_topics();
  EXPECT_EQ(topics, std::set<std::string>(held.begin(), held.end()));
  EXPECT_THROW((void)reference_text("no such topic"), base::Failure);
}

TEST(Provenance, ANumberWithoutKindOrSourceIsRefusedWhereverItStands) {
  EXPECT_THAT(refused("a = 1\n"), ElementsAre(HasSubstr("kind: it is missing"), HasSubstr("source: it is missing")));
  EXPECT_THAT(refused("[t]\nv = { value = 1, kind = \"published\" }\n"),
              ElementsAre(HasSubstr("2:5: t.v.source: it is missing")));
  EXPECT_THAT(refused("r = [{ value = 1, kind = \"derived\", source = \"s\" }, { at_nm = 1.5, source = \"s\" }]\n"),
              ElementsAre(HasSubstr("r[2].kind: it is missing")));
  EXPECT_THAT(refused("v = [1, 2]\n"), ElementsAre(HasSubstr("v: an array that holds something else")));
  EXPECT_THAT(refused("[\"a.b\"]\nvalue = 1\n"), ElementsAre(HasSubstr("cannot be named")));
}

TEST(Provenance, PublishedStandardAndDerivedNeedASourceTheOthersMaySayNone) {
  for (const std::string kind : {"published", "standard", "derived"}) {
    EXPECT_THAT(refused("v = { value = 1, kind = \"" + kind + "\", source = \"\" }\n"),
                ElementsAre(HasSubstr("v.source: a number that is " + kind + " has no source")));
  }
  for (const std::string kind : {"common practice", "from memory", "invented"}) {
    EXPECT_THAT(refused("v = { value = 1, kind = \"" + kind + "\", source = \"\" }\n"), IsEmpty());
  }
  EXPECT_THAT(refused("v = { value = 1, kind = \"guessed\", source = \"s\" }\n"),
              ElementsAre(HasSubstr("\"guessed\" is not known here")));
}

TEST(SourcedNumber, ReadsAllItCarriesAndHoldsItsRangeAndUnit) {
  TomlDocument file = TomlDocument::parse(R"(
a = { value = 46, low = 28, high = 48, sd = 2, unit = "L/mol/cm", kind = "published", source = "s", note = "n" }
b = { value = 1, low = 2, unit = "cm", kind = "invented", source = "" }
)",
                                          "x.toml");
  const base::Sourced a = sourced_number(file.root(), "a", {.at_least = 0, .unit = "L/mol/cm"});
  EXPECT_EQ(a.value, 46);
  EXPECT_EQ(a.low, 28);
  EXPECT_EQ(a.high, 48);
  EXPECT_EQ(a.sd, 2);
  EXPECT_EQ(a.kind, base::Kind::kPublished);
  EXPECT_EQ(a.source, "s");
  EXPECT_EQ(a.note, "n");
  (void)sourced_number(file.root(), "b", {.at_least = 0, .unit = "mm"});
  EXPECT_FALSE(optional_sourced_number(file.root(), "c", {}).has_value());
  const auto problems = file.finish();
  ASSERT_EQ(problems.size(), 2U);
  EXPECT_THAT(problems[0].what, HasSubstr("2 is above the value, 1"));
  EXPECT_THAT(problems[1].what, HasSubstr("\"cm\" is not the unit of this number"));
}

}  // namespace
}  // namespace throughcure::exchange
