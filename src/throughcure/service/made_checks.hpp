// What is asked of a restoration before it goes on record, planned or not: its light, its tip, its operator, its
// material and its barrier. Each refusal names its field.
#pragma once

#include <optional>
#include <string>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// What they all hang on.
struct MadeCheck {
  const store::Reader& reader;
  const practice::Member& member;
  base::Instant now;
};

/// The light, where it was at a site of theirs at that time. Throws desk::Missing where it never was, and refuses the
/// light where it was elsewhere then.
fleet::LightEntry light_then(const MadeCheck& check, base::LightId light, base::Instant placed_at);
/// Refuses a tip that is not of the light.
void must_be_its_tip(const MadeCheck& check, base::TipId tip, base::LightId light, const std::string& light_name);
/// Refuses a time that lies ahead.
void must_be_over(const MadeCheck& check, base::Instant placed_at);
/// Who placed it: whoever records it where nobody is named. Refuses one who may not place, or is of another site.
base::PersonId operator_of(const MadeCheck& check, std::optional<base::PersonId> named);
/// "Universal paste, A3". Refuses what is not on record.
std::string material_words(const MadeCheck& check, base::MaterialId material);
/// The share of light that a barrier of the practice lets through. Refuses what is not on record.
double barrier_pass(const MadeCheck& check, base::BarrierId barrier);

}  // namespace throughcure::service
