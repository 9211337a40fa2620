#include "throughcure/plan/judge.hpp"

#include <algorithm>
#include <cmath>

#include "throughcure/cure/cells.hpp"
#include "throughcure/cure/hardness.hpp"
#include "throughcure/cure/scrape.hpp"

namespace throughcure::plan {

namespace {

/// The presses of a schedule as pieces of constant power.
std::vector<std::vector<cure::Piece>> presses(const Case& c, const std::vector<Exposure>& schedule) {
  std::vector<std::vector<cure::Piece>> all;
  all.reserve(schedule.size());
  for (const Exposure& exposure : schedule) {
    all.push_back(cure::pieces(c.light.modes.at(exposure.mode).course, exposure.seconds));
  }
  return all;
}

/// One draw's light in all places, as cure_cells reads it.
struct DrawLight {
  std::vector<double> phi;
  std::vector<double> ln_phi;
};

Spread spread_of(const std::vector<double>& values, std::size_t places, std::size_t place) {
  std::vector<double> sample;
  sample.reserve(values.size() / places);
  for (std::size_t i = place; i < values.size(); i += places) sample.push_back(values[i]);
  std::ranges::sort(sample);
  return {cure::quantile(sample, 0.1), cure::quantile(sample, 0.5), cure::quantile(sample, 0.9)};
}

double share_reaching(const Cured& cured, std::size_t place, double hardness_ratio) {
  std::size_t reach = 0;
  std::size_t count = 0;
  for (std::size_t i = place; i < cured.hardness_ratio.size(); i += cured.places, ++count) {
    if (cured.hardness_ratio[i] >= hardness_ratio) ++reach;
  }
  return count > 0 ? static_cast<double>(reach) / static_cast<double>(count) : 0;
}

}  // namespace

bool decides(const anatomy::Target& target) { return target.kind != anatomy::TargetKind::kTop; }

Word word_for(double probability, const cure::Policy& policy) {
  if (probability >= policy.through_cured_from.value) return Word::kThroughCured;
  if (probability <= policy.under_cured_to.value) return Word::kUnderCured;
  return Word::kUncertain;
}

Cured cure_places(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule, const Fluence& fluence,
                  const std::vector<double>& light_factors) {
  const std::size_t places = fluence.places;
  const std::size_t draws = fluence.draws.size();
  const double dark_s = ground.priors.criterion.after_h.value * 3600;
  const std::vector<std::vector<cure::Piece>> press = presses(ground.c, schedule);
  Cured cured{places, std::vector<double>(draws * places), std::vector<double>(draws * places),
              std::vector<double>(draws * places)};
  std::vector<DrawLight> light(schedule.size(), {std::vector<double>(places), std::vector<double>(places)});
  std::vector<cure::CellExposure> exposures(schedule.size());
  std::vector<double> x(places);
  for (std::size_t d = 0; d < draws; ++d) {
    for (std::size_t e = 0; e < schedule.size(); ++e) {
      const double* phi = fluence.of(d, e);
      for (std::size_t p = 0; p < places; ++p) {
        light[e].phi[p] = phi[p] * (light_factors.empty() ? 1 : light_factors[p]);
        light[e].ln_phi[p] = std::log(light[e].phi[p] / cure::kPhiRef_mw_cm2);
      }
      exposures[e] = {light[e].phi, light[e].ln_phi, press[e], schedule[e].pause_before_s};
    }
    const std::size_t draw = fluence.draws[d];
    for (std::size_t m = 0; m < ground.materials.size(); ++m) {
      const cure::Draw& material = ground.draws[draw].materials[m];
      const CureDraw& cure = ground.materials[m].cures[draw];
      cure::cure_cells(material.law, cure.curve, ground.c.tooth_c, exposures, dark_s, x);
      for (std::size_t p = 0; p < places; ++p) {
        if (ground.material_of(rays.places[p].increment) != m) continue;
        const std::size_t at = d * places + p;
        cured.conversion[at] = x[p];
        cured.share_of_reference[at] = x[p] / cure.reference;
        cured.hardness_ratio[at] =
            cure::hardness_ratio(cured.share_of_reference[at], ground.draws[draw].hardness_slope);
      }
    }
  }
  return cured;
}

double probability_of_all(const Cured& cured, const std::vector<bool>& deciding, double hardness_ratio) {
  const std::size_t draws = cured.hardness_ratio.size() / cured.places;
  std::size_t good = 0;
  for (std::size_t d = 0; d < draws; ++d) {
    bool all = true;
    for (std::size_t p = 0; p < cured.places && all; ++p) {
      all = !deciding[p] || cured.hardness_ratio[d * cured.places + p] >= hardness_ratio;
    }
    if (all) ++good;
  }
  return static_cast<double>(good) / static_cast<double>(draws);
}

Verdict judge(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule, const Fluence& fluence) {
  const double criterion = ground.priors.criterion.hardness_ratio.value;
  const Cured cured = cure_places(ground, rays, schedule, fluence);
  std::vector<bool> deciding;
  std::vector<double> up;
  std::vector<double> down;
  Verdict verdict;
  for (std::size_t p = 0; p < ground.targets.size(); ++p) {
    const base::Estimate light = light_over(ground, schedule, fluence, p);
    CellVerdict cell;
    cell.target = ground.targets[p];
    cell.conversion = spread_of(cured.conversion, cured.places, p);
    cell.share_of_reference = spread_of(cured.share_of_reference, cured.places, p);
    cell.hardness_ratio = spread_of(cured.hardness_ratio, cured.places, p);
    cell.probability = share_reaching(cured, p, criterion);
    cell.light_j_cm2 = light.value;
    cell.relative_se = light.value > 0 ? light.se / light.value : 0;
    cell.decides = decides(ground.targets[p]);
    deciding.push_back(cell.decides);
    up.push_back(1 + cell.relative_se);
    down.push_back(std::max(0.0, 1 - cell.relative_se));
    verdict.cells.push_back(std::move(cell));
  }
  verdict.probability = probability_of_all(cured, deciding, criterion);
  const double by_light =
      (probability_of_all(cure_places(ground, rays, schedule, fluence, up), deciding, criterion) -
       probability_of_all(cure_places(ground, rays, schedule, fluence, down), deciding, criterion)) /
      2;
  const double worth = std::min(ground.effective_draws, static_cast<double>(fluence.draws.size()));
  // A share of none or all of so many draws is not known better than one of them.
  const double p = std::clamp(verdict.probability, 0.5 / worth, 1 - 0.5 / worth);
  verdict.probability_se = std::hypot(std::sqrt(p * (1 - p) / worth), by_light);
  verdict.word = word_for(verdict.probability, ground.priors.policy);

  const auto worse = [&](std::size_t a, std::size_t b) {
    const CellVerdict& one = verdict.cells[a];
    const CellVerdict& other = verdict.cells[b];
    if (one.decides != other.decides) return one.decides;
    if (one.probability != other.probability) return one.probability < other.probability;
    return one.hardness_ratio.p50 < other.hardness_ratio.p50;
  };
  for (std::size_t i = 1; i < verdict.cells.size(); ++i) {
    if (worse(i, verdict.worst)) verdict.worst = i;
  }
  return verdict;
}

std::vector<FieldPoint> field_of(const Ground& ground, const Rays& rays, const std::vector<Exposure>& schedule,
                                 const Fluence& fluence) {
  const Cured cured = cure_places(ground, rays, schedule, fluence);
  std::vector<FieldPoint> field;
  field.reserve(rays.places.size());
  for (std::size_t p = 0; p < rays.places.size(); ++p) {
    field.push_back({rays.places[p].centre, rays.places[p].increment, spread_of(cured.conversion, cured.places, p).p50,
                     spread_of(cured.hardness_ratio, cured.places, p).p50});
  }
  return field;
}

}  // namespace throughcure::plan
