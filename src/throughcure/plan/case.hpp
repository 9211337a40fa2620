// One restoration to be judged, with everything resolved: the site, its materials, the light as it is today, and how it
// will be lit. No database and no file stands behind it.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "throughcure/anatomy/restoration.hpp"
#include "throughcure/base/sourced.hpp"
#include "throughcure/base/vec3.hpp"
#include "throughcure/cure/material.hpp"
#include "throughcure/optics/light.hpp"
#include "throughcure/optics/medium.hpp"

namespace throughcure::plan {

/// How the tip is held. The axis goes through `aim`; the tilt turns the tip about that point.
struct Pose {
  base::Point aim{};                                        ///< in the site's axes [mm]
  anatomy::ToothSide from = anatomy::ToothSide::kOcclusal;  ///< the side that the tip comes from, untilted; not mesial
                                                            ///< or distal, where the neighbours are
  double tilt_deg = 0;                                      ///< 0 to 80
  anatomy::ToothSide tilt_to =
      anatomy::ToothSide::kDistal;  ///< the side that the tip's body moves to; square to `from`
  double standoff_mm = 0;           ///< free gap along the axis from the tip's face to what it would touch first
};

/// One press of the light.
struct Exposure {
  std::size_t state = 0;  ///< index into anatomy::scene_states of the site
  Pose pose{};
  std::size_t mode = 0;  ///< index into the light's modes
  double seconds = 0;    ///< > 0
  double pause_before_s = 0;
};

/// How a hand differs from the plan: standard deviations, the same for every exposure, drawn anew for each.
struct Hand {
  base::Sourced standoff_sd_mm{};
  base::Sourced tilt_sd_deg{};
  base::Sourced wander_sd_mm{};  ///< of the aim, in each of the two directions across the axis
};

/// What makes blue light more dangerous for this person.
struct Patient {
  bool photosensitive = false;
  bool no_natural_lens = false;
};

struct Case {
  std::string name;
  anatomy::Site site;
  std::vector<cure::Material> materials;         ///< of the increments; one at least
  std::vector<std::size_t> increment_materials;  ///< by increment: index into `materials`
  cure::Material adhesive;
  optics::Tissues tissues;
  optics::TissueOptics wedge;  ///< of reference/matrices.toml, like the two below
  optics::TissueOptics dam;
  optics::TissueOptics clear_band;    ///< what a clear matrix is made of
  base::Sourced band_reflectance;     ///< metal band: share sent back [0..1]
  base::Sourced band_specular_share;  ///< of that, as by a mirror [0..1]
  base::Sourced mould_reflectance;    ///< wall of the steel mould in which the materials' scrape tests were made [0..1]
  optics::Light light;
  base::Sourced output_share;  ///< today's radiant power over the light's stated one
  base::Sourced barrier_pass;  ///< share of the power that the barrier lets through; 1 for none
  double tooth_c = 37;         ///< temperature of the resin while it cures and until it is judged [C]
  Hand hand{};
  std::vector<Exposure> schedule;  ///< in order of time; states never go back; one at least
  Patient patient{};
};

}  // namespace throughcure::plan
