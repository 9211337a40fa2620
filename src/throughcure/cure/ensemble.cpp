#include "throughcure/cure/ensemble.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/cure/conversion_curve.hpp"
#include "throughcure/cure/hardness.hpp"

namespace throughcure::cure {

namespace {

constexpr std::size_t kBlock = 512;
constexpr std::size_t kBatch = 16;
constexpr std::array<std::size_t, 5> kLeanAt = {1024, 2048, 4096, 8192, 12'288};  // proposals there are
constexpr double k90 = 1.6448536269514722;  // sd from the middle to the end of the middle 90 %
constexpr double kNever = -std::numeric_limits<double>::infinity();
constexpr double kMostTilt = 3;
constexpr int kHalvings = 40;
constexpr double kHopeless = -15;  // of a logarithm of a weight: the best of a block is never far below 0

struct Proposal {
  Draw draw;
  Fell fell;
  double ln_prior = 0;   // what the class and the test are known to be
  double ln_weight = 0;  // that, and the facts of the material
};

// ln of a normal density, constants left out: all proposals share them.
double ln_normal(double off, double sd) { return -off * off / (2 * sd * sd); }

// ln of the chance that a normal error of this sd stays below `room`.
double ln_below(double room, double sd) {
  return std::log(std::max(1e-300, 0.5 * std::erfc(-room / sd / std::sqrt(2.0))));
}

// A positive number's prior in its logarithm, with the range as the middle 90 %.
double ln_prior(const base::Sourced& prior, double value) {
  if (value <= 0) return kNever;
  if (!prior.low || !prior.high) return 0;
  return ln_normal(std::log(value / prior.value), std::log(*prior.high / *prior.low) / (2 * k90));
}

double predicted_depth(const Proposal& p, const MouldProfile& profile, const TestExposure& exposure,
                       double depth_per_length) {
  return depth_per_length * scraped_length_mm(p.draw, profile, exposure);
}

// Solves k_ref for a scrape; false where the draw cannot be brought into line.
bool solve_k_ref(Proposal& p, const ScrapeFact& fact, const MouldProfile& profile, const Facts& facts,
                 const base::Sourced& k_prior) {
  const double depth_mm = fact.depth_mm + fact.sd_mm * p.draw.reading_z;
  const double length_mm =
      std::clamp(depth_mm / facts.depth_per_length, profile.depth_mm.front(), profile.depth_mm.back());
  RateLaw& law = p.draw.law;
  law.k_ref_per_s = 1;
  const double phi = fact.exposure.exitance_mw_cm2 * std::exp(ln_phi_per_exitance(profile, length_mm));
  const double needed = progress_to_reach(law, fact.exposure.temperature_c, law.dark.gel);
  const double had =
      progress(law, fact.exposure.temperature_c, phi, pieces(fact.exposure.course, fact.exposure.seconds));
  const double steepness = law.p * attenuation_per_mm(profile, length_mm);
  if (!std::isfinite(needed) || had <= 0 || steepness <= 0) return false;
  law.k_ref_per_s = needed / had;
  p.ln_prior += ln_prior(k_prior, law.k_ref_per_s) + std::log(steepness);
  return true;
}

// Hardness at a depth by that at the top, a day after the light, as this draw has it.
double hardness_at(double depth_mm, const Draw& draw, const MouldProfile& profile, const HardnessAtScrapeFact& fact) {
  const ConversionCurve curve(draw.law, fact.exposure.temperature_c);
  const std::vector<Piece> press = pieces(fact.exposure.course, fact.exposure.seconds);
  const auto conversion = [&](double at_mm) {
    const double phi = fact.exposure.exitance_mw_cm2 * std::exp(ln_phi_per_exitance(profile, at_mm));
    return after_dark(draw.law.dark, curve.at(progress(draw.law, fact.exposure.temperature_c, phi, press)), kDay_s);
  };
  const double top = conversion(profile.depth_mm.front());
  return top > 0 ? hardness_ratio(conversion(depth_mm) / top, fact.slope) : 0;
}

void weigh(Proposal& p, const DrawSource& source, const Facts& facts) {
  bool slope_weighed = !facts.slope.has_value();
  const auto weigh_slope = [&](const MouldProfile& profile, double depth_mm) {
    if (slope_weighed || !facts.slope) return;
    p.ln_prior += ln_prior(*facts.slope, p.draw.law.p * attenuation_per_mm(profile, depth_mm / facts.depth_per_length));
    slope_weighed = true;
  };

  for (std::size_t i = 0; i < facts.scrapes.size(); ++i) {
    const ScrapeFact& fact = facts.scrapes[i];
    const MouldProfile profile = fact.mould(p.draw);
    if (i == 0) {
      if (!solve_k_ref(p, fact, profile, facts, source.priors.rate.k_ref_per_s)) {
        p.ln_weight = p.ln_prior = kNever;
        return;
      }
    } else {
      const double off = predicted_depth(p, profile, fact.exposure, facts.depth_per_length) - fact.depth_mm;
      p.ln_weight += ln_normal(off, std::max(fact.sd_mm, 1e-3));
    }
    weigh_slope(profile, fact.depth_mm);
  }
  for (const IfuFact& fact : facts.instructions) {
    const MouldProfile profile = fact.mould(p.draw);
    const double least_mm = fact.depth_mm - fact.allowed_below_mm;
    p.ln_weight += ln_below(predicted_depth(p, profile, fact.exposure, facts.depth_per_length) - least_mm, fact.sd_mm);
    weigh_slope(profile, fact.depth_mm);
  }
  for (const TransmissionFact& fact : facts.discs) {
    p.ln_weight += ln_normal(fact.predicted(p.draw) / fact.fraction - 1, fact.sd_relative);
  }
  if (facts.hardness && p.ln_prior + p.ln_weight > kHopeless) {
    const HardnessAtScrapeFact& fact = *facts.hardness;
    const MouldProfile profile = fact.mould(p.draw);
    const double depth_mm = predicted_depth(p, profile, fact.exposure, facts.depth_per_length);
    weigh_slope(profile, depth_mm);
    const double sd =
        (fact.ratio.high.value_or(fact.ratio.value) - fact.ratio.low.value_or(fact.ratio.value)) / (2 * k90);
    if (sd > 0) p.ln_prior += ln_normal(hardness_at(depth_mm, p.draw, profile, fact) - fact.ratio.value, sd);
  }
  p.ln_weight += p.ln_prior;
  if (std::isnan(p.ln_weight)) p.ln_weight = p.ln_prior = kNever;
}

// exp(l - the largest l); empty when none is above nothing.
std::vector<double> exponentials(std::vector<double> logarithms) {
  const double most = *std::ranges::max_element(logarithms);
  if (std::isinf(most)) return {};
  for (double& l : logarithms) l = std::exp(l - most);
  return logarithms;
}

// ln of the density at which all stages propose each.
std::vector<double> ln_densities(const std::vector<Proposal>& proposals, const std::vector<Stage>& stages) {
  std::vector<double> found;
  found.reserve(proposals.size());
  for (const Proposal& p : proposals) found.push_back(std::log(density(stages, p.fell)));
  return found;
}

// The tilt l at which the prior weights times exp(-l z) have a mean z of 0; 0 where there is none.
double tilt(const std::vector<Proposal>& proposals, const std::vector<double>& ln_density) {
  std::vector<double> ln_w;
  ln_w.reserve(proposals.size());
  for (std::size_t i = 0; i < proposals.size(); ++i) ln_w.push_back(proposals[i].ln_prior - ln_density[i]);
  const std::vector<double> w = exponentials(std::move(ln_w));
  const auto moment = [&](double l) {  // falls with l
    double sum = 0;
    for (std::size_t i = 0; i < w.size(); ++i) {
      sum += w[i] * std::exp(-l * proposals[i].draw.reading_z) * proposals[i].draw.reading_z;
    }
    return sum;
  };
  double low = -kMostTilt;
  double high = kMostTilt;
  if (w.empty() || moment(low) <= 0 || moment(high) >= 0) return 0;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = (low + high) / 2;
    (moment(middle) > 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

// Weights of the proposals, the largest 1; empty when none has any.
std::vector<double> weights(const std::vector<Proposal>& proposals, const std::vector<Stage>& stages,
                            const Facts& facts) {
  const std::vector<double> ln_density = ln_densities(proposals, stages);
  const bool reads = !facts.scrapes.empty() && facts.scrapes.front().sd_mm > 0;
  const double l = reads ? tilt(proposals, ln_density) : 0;
  std::vector<double> ln_w;
  ln_w.reserve(proposals.size());
  for (std::size_t i = 0; i < proposals.size(); ++i) {
    ln_w.push_back(proposals[i].ln_weight - l * proposals[i].draw.reading_z - ln_density[i]);
  }
  return exponentials(std::move(ln_w));
}

double effective(const std::vector<double>& w) {
  double sum = 0;
  double squares = 0;
  for (const double one : w) {
    sum += one;
    squares += one * one;
  }
  return squares > 0 ? sum * sum / squares : 0;
}

Leaning leaning_of(const std::vector<Proposal>& proposals, const std::vector<double>& w) {
  if (w.empty()) return {};
  std::vector<Fell> fell;
  fell.reserve(proposals.size());
  for (const Proposal& p : proposals) fell.push_back(p.fell);
  return lean(fell, w);
}

std::vector<Draw> resample(const std::vector<Proposal>& proposals, const std::vector<double>& w, std::size_t draws) {
  double sum = 0;
  for (const double one : w) sum += one;
  std::vector<Draw> chosen;
  chosen.reserve(draws);
  double passed = w[0];
  std::size_t i = 0;
  for (std::size_t k = 0; k < draws; ++k) {
    const double at = sum * (static_cast<double>(k) + 0.5) / static_cast<double>(draws);
    while (passed < at && i + 1 < w.size()) passed += w[++i];
    chosen.push_back(proposals[i].draw);
  }
  return chosen;
}

// A table that ends before the scraped length cannot say anything about it.
void check_tables(const DrawSource& source, const Facts& facts, std::uint64_t seed) {
  base::Problems problems;
  const Draw first = prior_draw(source, seed, 0);
  for (const ScrapeFact& fact : facts.scrapes) {
    const double length_mm = fact.depth_mm / facts.depth_per_length;
    const double floor_mm = fact.mould(first).depth_mm.back();
    if (floor_mm < length_mm) {
      problems.push_back({.file = source.material.name,
                          .field = "scrape.depth_mm",
                          .what = std::to_string(fact.depth_mm) +
                                  " mm is half of a piece that is longer than the mould, " + std::to_string(floor_mm) +
                                  " mm",
                          .remedy = "Simulate a mould that is at least 2 mm longer than twice the depth."});
    }
  }
  base::refuse_if_any(problems);
}

}  // namespace

HardnessAtScrapeFact hardness_fact(const Priors& priors, const TestExposure& exposure, MouldOf mould) {
  return {.ratio = priors.hardness.at_scraped_depth,
          .slope = priors.hardness.slope.value,
          .exposure = exposure,
          .mould = std::move(mould)};
}

Ensemble condition(const DrawSource& source, const Facts& facts, std::uint64_t seed, const EnsembleSize& size,
                   const base::Running& running) {
  check_tables(source, facts, seed);
  std::vector<Proposal> proposals;
  std::vector<Stage> stages(1);
  std::vector<double> w;
  do {
    if (std::ranges::find(kLeanAt, proposals.size()) != kLeanAt.end()) stages.push_back({leaning_of(proposals, w), 0});
    const std::size_t before = proposals.size();
    proposals.resize(before + kBlock);
    stages.back().proposals += kBlock;
    base::for_each_batch(kBlock / kBatch, running, "calibrating the material", [&](std::size_t batch) {
      for (std::size_t i = before + batch * kBatch; i < before + (batch + 1) * kBatch; ++i) {
        const LeaningDraw drawn = leaning_draw(source, seed, i, stages.back().leaning);
        proposals[i].draw = drawn.draw;
        proposals[i].fell = drawn.fell;
        weigh(proposals[i], source, facts);
      }
    });
    w = weights(proposals, stages, facts);
  } while (effective(w) < static_cast<double>(size.least_effective) && proposals.size() < size.most_proposals);

  if (w.empty()) {
    throw base::InputError({{.file = source.material.name,
                             .field = "scrape, ifu, transmission",
                             .what = "no draw of this class of material agrees with these facts",
                             .remedy = "Check their seconds, irradiances and depths, and the class and shade."}});
  }
  return {.draws = resample(proposals, w, size.draws),
          .proposals = proposals.size(),
          .effective_sample_size = effective(w)};
}

}  // namespace throughcure::cure
