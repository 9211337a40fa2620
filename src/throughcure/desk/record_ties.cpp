#include "throughcure/desk/record_ties.hpp"

#include <optional>
#include <string>
#include <utility>

#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/tooth_text.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/restoration.hpp"

namespace throughcure::desk {

namespace {

std::optional<base::LightId> light_of(const store::Reader& reader, base::TipId tip) {
  const auto kept = reader.get<fleet::TipEntry>(tip);
  return kept ? std::optional(kept->record.light) : std::nullopt;
}

/// Readings and restorations name a tip with its light: what is fitted to another light is a tip of its own.
base::Problems tip_problems(const std::vector<base::Value>* before, const fleet::TipEntry& after) {
  if (before == nullptr || base::record_of<fleet::TipEntry>(*before).light == after.light) return {};
  return {{.file = "tip",
           .field = "light",
           .what = "readings of this tip are of the light that it belongs to",
           .remedy = "Add a tip to the other light"}};
}

/// What stands on record with a tooth of no notation stays so until its tooth is corrected.
base::Problems restoration_problems(const store::Reader& reader, const std::vector<base::Value>* before,
                                    const practice::Restoration& made) {
  base::Problems problems;
  const auto light = light_of(reader, made.tip);
  if (light && *light != made.light) {
    problems.push_back({.file = "restoration",
                        .field = "tip",
                        .what = "this tip belongs to another light",
                        .remedy = "Choose a tip of this light"});
  }
  const bool kept = before != nullptr && base::record_of<practice::Restoration>(*before).tooth == made.tooth;
  if (!kept && iso_tooth(made.tooth) != made.tooth) {
    problems.push_back({.file = "restoration",
                        .field = "tooth",
                        .what = "there is no such tooth in ISO 3950",
                        .remedy = std::string(kIsoTeeth)});
  }
  return problems;
}

base::Problems servicing_problems(const fleet::ServicingEntry& entry, base::Instant now) {
  base::Problems problems;
  const auto add = [&](std::string field, std::string what, std::string remedy) {
    problems.push_back(
        {.file = "servicing", .field = std::move(field), .what = std::move(what), .remedy = std::move(remedy)});
  };
  if (lies_ahead(entry.at, now)) {
    add("at", "it lies more than a day ahead", "Give the time at which it was done, once it is");
  }
  const bool moved = entry.what == fleet::Deed::kLent || entry.what == fleet::Deed::kReturned;
  if (entry.room && !moved) {
    add("room", "a room is named, and the light was neither lent nor did it come back", "Leave the room out");
  }
  return problems;
}

}  // namespace

base::Problems tie_problems(const store::Reader& reader, const store::Table& table,
                            const std::vector<base::Value>* before, const std::vector<base::Value>& after,
                            base::Instant now) {
  if (table.kind == base::kind_of<fleet::ReadingEntry>()) {
    const auto reading = base::record_of<fleet::ReadingEntry>(after);
    return reading_problems(reading, light_of(reader, reading.tip), now);
  }
  if (table.kind == base::kind_of<fleet::TipEntry>()) {
    return tip_problems(before, base::record_of<fleet::TipEntry>(after));
  }
  if (table.kind == base::kind_of<practice::Restoration>()) {
    return restoration_problems(reader, before, base::record_of<practice::Restoration>(after));
  }
  if (table.kind == base::kind_of<fleet::ServicingEntry>()) {
    return servicing_problems(base::record_of<fleet::ServicingEntry>(after), now);
  }
  return {};
}

}  // namespace throughcure::desk
