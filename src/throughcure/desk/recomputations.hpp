// What the restorations of a look-back were recomputed to, and whether that still holds.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/look_back_output.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/practice/recomputed.hpp"

namespace throughcure::desk {

/// What one restoration came to.
struct Outcome {
  base::RestorationId restoration;
  base::RecomputedId recomputed;               ///< the record that says so, and why where there is no chance
  std::optional<double> chance_under_cured{};  ///< [0..1]; none: it could not be worked out
  std::int64_t of_revision = 0;                ///< of the restoration
  double output_ln_mean = 0;                   ///< that it was worked out with [ln mW/cm2]
  double output_ln_sd = 0;
  bool of_this_engine = false;
  base::Instant at{};
};

/// Looked up once for all of a look-back.
class Recomputations {
 public:
  /// Of it and of those merged into it, the newest of each restoration. `engine` is this program's.
  Recomputations(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back,
                 const std::string& engine);

  /// Null where it was never recomputed, or where since then the restoration was corrected, the light's output is
  /// estimated otherwise (a reading was corrected, another look-back merged) or another engine computes.
  [[nodiscard]] const Outcome* find(base::RestorationId restoration, std::int64_t revision, base::Instant placed_at,
                                    const LookBackOutput& output) const;

 private:
  std::vector<Outcome> newest_;  ///< by the restoration's number
};

}  // namespace throughcure::desk
