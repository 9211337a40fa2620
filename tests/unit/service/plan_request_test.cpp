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

PlanRequest read(const json& body, PlanQuestion question = PlanQuestion::kVerdict) {
  return read_plan_request(body.dump(), question, exchange::case_files(demo(), true));
}

/// What is said about a body that is refused; empty where it is taken.
std::string refused(const std::string& body, PlanQuestion question = PlanQuestion::kVerdict) {
  try {
    read_plan_request(body, question, exchange::case_files(demo(), true));
    return "";
  } catch (const base::InputError& error) {
    return error.what();
  }
}

TEST(PlanRequest, IsTheDocumentAndHowToDrawIt) {
  json body = poor();
  body["view"] = {{"plane", "buccolingual"}, {"exposure", 2}, {"dark", true}};
  body["precision"] = "drag";
  const PlanRequest request = read(body);
  EXPECT_EQ(request.c.schedule.size(), 4U);
  EXPECT_EQ(request.cut, anatomy::CutDirection::kBuccolingual);
  EXPECT_EQ(request.exposure, 2U);
  EXPECT_TRUE(request.dark);
  EXPECT_TRUE(request.dragging);
  body["precision"] = "full";
  EXPECT_FALSE(read(body).dragging);
}

TEST(PlanRequest, TheDocumentAloneIsEnough) {
  const PlanRequest request = read(poor());
  EXPECT_EQ(request.cut, anatomy::CutDirection::kMesiodistal);
  EXPECT_FALSE(request.exposure);
  EXPECT_FALSE(request.state);
  EXPECT_FALSE(request.dark);
  EXPECT_FALSE(request.dragging);
  EXPECT_EQ(refused(poor().dump(), PlanQuestion::kWhy), "");
}

TEST(PlanRequest, AMeshHasAState) {
  json body = poor();
  body["state"] = 3;
  EXPECT_EQ(read(body, PlanQuestion::kMeshes).state, 3U);
}

TEST(PlanRequest, AKeyThatIsGivenButNotUsedIsAnError) {
  json body = poor();
  body["precison"] = "drag";
  body["view"] = {{"plain", "buccolingual"}, {"dark", true}};
  body["tilt"] = {{"deg", 3}};
  const std::string said = refused(body.dump());
  EXPECT_THAT(said, HasSubstr("request: precison: this key is not used. Did you mean precision?"));
  EXPECT_THAT(said, HasSubstr("request: view.plain: this key is not used. Did you mean plane?"));
  EXPECT_THAT(said, HasSubstr("request: tilt: this key is not used. Take it out"));
  EXPECT_THAT(said, Not(HasSubstr("dark")));

  json misspelt;
  misspelt["documnt"] = poor()["document"];
  EXPECT_THAT(refused(misspelt.dump()), AllOf(HasSubstr("documnt: this key is not used. Did you mean document?"),
                                              HasSubstr("document: it is missing")));
}

TEST(PlanRequest, AKeyOfAnotherQuestionIsAnError) {
  json body = poor();
  body["state"] = 3;
  EXPECT_THAT(refused(body.dump()), HasSubstr("request: state: this key is not used"));
  EXPECT_THAT(refused(body.dump(), PlanQuestion::kWhy), HasSubstr("request: state: this key is not used"));
  body = poor();
  body["view"] = {{"plane", "mesiodistal"}};
  body["precision"] = "full";
  for (const PlanQuestion question : {PlanQuestion::kWhy, PlanQuestion::kMeshes}) {
    EXPECT_THAT(refused(body.dump(), question), AllOf(HasSubstr("request: view: this key is not used"),
                                                      HasSubstr("request: precision: this key is not used")));
  }
  EXPECT_THROW(read_plan_document(body.dump()), base::InputError);
  EXPECT_EQ(read_plan_document(poor().dump()).size(), poor()["document"].size());
}

TEST(PlanRequest, AValueThatNobodyKnowsIsAnError) {
  json body = poor();
  body["view"] = {{"plane", "from the moon"}, {"exposure", -1}, {"dark", "very"}};
  body["precision"] = 7;
  EXPECT_THAT(
      refused(body.dump()),
      AllOf(HasSubstr("view.plane: \"from the moon\" is not known here. Give one of: mesiodistal, buccolingual"),
            HasSubstr("view.exposure: -1 is outside 0 to 3"), HasSubstr("view.dark: text (very) is given"),
            HasSubstr("precision: a whole number (7) is given. Give one of: drag, full")));
  body = poor();
  body["view"] = "from above";
  EXPECT_THAT(refused(body.dump()), HasSubstr("view: text (from above) is given. Give an object, \"view\""));
  body["view"] = {{"exposure", 4}};
  EXPECT_THAT(refused(body.dump()), HasSubstr("view.exposure: 4 is outside 0 to 3"));
  body = poor();
  body["state"] = -2;
  EXPECT_THAT(refused(body.dump(), PlanQuestion::kMeshes), HasSubstr("state: -2 is outside"));
}

TEST(PlanRequest, TheKeyIsOfWhatAKeptCaseDependsOn) {
  const std::string key = read(poor()).key;
  json body = poor();
  body["document"]["case"]["name"] = "another name";
  body["document"]["exposure"][1]["standoff_mm"] = 3;
  body["document"]["patient"] = {{"photosensitive", true}};
  EXPECT_EQ(read(body).key, key);
  body["document"]["tooth"]["notation"] = "Universal";  // 19 is the same tooth as 36 (crosswalk of the HL7 tables)
  body["document"]["tooth"]["number"] = 19;
  EXPECT_EQ(read(body).key, key);
  body["document"]["tooth"]["number"] = 18;
  EXPECT_NE(read(body).key, key);
  body["document"]["tooth"]["number"] = 19;
  body["document"]["light"]["output_share"] = 0.9;
  EXPECT_NE(read(body).key, key);
}

TEST(PlanRequest, EverythingWrongIsSaidAtOnce) {
  json body = poor();
  body["document"]["tooth"]["number"] = 39;
  body["document"]["cavity"]["distal"]["width_mm"] = -4;
  body["document"]["light"]["barier"] = "none";
  body["precison"] = "drag";
  const std::string said = refused(body.dump());
  EXPECT_THAT(said, AllOf(HasSubstr("number"), HasSubstr("width_mm"), HasSubstr("barier"), HasSubstr("precison")));
  EXPECT_THAT(said, Not(HasSubstr(demo().string())));
  EXPECT_THAT(refused("{}"), HasSubstr("Send the case's document"));
  EXPECT_THAT(refused(R"({"document": 3})"), HasSubstr("Send the case's document"));
  EXPECT_NE(refused("no JSON"), "");
  EXPECT_NE(refused(""), "");
}

TEST(PlanRequest, RemediesSpeakOfObjectsAndNameNoLine) {
  json body = poor();
  body["document"]["exposure"] = json::array({json::object(), 3});
  body["document"]["tooth"] = 46;
  const std::string said = refused(body.dump());
  EXPECT_THAT(said, HasSubstr("restoration: tooth: a whole number (46) is given. Give an object, \"tooth\""));
  EXPECT_THAT(said, HasSubstr("restoration: exposure[2]: a whole number (3) is given. Give an array of objects, "
                              "\"exposure\""));
  body["document"].erase("exposure");
  EXPECT_THAT(refused(body.dump()), HasSubstr("restoration: exposure: it is missing. Give an array of objects"));
  EXPECT_THAT(said, AllOf(Not(HasSubstr("table")), Not(HasSubstr("[["))));
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
