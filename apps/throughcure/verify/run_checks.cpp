#include <algorithm>
#include <cstddef>
#include <string>
#include <variant>

#include "experiments.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::verify {

namespace {

using exchange::SlabQuestion;
using exchange::ValidationRow;

template <class... F>
struct Overloaded : F... {
  using F::operator()...;
};

/// Passes a part's progress on as that of the whole.
base::Running part(const base::Running& whole, std::size_t done, std::size_t all, const std::string& what) {
  base::Running running = whole;
  if (whole.progress) {
    running.progress = [&whole, done, all, what](double share, std::string_view) {
      whole.progress((static_cast<double>(done) + share) / static_cast<double>(all), what);
    };
  }
  return running;
}

/// Answers the rows from `first` that share one slab.
void answer_slab(std::span<const ValidationRow> rows, std::size_t first, const Effort& effort,
                 const base::Running& running, std::vector<Answer>& found) {
  std::vector<SlabQuestion> same;
  for (std::size_t i = first; i < rows.size(); ++i) {
    const auto* slab = std::get_if<SlabQuestion>(&rows[i].question);
    if (slab == nullptr || (!same.empty() && !(slab->setup == same.front().setup))) break;
    same.push_back(*slab);
  }
  for (const Answer& answer : answers(same, effort, running)) found.push_back(answer);
}

/// The rows that one row is conditioned on; the row's own is never among them.
std::vector<const ValidationRow*> given_rows(std::span<const ValidationRow> rows, const ValidationRow& row) {
  std::vector<const ValidationRow*> given;
  for (const std::string& id : row.given) {
    const auto found = std::ranges::find(rows, id, &ValidationRow::id);
    if (found != rows.end() && found->id != row.id) given.push_back(&*found);
  }
  return given;
}

}  // namespace

std::vector<Check> run_checks(std::span<const ValidationRow> rows, const Effort& effort, const base::Running& running) {
  std::vector<Answer> found;
  CureBench bench(effort.mould_photons);
  while (found.size() < rows.size()) {
    if (running.stop.stop_requested()) throw base::Interrupted();
    const ValidationRow& row = rows[found.size()];
    const base::Running here = part(running, found.size(), rows.size(), row.id);
    if (std::holds_alternative<SlabQuestion>(row.question)) {
      answer_slab(rows, found.size(), effort, here, found);
      continue;
    }
    found.push_back(std::visit(
        Overloaded{[](const exchange::NotYetQuestion&) { return Answer{}; },
                   [](const SlabQuestion&) { return Answer{}; },  // answered above
                   [&](const exchange::ScrapeQuestion& question) {
                     return answer(question, row.id, given_rows(rows, row), bench, here);
                   },
                   [&](const exchange::ConversionQuestion& question) { return answer(question, row.id, bench, here); },
                   [&](const exchange::HardnessQuestion& question) { return answer(question, row.id, bench, here); },
                   [&](const exchange::TransmissionQuestion& question) { return answer(question, here); },
                   [&](const exchange::TipFluenceQuestion& question) { return answer(question, here); },
                   [](const auto& question) { return answer(question); }},
        row.question));
    if (here.progress) here.progress(1, row.id);
  }
  std::vector<Check> checks;
  checks.reserve(rows.size());
  for (std::size_t i = 0; i < rows.size(); ++i) checks.push_back(judge(rows[i], found[i]));
  return checks;
}

}  // namespace throughcure::verify
