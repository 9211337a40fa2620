// An invented practice for the store's tests: one of everything.
#pragma once

#include <limits>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/person.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/practice/setting.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {

inline constexpr base::Instant kMonday{1'767'600'000'000'000};  // 2026-01-05T08:00Z

inline store::Author program(std::int64_t us_later = 0) { return {"program", {kMonday.us + us_later}}; }

struct Practice {
  base::SiteId site;
  base::RoomId room;
  base::PersonId person;
  base::LightId light;
  base::TipId tip;
  base::RadiometerId radiometer;
};

inline Practice open_practice(store::Store& records) {
  Practice p;
  records.write(program(), [&](store::Writer& w) {
    p.site = w.add(practice::Site{"Harbour street", "Europe/Lisbon"});
    p.room = w.add(practice::Room{p.site, "Room 2"});
    p.person = w.add(practice::Person{"Ana \u00c5berg", practice::Role::kAssistant, p.site, true});
    p.light = w.add(fleet::LightEntry{.room = p.room,
                                      .name = "Lamp A",
                                      .serial = "0042",
                                      .claimed_mw_cm2 = 1000.0,
                                      .approval_number = {},
                                      .approved_by = {},
                                      .bought_in = {},
                                      .warranty_until = {},
                                      .accepted_at = kMonday,
                                      .withdrawn_at = {}});
    p.tip = w.add(fleet::TipEntry{p.light, "8 mm", 8});
    p.radiometer = w.add(fleet::RadiometerEntry{"meter of room 2", "R-7", 8.0, {}});
  });
  return p;
}

inline fleet::ReadingEntry reading_of(const Practice& p, double shown_mw_cm2, base::Instant at = kMonday) {
  return {.light = p.light,
          .tip = p.tip,
          .radiometer = p.radiometer,
          .room = p.room,
          .taken_by = p.person,
          .taken_at = at,
          .arrived_at = at,
          .mode = "standard",
          .shown_mw_cm2 = shown_mw_cm2,
          .second_of_press = 5.0,
          .barrier_on = false,
          .tip_clean = true,
          .battery = {},
          .note = {}};
}

inline practice::Restoration restoration_of(const Practice& p, const std::string& chart) {
  return {.chart = chart,
          .tooth = "36",
          .surfaces = "DO",
          .placed_at = kMonday,
          .placed_by = p.person,
          .light = p.light,
          .tip = p.tip,
          .material = "universal paste, dark shade A3",
          .lot = "7",
          .barrier_pass = 0.93,
          .resolved_case = "{\"version\":1}",
          .probability = 0.1 + 0.2,
          .seed = std::numeric_limits<std::int64_t>::max(),
          .engine = "0.1",
          .note = "deep box; line\nbreak"};
}

}  // namespace throughcure::tests
