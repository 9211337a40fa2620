// Conversions of the literature: near the surface and in the depth, at once and later, from priors alone.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "experiments.hpp"
#include "throughcure/cure/hardness.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::verify {

namespace {

using exchange::ConversionQuestion;
using exchange::HardnessQuestion;
using exchange::LitSpecimen;

constexpr double kHour_s = 3600;
constexpr int kHalvings = 40;

/// One specimen as one draw has it.
class Specimen {
 public:
  Specimen(const LitSpecimen& lit, const cure::Draw& draw, const cure::ConversionCurve& curve,
           const cure::MouldOf& light)
      : lit_(lit), draw_(draw), curve_(curve), profile_(light(draw)) {
    const double all = seconds(lit, draw);
    for (int i = 0; i < lit.presses; ++i) {
      const std::vector<cure::Piece> press = cure::pieces(lit.course, all / lit.presses);
      pieces_.insert(pieces_.end(), press.begin(), press.end());
    }
  }

  /// Conversion `hours` after the light.
  [[nodiscard]] double at(double depth_mm, double hours) const {
    const double phi = std::exp(cure::ln_phi_per_exitance(profile_, depth_mm));
    const double off = curve_.at(cure::progress(draw_.law, lit_.temperature_c, phi, pieces_));
    return cure::after_dark(draw_.law.dark, off, hours * kHour_s);
  }

 private:
  const LitSpecimen& lit_;
  const cure::Draw& draw_;
  const cure::ConversionCurve& curve_;
  cure::MouldProfile profile_;
  std::vector<cure::Piece> pieces_;
};

/// What a specimen had when the light went off, if it has `x` at `hours`; the conversion in the dark rises with it.
double conversion_at_light_off(const cure::DarkCure& dark, double x, double hours) {
  double low = 0;
  double high = x;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (low + high) / 2;
    (cure::after_dark(dark, middle, hours * kHour_s) < x ? low : high) = middle;
  }
  return high;
}

double dark_gain_from(const cure::DarkCure& dark, const ConversionQuestion& question, double x) {
  const double off = conversion_at_light_off(dark, x, question.from_h);
  return cure::after_dark(dark, off, question.after_h * kHour_s) - x;
}

double of_specimen(const ConversionQuestion& question, const Specimen& specimen) {
  using enum ConversionQuestion::Quantity;
  const double there = specimen.at(question.depth_mm, question.after_h);
  switch (question.quantity) {
    case kConversion:
      return there;
    case kLostWithDepth:
      return specimen.at(0, question.after_h) - there;
    case kDarkGain:
      return there - specimen.at(question.depth_mm, question.from_h);
  }
  return there;
}

/// `of` each of the draws that priors alone allow.
template <class Of>
std::vector<double> over_draws(const LitSpecimen& lit, CureBench& bench, const base::Running& running, Of of) {
  PriorDraws& prior = bench.alone(lit, running);
  const std::vector<cure::ConversionCurve>& curves = bench.curves(prior, lit.temperature_c, running);
  const cure::MouldOf light = bench.light_on(lit, running);
  std::vector<double> found;
  found.reserve(prior.draws.size());
  for (std::size_t i = 0; i < prior.draws.size(); ++i) {
    found.push_back(of(Specimen(lit, prior.draws[i], curves[i], light)));
  }
  return found;
}

/// What priors alone foretell is all there is.
Answer as_scored(Answer answer) {
  answer.scored = Scored::kConversion;
  answer.alone_low = answer.low;
  answer.alone_high = answer.high;
  return answer;
}

}  // namespace

Answer answer(const ConversionQuestion& question, const std::string& id, CureBench& bench,
              const base::Running& running) {
  const LitSpecimen& lit = question.specimen;
  const cure::ReadingScatter& scatter = bench.material(lit.material_class, lit.shade).priors.readings;
  const Among among{question.one_of, question.materials};
  // Two readings of one laboratory: both scatter, but its own shift falls out.
  const Scatter of_difference{.within = std::numbers::sqrt2 * scatter.conversion_within.value};
  if (question.x_at_from) {
    std::vector<double> gains;
    for (const cure::Draw& draw : bench.alone(lit, running).draws) {
      gains.push_back(dark_gain_from(draw.law.dark, question, *question.x_at_from));
    }
    return printed(gains, of_difference, among, id);
  }
  const std::vector<double> truth =
      over_draws(lit, bench, running, [&](const Specimen& specimen) { return of_specimen(question, specimen); });
  if (question.quantity != ConversionQuestion::Quantity::kConversion) {
    return printed(truth, of_difference, among, id);
  }
  return as_scored(printed(
      truth, {.within = scatter.conversion_within.value, .between = scatter.conversion_between.value}, among, id));
}

Answer answer(const HardnessQuestion& question, const std::string& id, CureBench& bench, const base::Running& running) {
  const LitSpecimen& lit = question.specimen;
  const cure::Priors& priors = bench.material(lit.material_class, lit.shade).priors;
  const cure::ReadingScatter& scatter = priors.readings;
  const std::vector<double> truth = over_draws(lit, bench, running, [&](const Specimen& specimen) {
    const double ratio = specimen.at(question.thickness_mm, question.after_h) / specimen.at(0, question.after_h);
    return question.as_conversion ? ratio : cure::hardness_ratio(ratio, priors.hardness.slope.value);
  });
  // Of a ratio of conversions the readings scatter by what hardness's line makes of that of hardnesses.
  const double unit = question.as_conversion ? priors.hardness.slope.value : 1;
  const double within = scatter.hardness_ratio_within.value;
  const double across = scatter.hardness_ratio_across.value;
  return printed(truth, {.within = unit * within, .between = unit * std::sqrt(across * across - within * within)}, {},
                 id);
}

Answer answer(const exchange::HardnessLineQuestion& question) {
  const base::Sourced slope = exchange::reference_cure().hardness.slope;
  const auto ratio = [&](double of_slope) { return cure::conversion_ratio_for(question.hardness_ratio, of_slope); };
  return {.value = ratio(slope.value),
          .low = ratio(slope.high.value_or(slope.value)),
          .high = ratio(slope.low.value_or(slope.value))};
}

}  // namespace throughcure::verify
