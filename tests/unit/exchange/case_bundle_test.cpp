// A case kept with its files can be solved again without the folder that it came from. No outside source: our own
// contract.
#include "throughcure/exchange/case_bundle.hpp"

#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/base/write_file.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/resolved_case.hpp"

namespace throughcure::exchange {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using testing::Key;
using testing::Not;
using testing::UnorderedElementsAre;

const fs::path kDemo = THROUGHCURE_SOURCE_DIR "/demo";

PlainTable demo_document(const std::string& name) {
  base::Problems problems;
  auto document = parse_json(case_document_json(kDemo / name), name, problems);
  base::refuse_if_any(problems);
  return *std::move(document);
}

class CaseBundle : public testing::Test {
 protected:
  CaseBundle() : folder_(fs::path(testing::TempDir()) / ("bundle-" + std::to_string(getpid()))) {
    fs::create_directories(folder_);
  }
  ~CaseBundle() override { fs::remove_all(folder_); }
  CaseBundle(const CaseBundle&) = delete;
  CaseBundle& operator=(const CaseBundle&) = delete;

  fs::path folder_;
};

TEST_F(CaseBundle, HoldsWhatTheCaseNamesAndWhatThatNames) {
  const BundledFiles files = files_of_case(demo_document("class2-poor.toml"), case_files(kDemo, true));
  EXPECT_THAT(files, UnorderedElementsAre(Key("lights/demo-light.toml"), Key("lights/demo-light/beam.png"),
                                          Key("lights/demo-light/dark.png"), Key("lights/demo-light/distance.csv"),
                                          Key("lights/demo-light/spectrum.csv"), Key("materials/adhesive.toml"),
                                          Key("materials/universal-paste-a3.toml")));
  EXPECT_EQ(files.at("lights/demo-light/beam.png"), base::read_file(kDemo / "lights/demo-light/beam.png"));
}

TEST_F(CaseBundle, LaidOutElsewhereMeansTheSameCase) {
  const PlainTable document = demo_document("class2-upright.toml");
  lay_out(files_of_case(document, case_files(kDemo, true)), folder_);
  base::Problems problems;
  const auto again = parse_case(document, "again", case_files(folder_, true), problems);
  ASSERT_TRUE(again.has_value()) << base::InputError(problems).what();
  EXPECT_EQ(resolved_case_toml(*again), resolved_case_toml(read_case(kDemo / "class2-upright.toml")));
}

TEST_F(CaseBundle, AFileOutsideOfTheFolderIsRefusedByName) {
  fs::copy(kDemo, folder_, fs::copy_options::recursive);
  const fs::path inside = folder_ / "lights" / "demo-light" / "spectrum.csv";
  const fs::path outside = fs::path(folder_.string() + "-spectrum.csv");
  fs::rename(inside, outside);
  const fs::path light = folder_ / "lights" / "demo-light.toml";
  std::string text = base::read_file(light);
  const std::string named = "demo-light/spectrum.csv";
  text.replace(text.find(named), named.size(), outside.string());
  std::ofstream(light) << text;
  try {
    (void)files_of_case(demo_document("class2-poor.toml"), case_files(folder_, true));
    FAIL() << "it cannot be kept";
  } catch (const base::InputError& error) {
    EXPECT_THAT(error.what(), HasSubstr(outside.filename().string()));
  }
  fs::remove(outside);
}

TEST_F(CaseBundle, WhatIsKeptComesBackAndNamesNoPatient) {
  base::Problems problems;
  const auto document = parse_json(
      R"({"case":{"name":"Mrs Example, 36","kind":"invented"},"patient":{"photosensitive":true},"tooth":{"number":36}})",
      "c", problems);
  ASSERT_TRUE(document.has_value());
  const KeptDocument kept{without_patient(*document), {{"lights/a.toml", std::string(64, 'a')}}, {}};
  const std::string json = kept_document_json(kept);
  EXPECT_THAT(json, Not(HasSubstr("Example")));
  EXPECT_THAT(json, Not(HasSubstr("photosensitive")));
  const KeptDocument again = parse_kept_document(json, "c");
  EXPECT_EQ(json_text(again.document), json_text(kept.document));
  EXPECT_EQ(again.files, kept.files);
  EXPECT_EQ(kept_document_json(again), json);
}

TEST_F(CaseBundle, OlderRecordsNewerOnesAndSpoiltOnes) {
  const std::string older = R"({"case":{"name":"a"},"tooth":{"number":36}})";
  EXPECT_EQ(json_text(parse_kept_document(older, "c").document), older);
  EXPECT_TRUE(parse_kept_document(older, "c").files.empty());
  EXPECT_THROW((void)parse_kept_document(R"({"version":2,"document":{}})", "c"), base::InputError);
  EXPECT_THROW((void)parse_kept_document("not JSON", "c"), base::InputError);
  for (const char* path : {"/etc/passwd", "../x", "a/../../x", ""}) {
    const std::string json = R"({"version":1,"document":{},"files":{")" + std::string(path) + R"(":"ab"}})";
    EXPECT_THROW((void)parse_kept_document(json, "c"), base::InputError) << path;
  }
}

TEST_F(CaseBundle, TheDemosCaseWrittenOutInFullFitsTheLog) {
  const PlainTable document = demo_document("class2-poor.toml");
  base::Problems problems;
  const auto c = parse_case(document, "c", case_files(kDemo, true), problems);
  ASSERT_TRUE(c.has_value());
  const std::string json = kept_document_json({without_patient(document), {}, resolved_case(*c)});
  EXPECT_LT(json.size(), std::size_t{96} << 10) << "the most that a record may hold (desk/record_rules.cpp)";
  RecordProperty("bytes", static_cast<int>(json.size()));
  std::cout << "kept case of the demo: " << json.size() << " bytes\n";
}

}  // namespace
}  // namespace throughcure::exchange
