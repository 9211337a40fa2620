#include "throughcure/plan/words.hpp"

#include <cmath>

namespace throughcure::plan {

std::string chance_words(double probability) {
  const auto hundredths = static_cast<int>(std::lround(100 * probability));
  if (hundredths < 1) return "less than 1 in 100";
  if (hundredths > 99) return "more than 99 in 100";
  if (hundredths % 10 == 0) return "about " + std::to_string(hundredths / 10) + " in 10";
  return "about " + std::to_string(hundredths) + " in 100";
}

std::string sentence(const Verdict& verdict) {
  if (verdict.cells.empty()) return "There is nothing here to judge.";
  const std::string& place = verdict.cells[verdict.worst].target.name;
  const std::string chance = chance_words(verdict.probability);
  switch (verdict.word) {
    case Word::kThroughCured:
      return "It cures through: the chance that every increment sets down to its floor is " + chance + ".";
    case Word::kUncertain:
      return "It may stay soft at the " + place + ": the chance that it cures through is " + chance + ".";
    case Word::kUnderCured:
      return "It stays soft at the " + place + ": the chance that it cures through is " + chance + ".";
  }
  return "";
}

}  // namespace throughcure::plan
