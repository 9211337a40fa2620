#include "throughcure/service/made_checks.hpp"

#include <algorithm>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/person.hpp"

namespace throughcure::service {

fleet::LightEntry light_then(const MadeCheck& check, base::LightId light, base::Instant placed_at) {
  const auto kept = check.reader.get<fleet::LightEntry>(light);
  const desk::Places places(check.reader);
  const desk::LightRooms rooms(check.reader);
  const auto theirs = [&](base::SiteId site) { return check.member.sees(site); };
  if (!kept) throw desk::Missing("There is no light of that number here.");
  if (theirs(places.site_of(rooms.at(light, placed_at), light))) return kept->record;
  const bool known = theirs(places.site_of(light)) || std::ranges::any_of(rooms.stays(light), [&](const auto& stay) {
                       return theirs(places.site_of(stay.room));
                     });
  if (!known) throw desk::Missing("There is no light of that number here.");
  base::refuse("light", kept->record.name + " was at another site then, where this restoration belongs",
               "Have it recorded there; if the light had been lent to yours, have the loan noted on its page first");
}

void must_be_its_tip(const MadeCheck& check, base::TipId tip, base::LightId light, const std::string& light_name) {
  const auto kept = check.reader.get<fleet::TipEntry>(tip);
  if (kept && kept->record.light == light) return;
  base::refuse("tip", "it is no tip of " + light_name, "Choose one of its tips");
}

void must_be_over(const MadeCheck& check, base::Instant placed_at) {
  if (!desk::lies_ahead(placed_at, check.now)) return;
  base::refuse("placed_at", "it lies more than a day ahead", "Give the time at which it was placed");
}

base::PersonId operator_of(const MadeCheck& check, std::optional<base::PersonId> named) {
  if (!named || *named == check.member.person) return check.member.person;
  const auto kept = check.reader.get<practice::Person>(*named);
  if (!kept || !(kept->record.everywhere || check.member.sees(kept->record.site))) {
    base::refuse("placed_by", "there is no person of that number here", "Choose one of the list");
  }
  if (kept->record.role < practice::Role::kClinician) {
    base::refuse("placed_by", kept->record.name + " is no clinician here", "Choose who placed it");
  }
  return *named;
}

std::string material_words(const MadeCheck& check, base::MaterialId material) {
  const auto kept = check.reader.get<practice::MaterialEntry>(material);
  if (!kept) base::refuse("material", "there is no material of that number", "Choose one of the list");
  return kept->record.shade.empty() ? kept->record.name : kept->record.name + ", " + kept->record.shade;
}

double barrier_pass(const MadeCheck& check, base::BarrierId barrier) {
  const auto kept = check.reader.get<fleet::BarrierEntry>(barrier);
  if (!kept) base::refuse("barrier", "there is no barrier of that number", "Choose one of the list");
  return kept->record.pass;
}

}  // namespace throughcure::service
