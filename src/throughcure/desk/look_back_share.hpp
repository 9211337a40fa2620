// Which of a look-back's restorations somebody may see: those made at their site. Its light may have been lent, or have
// moved to another site since.
#pragma once

#include <cstdint>
#include <vector>

#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/member.hpp"

namespace throughcure::desk {

/// What somebody sees, and what there is besides.
struct SharedCounts {
  LookBackCounts seen;
  LookBackCounts elsewhere;
};

/// Of one moment. It asks for the rooms in which restorations were made with the light, which are few; only where some
/// of them are at another site it holds the numbers of restorations.
class LookBackShare {
 public:
  LookBackShare(const store::Reader& reader, const Places& places, const practice::Member& member,
                const store::Kept<practice::LookBack>& look_back);

  /// Whether its light is at a site that they see: what is done with the look-back as a whole is for those.
  [[nodiscard]] bool sees_light() const { return sees_light_; }
  /// Whether it is there for them at all: its light or one of its restorations is.
  [[nodiscard]] bool sees_any() const { return sees_light_ || !otherwise_.empty(); }
  /// Of a restoration that the look-back names.
  [[nodiscard]] bool sees(base::RestorationId restoration) const;
  [[nodiscard]] SharedCounts counts(const LookBackTally& tally) const;

 private:
  bool sees_light_ = false;
  std::vector<std::int64_t> otherwise_;  ///< seen where the light is not, not seen where it is; by number
};

}  // namespace throughcure::desk
