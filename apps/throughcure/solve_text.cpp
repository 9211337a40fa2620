#include "solve_text.hpp"

#include <fmt/format.h>

#include "throughcure/plan/cautions.hpp"
#include "throughcure/plan/words.hpp"

namespace throughcure::apps {

namespace {

std::string chance(const plan::Verdict& verdict) {
  return fmt::format("{:.2f} ± {:.2f}", verdict.probability, verdict.probability_se);
}

std::string cell_table(const Solved& solved) {
  std::string text =
      fmt::format("{:<40}{:>22}{:>8}{:>10}{:>9}\n", "place", "conversion (10-90 %)", "X/Xref", "hardness", "chance");
  for (const plan::CellVerdict& cell : solved.solution.verdict.cells) {
    const std::string conversion =
        fmt::format("{:.2f} ({:.2f} to {:.2f})", cell.conversion.p50, cell.conversion.p10, cell.conversion.p90);
    text +=
        fmt::format("{:<40}{:>22}{:>8.2f}{:>10.2f}{:>9}\n", cell.target.name, conversion, cell.share_of_reference.p50,
                    cell.hardness_ratio.p50, cell.decides ? fmt::format("{:.2f}", cell.probability) : "shown");
  }
  return text;
}

std::string why_table(const Solved& solved) {
  if (solved.why.causes.empty()) {
    return fmt::format("No light was found to reach the {} once it is there.\n",
                       solved.ground.targets[solved.why.place].name);
  }
  std::string text = fmt::format(
      "Why the {} gets {:.2g} % of what lies right under an open surface; each cause\n"
      "removed in this order, the chance being that of this place:\n",
      solved.ground.targets[solved.why.place].name, 100 * solved.why.total_kept);
  for (const plan::Cause& cause : solved.why.causes) {
    text += fmt::format("  {:<16}{:<54} keeps {:>4.0f} %   chance without {:.2f}\n", cause.cause, cause.label,
                        100 * cause.share_kept, cause.probability_without);
  }
  return text;
}

std::string mend_table(const Solved& solved) {
  std::string text = "What would change it, each solved:\n";
  for (const plan::Mend& mend : solved.mends) {
    text += fmt::format("  {}: {} ({}), {:.0f} s more light\n", mend.label, plan::word(mend.verdict.word),
                        chance(mend.verdict), mend.extra_seconds);
  }
  return text;
}

std::string cautions(const plan::Case& c) {
  std::string text;
  for (const plan::Caution& one : plan::cautions(c.patient)) text += one.sentence + "\n";
  return text;
}

}  // namespace

std::string solve_text(const Solved& solved) {
  const plan::Verdict& verdict = solved.solution.verdict;
  std::string text =
      fmt::format("{}\n{}: {}. {} target places together, {} draws; light known to {:.1f} %.\n\n",
                  plan::sentence(verdict), solved.ground.c.name, plan::word(verdict.word), verdict.cells.size(),
                  solved.ground.draws.size(), 100 * solved.solution.worst_relative_se);
  text += fmt::format("Chance that all of it cures through: {}.\n\n", chance(verdict));
  text += cell_table(solved) + "\n" + why_table(solved);
  if (!solved.mends.empty()) text += "\n" + mend_table(solved);
  for (const std::string& fact : solved.ground.set_aside) text += fmt::format("Not used: {}.\n", fact);
  return text + "\n" + cautions(solved.ground.c);
}

}  // namespace throughcure::apps
