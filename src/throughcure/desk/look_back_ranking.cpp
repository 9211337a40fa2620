#include "throughcure/desk/look_back_ranking.hpp"

#include <algorithm>
#include <bit>
#include <charconv>
#include <utility>

#include "throughcure/base/number_text.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

/// FNV-1a over whole words: it tells rankings apart, and keeps nobody out.
class Mark {
 public:
  void add(std::uint64_t word) {
    for (int byte = 0; byte < 8; ++byte, word >>= 8U) sum_ = (sum_ ^ (word & 0xffU)) * 0x100000001b3U;
  }
  [[nodiscard]] std::string text() const {
    std::array<char, 16> digits{};
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), sum_, 16).ptr;
    return {digits.data(), end};
  }

 private:
  std::uint64_t sum_ = 0xcbf29ce484222325U;
};

}  // namespace

double Ranked::doubt() const {
  return result == nullptr ? chance_too_weak : result->chance_under_cured.value_or(chance_too_weak);
}

DecisionState Ranked::state() const {
  if (!part.decision) return DecisionState::kUndecided;
  switch (part.followup) {
    case practice::Followup::kRecall:
      return DecisionState::kRecall;
    case practice::Followup::kWatch:
      return DecisionState::kWatch;
    case practice::Followup::kNone:
      break;
  }
  return DecisionState::kNone;
}

LookBackRanking::LookBackRanking(const std::vector<LookBackPart>& parts, const LookBackOutput& output,
                                 double shown_limit_mw_cm2, const Recomputations& recomputations) {
  all_.reserve(parts.size());
  for (const LookBackPart& part : parts) {
    const Ranked& one = all_.emplace_back(
        Ranked{.part = part,
               .chance_too_weak = output.chance_below(shown_limit_mw_cm2, part.placed_at),
               .result = recomputations.find(part.restoration, part.revision, part.placed_at, output)});
    ++counts_.at(static_cast<std::size_t>(one.state()));
    with_case_ += part.has_case ? 1 : 0;
    known_ += part.has_case && one.result != nullptr ? 1 : 0;
  }
  std::ranges::sort(all_, {}, [](const Ranked& one) { return std::pair(-one.doubt(), one.part.restoration); });
  Mark mark;
  for (const Ranked& one : all_) {
    mark.add(static_cast<std::uint64_t>(one.part.restoration.number));
    mark.add(std::bit_cast<std::uint64_t>(one.doubt()));
  }
  mark_ = mark.text();
}

LookBackRanking::Page LookBackRanking::page(std::size_t limit, const std::optional<std::string>& after,
                                            std::optional<DecisionState> only) const {
  std::size_t at = 0;
  if (after) {
    const std::size_t dash = after->find('-');
    const auto place = dash == std::string::npos ? std::nullopt : base::whole_number(after->substr(dash + 1));
    if (!place || *place < 0) {
      base::refuse("after", "it is no place in a list", "Send what the page before gave as its \"after\"");
    }
    at = static_cast<std::size_t>(*place);
    if (after->substr(0, dash) != mark_ || at > all_.size()) {
      throw store::Conflict("The ranking has changed since the page before this one. Begin again at its top.");
    }
  }
  Page page;
  for (; at < all_.size(); ++at) {
    const Ranked& one = all_[at];
    if (only && one.state() != *only) continue;
    if (page.rows.size() == limit) {
      page.after = mark_ + "-" + std::to_string(at);
      break;
    }
    page.rows.push_back(&one);
  }
  return page;
}

}  // namespace throughcure::desk
