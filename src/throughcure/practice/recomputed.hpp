// What one restoration of a look-back came to when it was worked out again with what the light gave that day.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <tuple>

#include "throughcure/base/record.hpp"

namespace throughcure::practice {

/// Holds for one revision of the restoration, one estimate of the output and one engine: where any of
/// them is another by now, it is to be worked out again.
struct Recomputed {
  using Kind = base::RecomputedKind;
  base::LookBackId look_back;
  base::RestorationId restoration;
  std::int64_t of_revision = 0;                ///< of the restoration
  double output_ln_mean = 0;                   ///< of the output that day [ln mW/cm2]
  double output_ln_sd = 0;                     ///< of it
  std::optional<double> chance_under_cured{};  ///< [0..1]; none: it could not be worked out
  std::optional<std::string> why_not{};        ///< the reason then, private: it may repeat what the case says
  std::int64_t seed = 0;
  std::string engine;  ///< that computed it: its version and the mark of its sources
  base::Instant at{};
  static constexpr auto fields() {
    using R = Recomputed;
    return std::tuple{base::field("look_back", &R::look_back),
                      base::field("restoration", &R::restoration),
                      base::field("of_revision", &R::of_revision),
                      base::field("output_ln_mean", &R::output_ln_mean),
                      base::field("output_ln_sd", &R::output_ln_sd),
                      base::field("chance_under_cured", &R::chance_under_cured),
                      base::field("why_not", &R::why_not, base::Privacy::kPrivate),
                      base::field("seed", &R::seed),
                      base::field("engine", &R::engine),
                      base::field("at", &R::at)};
  }
  friend bool operator==(const Recomputed&, const Recomputed&) = default;
};

}  // namespace throughcure::practice
