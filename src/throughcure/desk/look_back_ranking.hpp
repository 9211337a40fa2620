// A look-back's restorations in the order of doubt, without any of them read whole: what its list is paged from.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/recomputations.hpp"

namespace throughcure::desk {

/// Where a restoration stands with its decision.
enum class DecisionState : std::uint8_t { kUndecided, kRecall, kWatch, kNone };
inline constexpr std::array<std::string_view, 4> kDecisionStates = {"undecided", "recall", "watch", "none"};

/// A restoration in its place.
struct Ranked {
  LookBackPart part;
  double chance_too_weak = 0;       ///< that the light gave less than its checks asked for, that day [0..1]
  const Outcome* result = nullptr;  ///< null: not known as things stand now
  /// That it was under-cured, and where that is not known that of too weak a light [0..1].
  [[nodiscard]] double doubt() const;
  [[nodiscard]] DecisionState state() const;
};

/// The worst first; of equals the one with the lower number. Some hundred bytes for each.
class LookBackRanking {
 public:
  /// `recomputations` must outlive it.
  LookBackRanking(const std::vector<LookBackPart>& parts, const LookBackOutput& output, double shown_limit_mw_cm2,
                  const Recomputations& recomputations);

  [[nodiscard]] const std::vector<Ranked>& all() const { return all_; }
  /// By DecisionState.
  [[nodiscard]] const std::array<std::size_t, 4>& counts() const { return counts_; }
  /// Of those with a case, how many, and of how many it is known what they came to.
  [[nodiscard]] std::size_t with_case() const { return with_case_; }
  [[nodiscard]] std::size_t known() const { return known_; }

  struct Page {
    std::vector<const Ranked*> rows;
    std::optional<std::string> after;  ///< where the next one begins; none: this is the last
  };
  /// The first `limit` after a place that an earlier page gave, or from the top, of those in one state or of all. A
  /// decision made in between moves nothing: none is left out and none comes twice. Throws store::Conflict where the
  /// ranking is another one by now, and base::InputError, about "after", where that is no such place.
  [[nodiscard]] Page page(std::size_t limit, const std::optional<std::string>& after,
                          std::optional<DecisionState> only) const;

 private:
  std::vector<Ranked> all_;
  std::array<std::size_t, 4> counts_{};
  std::size_t with_case_ = 0;
  std::size_t known_ = 0;
  std::string mark_;  ///< of the order and the chances: the same as long as they are
};

}  // namespace throughcure::desk
