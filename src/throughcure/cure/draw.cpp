#include "throughcure/cure/draw.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <boost/math/special_functions/erf.hpp>

#include "throughcure/base/random.hpp"

namespace throughcure::cure {

namespace {

constexpr std::uint32_t kPurpose = 0x63757265;  // "cure"
constexpr double kCut = 3;                      // of a normal, in sd
constexpr double k90 = 1.6448536269514722;      // sd from the middle to the end of the middle 90 %

double normal(double u) { return std::clamp(std::numbers::sqrt2 * boost::math::erf_inv(2 * u - 1), -kCut, kCut); }

double triangular(double low, double mode, double high, double u) {
  const double width = high - low;
  if (width <= 0) return mode;
  const double split = (mode - low) / width;
  return u < split ? low + std::sqrt(u * width * (mode - low)) : high - std::sqrt((1 - u) * width * (high - mode));
}

double uniform(const base::Sourced& number, double u) {
  return number.low && number.high ? std::lerp(*number.low, *number.high, u) : drawn(number, u);
}

double lognormal(const base::Sourced& number, double u) {
  if (!number.low || !number.high) return drawn(number, u);
  return number.value * std::exp(normal(u) * std::log(*number.high / *number.low) / (2 * k90));
}

RateLaw drawn_law(const DrawSource& source, LeaningStream& stream) {
  const RatePriors& rate = source.priors.rate;
  const KnownLimits& known = source.material.limits;
  RateLaw law = nominal_law(source.priors, source.material.material_class, known);
  const double u_p = stream.uniform();
  law.p = known.exponent ? drawn(*known.exponent, u_p) : uniform(rate.exponent, u_p);
  law.k_ref_per_s = lognormal(rate.k_ref_per_s, stream.uniform());
  law.b = std::max(0.0, drawn(rate.autoacceleration, stream.uniform()));
  law.q = std::max(1.0, drawn(rate.autodeceleration, stream.uniform()));
  const base::Sourced limit =
      known.limiting_conversion.value_or(class_limit(source.priors, source.material.material_class));
  law.limit = std::clamp(drawn(limit, stream.uniform()), 0.05, 1.0);
  law.limit_per_kelvin = drawn(source.priors.limit.per_kelvin, stream.uniform());
  law.activation_kj_mol = drawn(rate.activation_kj_mol, stream.uniform());
  law.bleaching_cm2_per_j = std::max(0.0, drawn(rate.bleaching_cm2_per_j, stream.uniform()));
  law.induction_j_cm2 = std::max(0.0, drawn(rate.induction_j_cm2, stream.uniform()));
  law.dark.gain = drawn(source.priors.dark.gain, stream.uniform());
  law.dark.t1_s = drawn(source.priors.dark.t1_s, stream.uniform());
  law.dark.final = std::max(drawn(source.priors.dark.final, stream.uniform()), law.limit);
  law.dark.gel = drawn(known.scrape_conversion.value_or(source.priors.hardness.scrape_conversion), stream.uniform());
  return law;
}

optics::VioletBlue drawn_pair(const base::Sourced& violet, const base::Sourced& blue, double u) {
  return {std::max(0.0, drawn(violet, u)), std::max(0.0, drawn(blue, u))};
}

optics::ResinValues drawn_resin(const optics::ResinOptics& resin, LeaningStream& stream) {
  optics::ResinValues values = optics::nominal(resin);
  values.scattering_per_mm = drawn_pair(resin.scattering_violet_per_mm, resin.scattering_blue_per_mm, stream.uniform());
  values.rest_per_mm = drawn_pair(resin.rest_violet_per_mm, resin.rest_blue_per_mm, stream.uniform());
  values.resin_volume_fraction = std::clamp(drawn(resin.resin_volume_fraction, stream.uniform()), 0.0, 1.0);
  for (std::size_t i = 0; i < resin.initiators.size(); ++i) {
    values.mass_percent_of_resin[i] = std::max(0.0, drawn(resin.initiators[i].mass_percent_of_resin, stream.uniform()));
  }
  return values;
}

double absorption_per_mm(const optics::ResinOptics& resin, const optics::ResinValues& values, double wavelength_nm) {
  return optics::resin_properties(values, wavelength_nm, optics::initiator_shares_per_mm(resin, values, wavelength_nm))
      .mua_per_mm;
}

double ratio(double of, double to) { return to > 0 ? of / to : 1; }

}  // namespace

double drawn(const base::Sourced& number, double u) {
  if (number.low && number.high) return triangular(*number.low, number.value, *number.high, u);
  return number.value + number.sd.value_or(0) * normal(u);
}

Draw prior_draw(const DrawSource& source, std::uint64_t seed, std::uint64_t id) {
  return leaning_draw(source, seed, id, {}).draw;
}

LeaningDraw leaning_draw(const DrawSource& source, std::uint64_t seed, std::uint64_t id, const Leaning& leaning) {
  LeaningStream stream(base::Stream(seed, kPurpose, id), leaning);
  Draw draw{.id = id, .law = drawn_law(source, stream)};
  draw.mould_reflectance = drawn(source.mould_reflectance, stream.uniform());
  draw.reading_z = normal(stream.uniform());

  const optics::ResinOptics& resin = source.material.optics;
  const optics::ResinValues middle = optics::nominal(resin);
  const optics::ResinValues values = drawn_resin(resin, stream);
  const auto absorption = [&](double nm) {
    return ratio(absorption_per_mm(resin, values, nm), absorption_per_mm(resin, middle, nm));
  };
  draw.absorption_factor = {absorption(optics::kViolet_nm), absorption(optics::kBlue_nm)};
  draw.scattering_factor = {ratio(values.scattering_per_mm.violet, middle.scattering_per_mm.violet),
                            ratio(values.scattering_per_mm.blue, middle.scattering_per_mm.blue)};
  return {draw, stream.fell()};
}

base::Sourced slope_prior(const Priors& priors, MaterialClass material_class) {
  base::Sourced slope = priors.rate.p_times_attenuation_per_mm;
  if (material_class != MaterialClass::kBulkFill) return slope;
  const double less = priors.rate.attenuation_bulk_fill_per_mm.value / priors.rate.attenuation_paste_per_mm.value;
  slope.value *= less;
  if (slope.low) *slope.low *= less;
  if (slope.high) *slope.high *= less;
  return slope;
}

}  // namespace throughcure::cure
