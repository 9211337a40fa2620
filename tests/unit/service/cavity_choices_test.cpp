#include "throughcure/service/cavity_choices.hpp"

#include <optional>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "throughcure/anatomy/site_problems.hpp"
#include "throughcure/exchange/reference_crowns.hpp"

namespace throughcure::service {
namespace {

using testing::ElementsAre;

std::vector<std::string> names(const anatomy::ToothNumber& tooth) {
  std::vector<std::string> names;
  for (const CavityChoice& choice : cavity_choices(tooth)) names.push_back(choice.name);
  return names;
}

TEST(CavityChoices, EveryToothTakesAllThatItsClassCan) {
  for (int number = 11; number <= 48; ++number) {
    const auto tooth = anatomy::ToothNumber::from_iso(number);
    if (!tooth) continue;
    if (tooth->position() <= 3) {
      EXPECT_THAT(names(*tooth), ElementsAre("Class III, mesial", "Class III, distal")) << number;
    } else {
      EXPECT_THAT(names(*tooth), ElementsAre("Class I", "Class II, mesial-occlusal", "Class II, distal-occlusal",
                                             "Class II, mesial-occlusal-distal"))
          << number;
    }
  }
}

TEST(CavityChoices, AreSoundWithABandToo) {
  for (int number = 11; number <= 48; ++number) {
    const auto tooth = anatomy::ToothNumber::from_iso(number);
    if (!tooth) continue;
    for (const CavityChoice& choice : cavity_choices(*tooth)) {
      anatomy::Site site{.tooth = *tooth,
                         .crown = exchange::reference_crown(*tooth),
                         .cavity = choice.cavity,
                         .restoration = {.increments = choice.increments, .matrix = {}},
                         .gingiva_crest_mm = std::nullopt};
      if (choice.cavity.mesial || choice.cavity.distal) site.restoration.matrix = anatomy::Matrix{};
      for (const anatomy::SiteProblem& problem : anatomy::site_problems(site)) {
        ADD_FAILURE() << number << ", " << choice.name << ": " << problem.field << ": " << problem.what;
      }
    }
  }
}

}  // namespace
}  // namespace throughcure::service
