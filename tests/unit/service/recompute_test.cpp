// A restoration worked out again with what its light may have given. Outside: a light that gives next to nothing cures
// nothing, and a chance over alternatives is their sum by weight.
#include "throughcure/service/recompute.hpp"

#include <cmath>
#include <filesystem>
#include <vector>

#include <gtest/gtest.h>

#include "throughcure/base/given.hpp"
#include "throughcure/exchange/case_bundle.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/knowledge.hpp"

namespace throughcure::service {
namespace {

const std::filesystem::path kDemo = std::filesystem::path(THROUGHCURE_SOURCE_DIR) / "demo";

double chance(const std::vector<desk::OutputAlternative>& output) {
  static const plan::Knowledge knowledge = exchange::knowledge();
  const auto kept =
      exchange::parse_kept_document(exchange::case_document_json(kDemo / "class2-good.toml"), "the demo's good case");
  const UnderCured found = recompute(kept.document, output, exchange::case_files(kDemo), knowledge, {.threads = 2});
  EXPECT_EQ(found.why_not, "");
  return base::given(found.chance);
}

TEST(Recompute, IsTheSumOfTheAlternativesByTheirWeights) {
  const desk::OutputAlternative bright{.weight = 1, .ln_mean = std::log(1000.0), .ln_sd = 0.05};
  const desk::OutputAlternative weak{.weight = 1, .ln_mean = std::log(250.0), .ln_sd = 0.05};
  const desk::OutputAlternative dark{.weight = 1, .ln_mean = std::log(5.0), .ln_sd = 0.05};
  const auto weighing = [](desk::OutputAlternative one, double weight) {
    one.weight = weight;
    return one;
  };
  const double of_bright = chance({bright});
  const double of_weak = chance({weak});
  EXPECT_LT(of_bright, 0.2);
  EXPECT_GT(of_weak, of_bright + 0.2);
  EXPECT_NEAR(chance({dark}), 1, 1e-9) << "no light, no cure";
  EXPECT_NEAR(chance({weighing(bright, 0.7), weighing(dark, 0.3)}), 0.7 * of_bright + 0.3, 1e-6);
  EXPECT_NEAR(chance({weighing(bright, 0.5), weighing(weak, 0.2), weighing(dark, 0.3)}),
              0.5 * of_bright + 0.2 * of_weak + 0.3, 0.02)
      << "the second one's paths may be more than it has alone";
  // One Gaussian of the same mean and spread says something else: that is what this is for.
  const double mean = 0.7 * bright.ln_mean + 0.3 * dark.ln_mean;
  const double sd = std::sqrt(0.7 * 0.3) * (bright.ln_mean - dark.ln_mean);
  EXPECT_GT(std::abs(chance({{.weight = 1, .ln_mean = mean, .ln_sd = sd}}) - (0.7 * of_bright + 0.3)), 0.1);
}

}  // namespace
}  // namespace throughcure::service
