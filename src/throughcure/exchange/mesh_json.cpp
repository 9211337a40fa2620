#include "throughcure/exchange/mesh_json.hpp"

#include <bit>
#include <cstddef>
#include <cstdint>
#include <span>

#include <nlohmann/json.hpp>

#include "throughcure/base/base64.hpp"

namespace throughcure::exchange {

static_assert(std::endian::native == std::endian::little, "the page reads little-endian: swap bytes on other machines");

std::string meshes_json(const std::vector<anatomy::MediumMesh>& meshes) {
  nlohmann::ordered_json list = nlohmann::ordered_json::array();
  for (const auto& [medium, mesh] : meshes) {
    std::vector<float> positions;
    positions.reserve(3 * mesh.vertices.size());
    for (const base::Point& p : mesh.vertices) {
      positions.insert(positions.end(), {static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z)});
    }
    list.push_back({{"medium", medium},
                    {"positions", base::base64(std::as_bytes(std::span(positions)))},
                    {"indices", base::base64(std::as_bytes(std::span(mesh.triangles)))}});
  }
  return nlohmann::ordered_json{{"meshes", std::move(list)}}.dump();
}

}  // namespace throughcure::exchange
