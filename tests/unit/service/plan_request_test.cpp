#include "throughcure/service/plan_request.hpp"

#include <filesystem>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_document.hpp"

namespace throughcure::service {
namespace {

using nlohmann::json;
using testing::AllOf;
using testing::HasSubstr;
using testing::Not;

std::filesystem::path demo() { return std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo"; }

json poor() { return {{"document", json::parse(exchange::case_document_json(demo() / "class2-poor.toml"))}}; }

PlanRequest read(const json& body) { return read_plan_request(body.dump(), exchange::case_files(demo(), true)); }

/// What is said about a body that is refused; empty where it is taken.
std::string refused(const std::string& body) {
  try {
    read_plan_request(body, exchange::case_files(demo(), true));
    return "";
  } catch (const base::InputError& error) {
    return error.what();
  }
}

TEST(PlanRequest, IsTheDocumentAndHowToDrawIt) {
  json body = poor();
  body["view"] = {{"plane", "buccolingual"}, {"exposure", 2}, {"dark", true}};
  body["precision"] = "drag";
  body["state"] = 3;
  const PlanRequest request = read(body);
  EXPECT_EQ(request.c.schedule.size(), 4U);
  EXPECT_EQ(request.cut, anatomy::CutDirection::kBuccolingual);
  EXPECT_EQ(request.exposure, 2U);
  EXPECT_EQ(request.state, 3U);
  EXPECT_TRUE(request.dark);
  EXPECT_TRUE(request.dragging);
}

TEST(PlanRequest, AViewThatNobodyKnowsIsIgnored) {
  json body = poor();
  body["view"] = {{"plane", "from the moon"}, {"exposure", -1}, {"dark", "very"}};
  body["precision"] = 7;
  body["state"] = -2;
  const PlanRequest request = read(body);
  EXPECT_EQ(request.cut, anatomy::CutDirection::kMesiodistal);
  EXPECT_FALSE(request.exposure);
  EXPECT_FALSE(request.state);
  EXPECT_FALSE(request.dark);
  EXPECT_FALSE(request.dragging);
  body["view"] = "from above";
  EXPECT_EQ(read(body).cut, anatomy::CutDirection::kMesiodistal);
}

TEST(PlanRequest, TheKeyIsOfWhatAKeptCaseDependsOn) {
  const std::string key = read(poor()).key;
  json body = poor();
  body["document"]["case"]["name"] = "another name";
  body["document"]["exposure"][1]["standoff_mm"] = 3;
  body["document"]["patient"] = {{"photosensitive", true}};
  EXPECT_EQ(read(body).key, key);
  body["document"]["light"]["output_share"] = 0.9;
  EXPECT_NE(read(body).key, key);
}

TEST(PlanRequest, EverythingWrongIsSaidAtOnce) {
  json body = poor();
  body["document"]["tooth"]["number"] = 39;
  body["document"]["cavity"]["distal"]["width_mm"] = -4;
  body["document"]["light"]["barier"] = "none";
  const std::string said = refused(body.dump());
  EXPECT_THAT(said, AllOf(HasSubstr("number"), HasSubstr("width_mm"), HasSubstr("barier")));
  EXPECT_THAT(said, Not(HasSubstr(demo().string())));
  EXPECT_THAT(refused("{}"), HasSubstr("Send the case's document"));
  EXPECT_THAT(refused(R"({"document": 3})"), HasSubstr("Send the case's document"));
  EXPECT_NE(refused("no JSON"), "");
  EXPECT_NE(refused(""), "");
}

TEST(PlanRequest, NamesThatLeadOutOfTheFolderAreRefused) {
  for (const char* name :
       {"../demo/lights/demo-light.toml", "/etc/passwd", "lights/../../demo/lights/demo-light.toml"}) {
    json body = poor();
    body["document"]["light"]["file"] = name;
    const std::string said = refused(body.dump());
    EXPECT_THAT(said, HasSubstr("light.file")) << name;
    EXPECT_THAT(said, Not(HasSubstr("root:"))) << name;
    EXPECT_THAT(said, Not(HasSubstr(demo().parent_path().string()))) << name;
  }
}

}  // namespace
}  // namespace throughcure::service
