// A case as JSON and back, and the case written out in full.
#include "throughcure/exchange/case_document.hpp"

#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/case_text.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/resolved_case.hpp"
#include "throughcure/exchange/toml_document.hpp"
#include "throughcure/exchange/toml_text.hpp"

namespace throughcure::exchange {
namespace {

using ::testing::AllOf;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

const std::string kDemo = THROUGHCURE_SOURCE_DIR "/demo/";

std::string json_of(const std::string& toml) { return json_text(TomlDocument::parse(toml, "c.toml").plain()); }

std::vector<std::string> wrong(const std::string& json) {
  base::Problems problems;
  EXPECT_FALSE(parse_case_json(json, "c.json", case_files(kDemo, true), problems).has_value());
  std::vector<std::string> all;
  for (const auto& problem : problems) all.push_back(base::sentence(problem));
  return all;
}

TEST(CaseDocument, TheDemoCasesGoToJsonAndBackAndMeanTheSame) {
  for (const std::string name : {"class2-poor.toml", "class2-upright.toml", "class2-good.toml"}) {
    const std::string json = case_document_json(kDemo + name);
    const std::string toml = case_document_toml(json);
    EXPECT_EQ(json_of(toml), json);
    base::Problems problems;
    const auto from_json = parse_case_json(json, name, case_files(kDemo, true), problems);
    ASSERT_TRUE(from_json.has_value()) << base::InputError(problems).what();
    EXPECT_EQ(resolved_case_toml(*from_json), resolved_case_toml(read_case(kDemo + name)));
    const auto again = parse_case(toml, name, kDemo, problems);
    ASSERT_TRUE(again.has_value());
    EXPECT_EQ(resolved_case_toml(*again), resolved_case_toml(*from_json));
  }
}

TEST(CaseDocument, KeepsOrderKindsAndAwkwardTexts) {
  const std::string toml =
      "z = 1\na = 1.0\nbig = 1e30\ntext = \"a \\\"b\\\" \\\\ \\u0007 \\u007F \xC3\xA9\"\n"
      "flag = true\nempty = []\n\"a key.\" = [[1, 2], [\"x\"]]\n"
      "[second]\nt = { u = { v = [{ w = -3 }] }, e = {} }\n[first]\n[third.b]\nx = 1\n[third.a]\n"
      "[[list]]\nx = 1\n[[list]]\n";
  const std::string json = json_of(toml);
  EXPECT_EQ(json, R"({"z":1,"a":1.0,"big":1e+30,"text":"a \"b\" \\ \u0007 )"
                  "\x7F \xC3\xA9"
                  R"(","flag":true,"empty":[],"a key.":[[1,2],["x"]],)"
                  R"("second":{"t":{"u":{"v":[{"w":-3}]},"e":{}}},"first":{},"third":{"b":{"x":1},"a":{}},)"
                  R"("list":[{"x":1},{}]})");
  const std::string back = case_document_toml(json);
  EXPECT_EQ(json_of(back), json);
  EXPECT_THAT(back, AllOf(HasSubstr("[third.b]\nx = 1\n"), HasSubstr("[[list]]\nx = 1\n"), Not(HasSubstr("[third]"))));
}

TEST(CaseDocument, KeepsTheOrderOfTablesBeforeAPlainValue) {
  const std::string json = json_of("b = { c = 1 }\nlist = [{ x = 1 }, {}]\na = 2\n[d]\ne = 3\n");
  EXPECT_EQ(json, R"({"b":{"c":1},"list":[{"x":1},{}],"a":2,"d":{"e":3}})");
  const std::string back = case_document_toml(json);
  EXPECT_EQ(json_of(back), json) << back;
  EXPECT_THAT(back, HasSubstr("\n[d]\ne = 3\n"));
}

TEST(CaseDocument, ProblemsNameTheFieldAndNoLine) {
  std::string json = json_of(tests::sound_case());
  json.replace(json.find("\"number\":36"), 11, "\"number\":36,\"colour\":\"A3\"");
  json.replace(json.find("\"seconds\":20"), 12, "\"seconds\":-3");
  EXPECT_THAT(wrong(json), ElementsAre(HasSubstr("c.json: tooth.colour: this key is not used"),
                                       HasSubstr("c.json: exposure[1].seconds: -3 s is below the least allowed")));
}

TEST(CaseDocument, FilesStayInsideTheFolder) {
  std::string json = json_of(tests::sound_case());
  json.replace(json.find("materials/adhesive"), 18, "../demo/materials/adhesive");
  EXPECT_THAT(wrong(json), ElementsAre(HasSubstr("adhesive.material: \"../demo/materials/adhesive.toml\" leads out")));
  base::Problems problems;
  EXPECT_TRUE(parse_case_json(json, "c.json", case_files(kDemo), problems).has_value());
}

TEST(CaseDocument, OnlyPlainJsonIsTaken) {
  EXPECT_THAT(wrong(R"({"case": {"name": null, "list": [1, null]}, "b": null})"),
              ElementsAre("c.json: case.name: null is no value here. Leave the key out.",
                          "c.json: case.list[2]: null is no value here. Leave the key out.",
                          "c.json: b: null is no value here. Leave the key out."));
  EXPECT_THAT(wrong(R"({"a": {"b": 1, "b": 2}})"), ElementsAre(HasSubstr("a.b: this key stands here twice")));
  EXPECT_THAT(wrong("[1]"), ElementsAre(HasSubstr("no object")));
  EXPECT_THAT(wrong("3"), ElementsAre(HasSubstr("no object")));
  EXPECT_THAT(wrong(""), ElementsAre(HasSubstr("no JSON that can be used from byte")));
  EXPECT_THAT(wrong("{\"a\": 1,}"), ElementsAre(HasSubstr("from byte 9 on")));
  EXPECT_THAT(wrong("{\"a\": 1e999}"), ElementsAre(HasSubstr("no JSON that can be used")));
  EXPECT_THAT(wrong("{\"a\": NaN}"), ElementsAre(HasSubstr("no JSON that can be used")));
  EXPECT_THAT(wrong("{\"a\": \"\xFF\"}"), ElementsAre(HasSubstr("no JSON that can be used")));
  EXPECT_THAT(wrong("{\"a\": " + std::string(100'000, '[')), ElementsAre(HasSubstr("more than 16 levels")));
  std::string accents;
  for (int letter = 0; letter < 1000; ++letter) accents += "\u00e9";
  EXPECT_THAT(wrong("{\"" + accents + "\": null}"),
              ElementsAre("c.json: " + accents.substr(0, 196) + "...: null is no value here. Leave the key out."));
  std::string keys = "\"k\": 0";
  for (int key = 1; key < 1000; ++key) keys += ", \"k" + std::to_string(key) + "\": 0";
  EXPECT_THAT(wrong("{" + keys + "}"), Not(Contains(HasSubstr("more than 1000 keys"))));
  EXPECT_THAT(wrong("{" + keys + ", \"one more\": 0}"), ElementsAre(HasSubstr("more than 1000 keys in one object")));
  EXPECT_THAT(wrong("{\"a\": \"" + std::string(1 << 20, 'x') + "\"}"), ElementsAre(HasSubstr("bytes is more than")));
}

TEST(CaseDocument, WhatTomlHasAndJsonHasNotIsRefused) {
  const TomlDocument file = TomlDocument::parse("a = nan\nb = 2024-01-01\nc = [1, inf]\n", "c.toml");
  (void)file.plain();
  std::vector<std::string> all;
  for (const auto& problem : file.problems()) all.push_back(base::sentence(problem));
  EXPECT_THAT(all, ElementsAre(HasSubstr("c.toml:1:5: a: a number (nan) is given"), HasSubstr("c.toml:2:5: b: a date"),
                               HasSubstr("c.toml:3:9: c[2]: a number (inf)")));
}

TEST(ResolvedCase, HoldsWhatCountsWithItsWorth) {
  const std::string text = resolved_case_toml(read_case(kDemo + "class2-good.toml"));
  EXPECT_THAT(text, HasSubstr("name = \"lower left first molar\""));
  EXPECT_THAT(text, HasSubstr("crown_length = { value = 7.5, unit = \"mm\", kind = \"from memory\", source = "));
  EXPECT_THAT(text, HasSubstr("[tissue.dentine]\n"));
  EXPECT_THAT(text, HasSubstr("[[material]]\nname = \"universal paste, dark shade A3\""));
  EXPECT_THAT(text, HasSubstr("scrape = [\n  { depth_mm = 2.8, seconds = 20.0, irradiance_mw_cm2 = 1000.0"));
  EXPECT_THAT(text,
              HasSubstr("output_share = { value = 1.0, low = 0.95, high = 1.05, unit = \"1\", kind = \"invented\""));
  EXPECT_THAT(text, HasSubstr("exitance_mw_cm2 = "));
  EXPECT_THAT(text, HasSubstr("standoff_sd_mm = { value = 1.0, unit = \"mm\", kind = \"from memory\""));
  EXPECT_THAT(text, HasSubstr("state = \"all placed, band off\"\naim_mm = ["));
  EXPECT_THAT(text, HasSubstr("reflectance = { value = 0.5, low = 0.3, high = 0.7"));
  // It is TOML, and every number in it that is not arithmetic could be read back.
  const TomlDocument file = TomlDocument::parse(text, "resolved.toml");
  EXPECT_EQ(file.root().tables("exposure").size(), 6U);
  EXPECT_TRUE(file.problems().empty());
  EXPECT_EQ(file.root().tables("initiator").size(), 1U) << "of two materials";
  EXPECT_EQ(toml_text(file.plain()), text);
}

}  // namespace
}  // namespace throughcure::exchange
