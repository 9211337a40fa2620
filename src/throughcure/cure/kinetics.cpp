#include "throughcure/cure/kinetics.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <boost/math/quadrature/gauss.hpp>

#include "throughcure/optics/initiator.hpp"

namespace throughcure::cure {

namespace {

constexpr double kGas_kj_mol_k = 8.314462618e-3;
constexpr double kKelvin = 273.15;
constexpr double kLeastLimit = 1e-3;
constexpr int kRampSteps = 16;
constexpr double kJoulePerMilliwattSecond = 1e-3;

// (1 + b X) max(0, 1 - X/X_lim)^q
double shape(const RateLaw& law, double limit, double x) {
  const double room = 1 - x / limit;
  return room > 0 ? (1 + law.b * x) * std::pow(room, law.q) : 0;
}

std::vector<Piece> course_pieces(const optics::Continuous& course, double seconds) { return {{course.share, seconds}}; }

std::vector<Piece> course_pieces(const optics::Ramp& course, double seconds) {
  std::vector<Piece> made;
  made.reserve(kRampSteps + 1);
  const double rising = std::min(seconds, course.rise_s);
  for (int i = 0; i < kRampSteps; ++i) {
    made.push_back({optics::share_at(course, rising * (i + 0.5) / kRampSteps), rising / kRampSteps});
  }
  if (seconds > rising) made.push_back({course.to_share, seconds - rising});
  return made;
}

std::vector<Piece> course_pieces(const optics::Pulsed& course, double seconds) {
  if (course.share <= 0) return {};
  return {{course.share, optics::full_seconds(course, seconds) / course.share}};
}

std::vector<Piece> course_pieces(const optics::TwoLevel& course, double seconds) {
  const double first = std::min(seconds, course.first_s);
  return {{course.first_share, first}, {course.then_share, seconds - first}};
}

}  // namespace

const base::Sourced& class_limit(const Priors& priors, MaterialClass material_class) {
  const bool runny = material_class == MaterialClass::kFlowable || material_class == MaterialClass::kAdhesive ||
                     material_class == MaterialClass::kSealant;
  return runny ? priors.limit.flowable : priors.limit.paste;
}

RateLaw nominal_law(const Priors& priors, MaterialClass material_class, const KnownLimits& known) {
  return {.p = known.exponent.value_or(priors.rate.exponent).value,
          .k_ref_per_s = priors.rate.k_ref_per_s.value,
          .b = priors.rate.autoacceleration.value,
          .q = priors.rate.autodeceleration.value,
          .limit = known.limiting_conversion.value_or(class_limit(priors, material_class)).value,
          .limit_per_kelvin = priors.limit.per_kelvin.value,
          .reference_temperature_c = priors.limit.reference_temperature_c.value,
          .activation_kj_mol = priors.rate.activation_kj_mol.value,
          .bleaching_cm2_per_j = priors.rate.bleaching_cm2_per_j.value,
          .induction_j_cm2 = priors.rate.induction_j_cm2.value,
          .dark = {.gain = priors.dark.gain.value,
                   .t1_s = priors.dark.t1_s.value,
                   .gel = known.scrape_conversion.value_or(priors.hardness.scrape_conversion).value,
                   .final = priors.dark.final.value}};
}

double arrhenius(const RateLaw& law, double temperature_c) {
  const double inverse = 1 / (temperature_c + kKelvin) - 1 / (law.reference_temperature_c + kKelvin);
  return std::exp(-law.activation_kj_mol / kGas_kj_mol_k * inverse);
}

double limit_at(const RateLaw& law, double temperature_c) {
  return std::clamp(law.limit + law.limit_per_kelvin * (temperature_c - law.reference_temperature_c), kLeastLimit, 1.0);
}

double initiator_left(const RateLaw& law, const CellState& state) {
  return optics::share_left(law.bleaching_cm2_per_j, state.fluence_j_cm2);
}

std::vector<Piece> pieces(const optics::Course& course, double seconds) {
  return std::visit([seconds](const auto& one) { return course_pieces(one, seconds); }, course);
}

double progress(const RateLaw& law, double temperature_c, double phi_mw_cm2, double seconds,
                double fluence_before_j_cm2) {
  if (phi_mw_cm2 <= 0 || seconds <= 0) return 0;
  const double watts = phi_mw_cm2 * kJoulePerMilliwattSecond;
  const double waits_s = std::max(0.0, (law.induction_j_cm2 - fluence_before_j_cm2) / watts);
  const double lit_s = seconds - waits_s;
  if (lit_s <= 0) return 0;
  // The integral of c^p: c falls as exp(-decay t) to the power p.
  const double decay_per_s = law.p * law.bleaching_cm2_per_j * watts;
  const double start = std::exp(-law.p * law.bleaching_cm2_per_j * (fluence_before_j_cm2 + watts * waits_s));
  const double lasting_s = decay_per_s * lit_s > 1e-12 ? -std::expm1(-decay_per_s * lit_s) / decay_per_s : lit_s;
  return law.k_ref_per_s * arrhenius(law, temperature_c) * std::pow(phi_mw_cm2 / kPhiRef_mw_cm2, law.p) * start *
         lasting_s;
}

double progress(const RateLaw& law, double temperature_c, double phi_mw_cm2, const std::vector<Piece>& press,
                double fluence_before_j_cm2) {
  double sum = 0;
  double fluence = fluence_before_j_cm2;
  for (const Piece& piece : press) {
    const double phi = phi_mw_cm2 * piece.share;
    sum += progress(law, temperature_c, phi, piece.seconds, fluence);
    fluence += phi * piece.seconds * kJoulePerMilliwattSecond;
  }
  return sum;
}

double progress_to_reach(const RateLaw& law, double temperature_c, double x) {
  if (x <= 0) return 0;
  const double limit = limit_at(law, temperature_c);
  if (x >= limit) return std::numeric_limits<double>::infinity();
  // In s = -ln(1 - X/X_lim) the integrand is smooth up to the limit.
  const auto integrand = [&law, limit](double s) {
    return limit * std::exp((law.q - 1) * s) / (1 - law.b * limit * std::expm1(-s));
  };
  return boost::math::quadrature::gauss<double, 30>::integrate(integrand, 0.0, -std::log1p(-x / limit));
}

CellState step(const RateLaw& law, const CellState& state, double phi_mw_cm2, double temperature_c, double seconds) {
  const double watts = std::max(0.0, phi_mw_cm2) * kJoulePerMilliwattSecond;
  const double limit = limit_at(law, temperature_c);
  const double waits_s =
      watts > 0 ? std::clamp((law.induction_j_cm2 - state.fluence_j_cm2) / watts, 0.0, seconds) : seconds;
  const double h = seconds - waits_s;
  const CellState done{state.x, state.fluence_j_cm2 + watts * seconds};
  if (h <= 0 || state.x >= limit) return done;

  const double k = law.k_ref_per_s * arrhenius(law, temperature_c) * std::pow(phi_mw_cm2 / kPhiRef_mw_cm2, law.p);
  const auto rate = [&](double at_s, double x) {
    const double fluence = state.fluence_j_cm2 + watts * (waits_s + at_s);
    return k * std::pow(optics::share_left(law.bleaching_cm2_per_j, fluence), law.p) * shape(law, limit, x);
  };
  const double k1 = rate(0, state.x);
  const double k2 = rate(h / 2, state.x + h / 2 * k1);
  const double k3 = rate(h / 2, state.x + h / 2 * k2);
  const double k4 = rate(h, state.x + h * k3);
  return {std::min(limit, state.x + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)), done.fluence_j_cm2};
}

double after_dark(const DarkCure& dark, double x_off, double seconds) {
  return after_dark_share(dark, x_off, dark_share(dark, seconds));
}

double dark_share(const DarkCure& dark, double seconds) {
  return seconds > 0 ? std::log1p(seconds / dark.t1_s) / std::log1p(kDay_s / dark.t1_s) : 0;
}

double after_dark_share(const DarkCure& dark, double x_off, double share) {
  if (x_off <= 0 || dark.gain <= 0) return x_off;
  const double rise = dark.gel > 0 ? x_off / dark.gel : 1;
  const double fall = (dark.final - x_off) / (2 * dark.gain);
  return x_off + dark.gain * share * std::clamp(std::min(rise, fall), 0.0, 1.0);
}

}  // namespace throughcure::cure
