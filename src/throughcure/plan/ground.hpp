// Everything about a case that no pose changes: its scenes, media, target cells, and draws with their reference pieces.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "throughcure/anatomy/scene.hpp"
#include "throughcure/anatomy/states.hpp"
#include "throughcure/anatomy/targets.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/calibration.hpp"
#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/optics/source.hpp"
#include "throughcure/plan/case.hpp"
#include "throughcure/plan/case_media.hpp"
#include "throughcure/plan/media_axes.hpp"

namespace throughcure::plan {

/// What is known without the case: priors, and where the light of a test is found.
struct Knowledge {
  cure::Priors priors;
  cure::LightOf light_of;
  std::shared_ptr<const cure::MouldTable> mould_table{};  ///< none: every mould is simulated
};

/// How one draw of one material cures in this case.
struct CureDraw {
  cure::ConversionCurve curve;  ///< at the case's temperature
  double reference = 0;         ///< X_ref
};

/// A material of the case with its draws.
struct KnownMaterial {
  cure::Calibration calibration;
  std::vector<CureDraw> cures;   ///< by draw
  double nominal_reference = 0;  ///< fluence rate in the reference piece per irradiance on it, median of the draws
};

struct Ground {
  Case c;
  std::uint64_t seed = 1;
  cure::Priors priors{};
  std::vector<anatomy::SceneState> states{};
  std::vector<anatomy::Scene> scenes{};  ///< by state
  std::vector<anatomy::Target> targets{};
  std::vector<CaseBand> bands{};
  std::vector<transport::Media> media{};  ///< by band, the same in every state
  std::vector<KnownMaterial> materials{};
  std::vector<CaseDraw> draws{};
  std::vector<std::size_t> draw_of_walk{};             ///< paths take the draws in this order
  std::vector<std::vector<transport::Media>> walks{};  ///< [band][walk]: the media of that walk's draw
  std::vector<MediaAxes> axes{};                       ///< by band
  std::vector<transport::Media> middle{};              ///< by band: media in the middle of the draws
  double effective_draws = 0;                          ///< what the draws are worth, at most their number
  std::vector<std::string> set_aside{};                ///< facts not used, in words
  optics::TipSource tip{};                             ///< of the light, for 1 mW

  [[nodiscard]] std::size_t material_of(std::size_t increment) const { return c.increment_materials.at(increment); }
};

/// How finely.
struct GroundEffort {
  std::size_t draws = 512;  ///< 32 at least: errors come from how they scatter
  std::uint64_t seed = 1;
  cure::MouldEffort mould{};
};

/// Expects a case without problems. Throws base::InputError where a material and the light do not go together, or its
/// facts agree with no draw.
Ground prepare(Case c, const Knowledge& knowledge, const GroundEffort& effort, const base::Running& running);

/// The same ground with a light that gives another share of its power, or behind another barrier.
Ground with_light(Ground ground, const base::Sourced& output_share, const base::Sourced& barrier_pass);

/// The same draws at a site where less stands in the light's way: without a band, without neighbours, and without what
/// of the tooth stands higher than the cavity's brim. Targets stay where they are. `state_of` gives, for each state of
/// the old ground, the new one.
struct Unshadowed {
  Ground ground;
  std::vector<std::size_t> state_of;
};
Unshadowed without_shadows(const Ground& ground);

}  // namespace throughcure::plan
