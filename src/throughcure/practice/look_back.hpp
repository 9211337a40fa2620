// A look-back: the restorations that depended on a light since its last good check, and what was decided of each.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

enum class Because : std::uint8_t { kFailedCheck, kWithdrawn };

struct LookBack {
  using Kind = base::LookBackKind;
  base::LightId light;
  Because because = Because::kFailedCheck;
  std::optional<base::ReadingId> reading{};   ///< the one that failed
  std::optional<base::Instant> good_until{};  ///< its last confirmed good check; none: there was none
  base::Instant until{};                      ///< when it was taken out of use
  base::Instant opened_at{};
  base::PersonId opened_by;
  std::optional<base::Instant> closed_at{};
  std::optional<base::LookBackId> merged_into{};  ///< two failures of one light, looked at as one
  std::optional<std::string> note{};              ///< private
  static constexpr auto fields() {
    using L = LookBack;
    return std::tuple{base::field("light", &L::light),
                      base::field("because", &L::because),
                      base::field("reading", &L::reading),
                      base::field("good_until", &L::good_until),
                      base::field("until", &L::until),
                      base::field("opened_at", &L::opened_at),
                      base::field("opened_by", &L::opened_by),
                      base::field("closed_at", &L::closed_at),
                      base::field("merged_into", &L::merged_into),
                      base::field("note", &L::note, base::Privacy::kPrivate)};
  }
  friend bool operator==(const LookBack&, const LookBack&) = default;
};

enum class Followup : std::uint8_t { kRecall, kWatch, kNone };

/// Of one restoration in a look-back. Whoever signs it has shown their password again.
struct Decision {
  using Kind = base::DecisionKind;
  base::LookBackId look_back;
  base::RestorationId restoration;
  Followup what = Followup::kWatch;
  std::string reason;                          ///< private
  std::optional<double> chance_under_cured{};  ///< as recomputed, when it was decided [0..1]
  std::optional<std::string> engine{};         ///< that computed it
  base::PersonId signed_by;
  base::Instant signed_at{};
  static constexpr auto fields() {
    using D = Decision;
    return std::tuple{base::field("look_back", &D::look_back),
                      base::field("restoration", &D::restoration),
                      base::field("what", &D::what),
                      base::field("reason", &D::reason, base::Privacy::kPrivate),
                      base::field("chance_under_cured", &D::chance_under_cured),
                      base::field("engine", &D::engine),
                      base::field("signed_by", &D::signed_by),
                      base::field("signed_at", &D::signed_at)};
  }
  friend bool operator==(const Decision&, const Decision&) = default;
};

}  // namespace throughcure::practice

template <>
struct throughcure::base::Words<throughcure::practice::Because> {
  static constexpr std::array<std::string_view, 2> words = {"failed_check", "withdrawn"};
};

template <>
struct throughcure::base::Words<throughcure::practice::Followup> {
  static constexpr std::array<std::string_view, 3> words = {"recall", "watch", "none"};
};
