// Scrape tests of the literature: conditioned on other rows of the same laboratory, and from priors alone.
#include <algorithm>
#include <string>
#include <variant>
#include <vector>

#include "experiments.hpp"

namespace throughcure::verify {

namespace {

using exchange::LitSpecimen;
using exchange::ScrapeQuestion;

/// Depth [mm], or length where that was published, as each draw has it.
std::vector<double> lengths(const ScrapeQuestion& question, const std::vector<cure::Draw>& draws,
                            const cure::MouldOf& light, double per_length, const base::Running& running) {
  std::vector<double> found(draws.size());
  constexpr std::size_t batch = 32;
  base::for_each_batch(
      (draws.size() + batch - 1) / batch, {.threads = running.threads, .stop = running.stop}, "", [&](std::size_t b) {
        for (std::size_t i = b * batch; i < std::min(draws.size(), (b + 1) * batch); ++i) {
          const double length = cure::scraped_length_mm(draws[i], light(draws[i]),
                                                        {.exitance_mw_cm2 = 1,
                                                         .seconds = seconds(question.specimen, draws[i]),
                                                         .course = question.specimen.course,
                                                         .temperature_c = question.specimen.temperature_c});
          found[i] = per_length * std::min(length, question.height_mm.value_or(length));
        }
      });
  return found;
}

}  // namespace

Answer answer(const ScrapeQuestion& question, const std::string& id,
              std::span<const exchange::ValidationRow* const> given, CureBench& bench, const base::Running& running) {
  const LitSpecimen& specimen = question.specimen;
  const cure::DrawSource& source = bench.material(specimen.material_class, specimen.shade);
  const cure::ScrapeStandard& standard = source.priors.scrape;
  const double depth_per_length = standard.depth_per_length.value;
  const double per_length = question.whole_length ? 1 : depth_per_length;
  const double within = standard.sd_within_laboratory_mm.value * per_length / depth_per_length;
  const cure::MouldOf light = bench.light_on(specimen, running);

  const PriorDraws& prior = bench.alone(specimen, running);
  Answer alone = printed(lengths(question, prior.draws, light, per_length, running),
                         {.within = within, .between_ratio = standard.ratio_between_laboratories.value}, {}, id);
  alone.scored = Scored::kScrapedDepth;
  alone.to_scored = depth_per_length / per_length;
  alone.alone_low = alone.low;
  alone.alone_high = alone.high;
  if (given.empty()) return alone;

  cure::Facts facts;
  facts.depth_per_length = depth_per_length;
  for (const exchange::ValidationRow* row : given) {
    const auto& fact = std::get<ScrapeQuestion>(row->question);
    facts.scrapes.push_back({.depth_mm = row->published * (fact.whole_length ? depth_per_length : 1),
                             .sd_mm = standard.sd_within_laboratory_mm.value,
                             .exposure = {.exitance_mw_cm2 = 1,
                                          .seconds = fact.specimen.presses * fact.specimen.seconds.value,
                                          .course = fact.specimen.course,
                                          .temperature_c = fact.specimen.temperature_c},
                             .mould = bench.light_on(fact.specimen, running)});
  }
  facts.hardness = bench.hardness(std::get<ScrapeQuestion>(given.front()->question).specimen, running);
  const cure::Ensemble ensemble =
      cure::condition(source, facts, kCureSeed, {}, {.threads = running.threads, .stop = running.stop});
  Answer conditioned =
      printed(lengths(question, ensemble.draws, light, per_length, running), {.within = within}, {}, id);
  conditioned.scored = alone.scored;
  conditioned.to_scored = alone.to_scored;
  conditioned.alone_low = alone.low;
  conditioned.alone_high = alone.high;
  return conditioned;
}

}  // namespace throughcure::verify
