// Meshes as JSON for the page.
#pragma once

#include <string>
#include <vector>

#include "throughcure/anatomy/state_meshes.hpp"

namespace throughcure::exchange {

/// {"meshes": [{"medium": "enamel", "positions": "...", "indices": "..."}, ...]}: `positions` are x, y, z of each
/// vertex in the tooth's axes [mm] as Float32, `indices` three to a triangle as Uint32, counter-clockwise from outside;
/// both little-endian in base64.
std::string meshes_json(const std::vector<anatomy::MediumMesh>& meshes);

}  // namespace throughcure::exchange
