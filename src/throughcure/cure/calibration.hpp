// From a material's facts to its ensemble: each fact goes through a simulation of the very test that found it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/ensemble.hpp"
#include "throughcure/cure/mould_of_material.hpp"

namespace throughcure::cure {

/// Opens the light that a fact names (this room opens no files).
using LightOf = std::function<optics::Light(const std::filesystem::path&)>;

struct Calibration {
  Ensemble ensemble;
  std::vector<std::string> set_aside;  ///< facts that were not used, each with the reason, in words
};

/// Conditions prior draws on the material's scrapes, instructions and discs. A fact that states only an irradiance is
/// taken to have been found with `usual_test_light` in contact, its irradiance being that light's radiant exitance; its
/// mould is looked up in `source.mould_table` where that answers. Of a paste, flowable or bulk-fill the hardness at the
/// scraped depth is a fact too, in its first scrape test or else under its first instructions. With no facts the draws
/// are the prior's.
Calibration calibrate(const DrawSource& source, const LightOf& light_of, const MouldEffort& effort, std::uint64_t seed,
                      const EnsembleSize& size, const base::Running& running);

}  // namespace throughcure::cure
