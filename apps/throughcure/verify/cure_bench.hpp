// Where the published experiments on curing are simulated: materials of which only the class is known, their light,
// and the draws that priors alone allow. What is dear to make is made once and shared by all studies.
#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "check.hpp"
#include "throughcure/base/parallel.hpp"
#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/draw.hpp"
#include "throughcure/cure/ensemble.hpp"
#include "throughcure/cure/scrape.hpp"
#include "throughcure/exchange/validation_cure.hpp"

namespace throughcure::verify {

/// Draws that know the class and the scrape test itself, but nothing of any study.
struct PriorDraws {
  std::vector<cure::Draw> draws;
  std::map<double, std::vector<cure::ConversionCurve>> curves;  ///< of each draw, by temperature [C]
};

class CureBench {
 public:
  /// `photons` for each scattering of a mould's table.
  explicit CureBench(std::uint64_t photons) : photons_(photons) {}

  /// A material of which the class and the depth of its shade are known; camphorquinone is its initiator.
  const cure::DrawSource& material(cure::MaterialClass material_class, exchange::ShadeDepth shade);

  /// Fluence rate [mW/cm2] on the axis of a specimen, for each draw with the irradiance that this draw gives the lamp:
  /// a test exposure's exitance is then 1. Where the bore is not known, half of the draws have 4 mm, half 12 mm.
  cure::MouldOf light_on(const exchange::LitSpecimen& specimen, const base::Running& running);

  /// The draws that priors alone allow for a specimen's material, weighed by what is known of the scrape test and,
  /// unless that comes from the study itself, by the slope of published series: 512 of them.
  PriorDraws& alone(const exchange::LitSpecimen& specimen, const base::Running& running);
  /// Their conversion curves at a temperature.
  const std::vector<cure::ConversionCurve>& curves(PriorDraws& prior, double temperature_c,
                                                   const base::Running& running);

  /// How hard resin is at the scraped depth (Moore et al. 2008), as a fact about a specimen's exposure.
  cure::HardnessAtScrapeFact hardness(const exchange::LitSpecimen& specimen, const base::Running& running);

 private:
  using MaterialKey = std::pair<cure::MaterialClass, exchange::ShadeDepth>;
  using MouldKey = std::tuple<cure::MaterialClass, exchange::ShadeDepth, exchange::LampClass, double>;

  const cure::MouldOf& mould(const exchange::LitSpecimen& specimen, double bore_mm, const base::Running& running);

  std::uint64_t photons_;
  std::map<MaterialKey, cure::DrawSource> materials_;
  std::map<std::pair<MaterialKey, bool>, PriorDraws> alone_;  ///< with the slope left out or not
  std::map<MouldKey, cure::MouldOf> moulds_;
};

/// The seed of every draw here.
inline constexpr std::uint64_t kCureSeed = 20'264;

/// What a draw takes an uncertain irradiance to be [mW/cm2]: the same in all rows of one lamp and mode.
double irradiance_mw_cm2(const exchange::LitSpecimen& specimen, const cure::Draw& draw);
/// The same for the time of all presses together [s].
double seconds(const exchange::LitSpecimen& specimen, const cure::Draw& draw);

/// How a laboratory's reading scatters about the truth.
struct Scatter {
  double within = 0;         ///< sd of one reading
  double between = 0;        ///< sd of the laboratory's own shift, common to its readings
  double between_ratio = 1;  ///< or its own factor: exp of one sd of its logarithm
};
/// Of several materials of one laboratory, whose number was printed.
struct Among {
  exchange::OneOf one_of = exchange::OneOf::kAny;
  int materials = 1;
};

/// Median and middle 80 % of what would be printed, where `truth` is what each draw says. `name` seeds the scatter.
Answer printed(const std::vector<double>& truth, const Scatter& scatter, const Among& among, std::string_view name);

}  // namespace throughcure::verify
