// What the page is answered about a restoration, while its tip is dragged.
#include "throughcure/service/plan_answer.hpp"

#include <cmath>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/knowledge.hpp"
#include "unit/service/api_description.hpp"
#include "whole/demo_ground.hpp"

namespace throughcure::tests {
namespace {

using nlohmann::json;
using testing::IsSupersetOf;

/// The poor case with its first lit increment alone: few paths.
service::PlanRequest request(double standoff_mm, const char* patient) {
  json document = json::parse(exchange::case_document_json(demo_folder() / "class2-poor.toml"));
  const json lit = document["exposure"][1];
  document["exposure"] = json::array({lit});
  document["exposure"][0]["standoff_mm"] = standoff_mm;
  document["exposure"][0].erase("tilt_deg");
  document["exposure"][0].erase("tilt_to");
  if (*patient != 0) document["patient"] = {{patient, true}};
  const json body{{"document", document}, {"view", {{"plane", "mesiodistal"}}}, {"precision", "drag"}};
  return service::read_plan_request(body.dump(), service::PlanQuestion::kVerdict,
                                    exchange::case_files(demo_folder(), true));
}

TEST(PlanAnswer, ADraggedTipIsAnsweredFromFewDrawsAndThePathsThatAreThere) {
  desk::KeptCases cases(exchange::knowledge());
  service::Drawings drawings;
  std::set<std::string, std::less<>> done;
  const base::Running running{.threads = 2, .progress = [&](double, std::string_view what) { done.emplace(what); }};

  const json first = json::parse(service::verdict_answer(request(6, ""), cases, drawings, running));
  std::vector<std::string> keys;
  for (const auto& [key, value] : first.items()) keys.push_back(key);
  EXPECT_THAT(keys, IsSupersetOf({"sentence", "verdict", "probability", "probability_se", "worst", "cells", "target",
                                  "picture", "tips", "states", "aims", "section", "cautions", "dragged"}));
  EXPECT_EQ(described_fault("VerdictAnswer", first), "");
  EXPECT_EQ(first["dragged"], true);
  EXPECT_EQ(first["states"].size(), 5U);
  ASSERT_EQ(first["tips"].size(), 1U);
  EXPECT_EQ(first["tips"][0]["standoff_mm"], 6);
  for (const json& cell : first["cells"]) {
    const double draws = cell["probability"].get<double>() * 128;  // every fourth of 512
    EXPECT_EQ(draws, std::round(draws)) << cell["name"];
  }
  EXPECT_TRUE(done.contains("following light back from the resin"));

  done.clear();
  const json nearer = json::parse(service::verdict_answer(request(0, "photosensitive"), cases, drawings, running));
  EXPECT_FALSE(done.contains("following light back from the resin")) << "the paths of the first answer serve";
  EXPECT_FALSE(done.contains("reference pieces")) << "and so does the case made ready";
  EXPECT_EQ(nearer["cautions"].size(), first["cautions"].size() + 1) << "the patient is no part of the kept case";
  const auto floor = [](const json& answer) { return answer["cells"][0]["conversion"]["p50"].get<double>(); };
  EXPECT_GT(floor(nearer), floor(first));

  // Dark on the screen: the full answer brings what is printed too.
  service::PlanRequest dark = request(0, "");
  dark.dark = true;
  EXPECT_FALSE(json::parse(service::verdict_answer(dark, cases, drawings, running)).contains("paper_picture"));
  dark.dragging = false;
  const json full = json::parse(service::verdict_answer(dark, cases, drawings, running));
  EXPECT_EQ(described_fault("VerdictAnswer", full), "");
  EXPECT_NE(full["picture"]["paper"], nearer["picture"]["paper"]);
  EXPECT_EQ(full["paper_picture"]["paper"], nearer["picture"]["paper"]);
  EXPECT_EQ(full["paper_picture"]["marks"].size(), full["picture"]["marks"].size());
}

TEST(PlanAnswer, IsWordedByThePolicyInForceWhateverWasAskedBefore) {
  desk::KeptCases cases(exchange::knowledge());
  service::Drawings drawings;
  const base::Running running{.threads = 2};
  const auto answer = [&](const std::optional<cure::Policy>& policy) {
    service::PlanRequest asked = request(6, "");
    asked.policy = policy;
    return json::parse(service::verdict_answer(asked, cases, drawings, running));
  };
  const json delivered = answer(std::nullopt);
  const double chance = delivered["probability"];
  ASSERT_LT(chance, 0.95);
  ASSERT_NE(delivered["verdict"], "through-cured");
  cure::Policy policy = exchange::knowledge().priors.policy;
  policy.under_cured_to.value = 0;
  policy.through_cured_from.value = chance;
  policy.through_cured_from.source = "chosen here: for this test";
  const json chosen = answer(policy);
  EXPECT_EQ(chosen["probability"], chance);
  EXPECT_EQ(chosen["verdict"], "through-cured");
  EXPECT_THAT(chosen["sentence"].get<std::string>(), testing::StartsWith("It cures through"));
  EXPECT_EQ(chosen["target"]["through_cured_from"]["value"], chance);
  EXPECT_EQ(chosen["target"]["through_cured_from"]["source"], "chosen here: for this test");
  EXPECT_NE(chosen["picture"], delivered["picture"]) << "its marks follow";
  policy.through_cured_from.value = 1;
  EXPECT_EQ(answer(policy)["verdict"], chance > 0 ? "uncertain" : "under-cured");
  EXPECT_EQ(answer(std::nullopt)["verdict"], delivered["verdict"]);
}

}  // namespace
}  // namespace throughcure::tests
