#include "whole/changing_paste.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace throughcure::tests {

namespace {

using anatomy::MediumId;

constexpr double kMatch = 0.58;  // conversion at which the indices meet: Howard et al. 2010
constexpr int kSteps = 40;       // of an exposure, for the mean over it

cure::CellState after(const cure::CellState& state, double phi_mw_cm2, double seconds, const cure::RateLaw& law,
                      const cure::ConversionCurve& curve, double temperature_c) {
  return cure::expose(law, curve, temperature_c, state, phi_mw_cm2, {{1, seconds}});
}

}  // namespace

double scattering_left(const Change& change, double x) {
  const double from_match = 1 - x / kMatch;
  const double from_start = x / kMatch;
  return 1 - change.vanishing * (1 - from_match * from_match) + change.growing * from_start * from_start;
}

void insert(anatomy::Scene& scene, std::size_t rank, MediumId medium, const std::vector<anatomy::Quadric>& faces) {
  const auto first = static_cast<std::uint32_t>(scene.faces.size());
  scene.faces.insert(scene.faces.end(), faces.begin(), faces.end());
  scene.solids.insert(scene.solids.begin() + static_cast<std::ptrdiff_t>(rank),
                      anatomy::Solid{first, static_cast<std::uint32_t>(faces.size()), medium});
}

SlicedPaste cut(anatomy::Scene scene, transport::Media media, const char* prefix, std::span<const Slice> slices,
                double thickness_mm) {
  SlicedPaste s{std::move(scene), std::move(media), {}, 0};
  s.first = static_cast<MediumId>(s.scene.medium_names.size());
  for (std::size_t rank = 0; rank < s.scene.solids.size(); ++rank) {
    const anatomy::Solid solid = s.scene.solids[rank];
    if (solid.medium >= s.first || !s.scene.medium_names[solid.medium].starts_with(prefix)) continue;
    const std::vector<anatomy::Quadric> faces(s.scene.faces.begin() + solid.first_face,
                                              s.scene.faces.begin() + solid.first_face + solid.face_count);
    for (std::size_t k = 0; k < slices.size(); ++k) {
      // Each takes what lies above its lower face and was not taken by one above it.
      std::vector<anatomy::Quadric> part = faces;
      part.push_back(anatomy::half_space({0, 0, slices[k].z_mm + thickness_mm / 2}, base::Direction{0, 0, 1}));
      const auto medium = static_cast<MediumId>(s.scene.medium_names.size());
      s.scene.medium_names.push_back("slice of " + s.scene.medium_names[solid.medium]);
      transport::Medium paste = s.media[solid.medium];
      paste.mua_per_mm = slices[k].mua_per_mm;
      paste.mus_per_mm = slices[k].mus_per_mm;
      s.media.push_back(paste);
      s.slice_of.push_back(k);
      insert(s.scene, rank++, medium, part);
    }
  }
  return s;
}

void fill(SlicedPaste& paste, std::span<const Slice> slices, std::span<const double> phi_mw_cm2, double seconds,
          const Change& change, const cure::RateLaw& law, const cure::ConversionCurve& curve, double temperature_c) {
  std::vector<double> left(slices.size(), 0);
  std::vector<double> scattering(slices.size(), 0);
  for (std::size_t k = 0; k < slices.size(); ++k) {
    for (int i = 0; i < kSteps; ++i) {
      const cure::CellState then =
          after(slices[k].state, phi_mw_cm2[k], (i + 0.5) / kSteps * seconds, law, curve, temperature_c);
      left[k] += cure::initiator_left(law, then) / kSteps;
      scattering[k] += scattering_left(change, then.x) / kSteps;
    }
  }
  for (std::size_t m = paste.first; m < paste.media.size(); ++m) {
    const std::size_t k = paste.slice_of[m - paste.first];
    paste.media[m].mua_per_mm = slices[k].mua_per_mm - change.initiators_per_mm * (1 - left[k]);
    paste.media[m].mus_per_mm = slices[k].mus_per_mm * scattering[k];
  }
}

void pass(std::span<Slice> slices, std::span<const double> phi_mw_cm2, double seconds, const cure::RateLaw& law,
          const cure::ConversionCurve& curve, double temperature_c) {
  for (std::size_t k = 0; k < slices.size(); ++k) {
    slices[k].state = after(slices[k].state, phi_mw_cm2[k], seconds, law, curve, temperature_c);
  }
}

}  // namespace throughcure::tests
