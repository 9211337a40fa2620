// The demo's meshes as the page gets them: small, and what the anatomy says.
#include "throughcure/exchange/mesh_json.hpp"

#include <cstring>

#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "support/demo_site.hpp"
#include "support/from_base64.hpp"

namespace throughcure::exchange {
namespace {

template <class Number>
std::vector<Number> numbers(const nlohmann::json& base64) {
  const std::string raw = tests::from_base64(base64.get<std::string>());
  std::vector<Number> out(raw.size() / sizeof(Number));
  std::memcpy(out.data(), raw.data(), raw.size());
  return out;
}

TEST(MeshJson, ReadsBackAsTheMesh) {
  const anatomy::Mesh mesh{{{0, 0, 0}, {1.5, 0, 0}, {0, -2, 0}, {0, 0, 3}},
                           {{{0, 2, 1}}, {{0, 1, 3}}, {{0, 3, 2}}, {{1, 2, 3}}}};
  const auto sent = nlohmann::json::parse(meshes_json({{"enamel", mesh}})).at("meshes").at(0);
  EXPECT_EQ(sent.at("medium"), "enamel");
  EXPECT_EQ(numbers<float>(sent.at("positions")), (std::vector<float>{0, 0, 0, 1.5F, 0, 0, 0, -2, 0, 0, 0, 3}));
  EXPECT_EQ(numbers<std::uint32_t>(sent.at("indices")),
            (std::vector<std::uint32_t>{0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3}));
}

TEST(MeshJson, TheDemosToothIsSmallEnoughForAPhone) {
  const anatomy::Site site = tests::demo_site();
  EXPECT_LT(meshes_json(anatomy::state_meshes(site, anatomy::scene_states(site)[3])).size(), 1'500'000U);
}

}  // namespace
}  // namespace throughcure::exchange
