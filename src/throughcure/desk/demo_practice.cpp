#include "throughcure/desk/demo_practice.hpp"

#include <array>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "throughcure/base/given.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/told.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/restoration.hpp"

namespace throughcure::desk {

namespace {

using std::chrono::hours;

constexpr hours kDay{24};
constexpr int kWeeks = 52;
constexpr std::uint64_t kSeed = 20261126;
constexpr double kScatter = 0.02;  // of a reading: invented

/// How an invented light's output goes: the share of its first output after so many weeks.
using Course = double (*)(int week);

double steady(int week) { return 1 - 0.0004 * week; }
/// Sound for half a year, then ever faster.
double wearing_out(int week) { return week < 26 ? 1 - 0.0005 * week : 0.987 - 0.0058 * (week - 26); }
double dropped(int week) { return week < 40 ? 1 - 0.0003 * week : 0.93; }

struct DemoLight {
  const char* name;
  const char* serial;
  std::size_t room;
  double claimed_mw_cm2;
  double first_shown_mw_cm2;
  double tip_mm;
  Course course;
  int last_check_days;  ///< ago
};

constexpr std::array<DemoLight, 5> kLights = {{{"Lamp 1", "K-1042", 0, 1200, 1130, 8, steady, 2},
                                               {"Lamp 2", "K-1043", 1, 1200, 1165, 8, wearing_out, 6},
                                               {"Lamp 3", "K-0977", 1, 1000, 985, 7.5, steady, 3},
                                               {"Lamp 4", "K-1101", 2, 1500, 1390, 9, dropped, 5},
                                               {"Lamp 5", "K-1102", 2, 1500, 1420, 9, steady, 9}}};

/// Of the normal distribution, by Box and Muller.
double normal(base::Stream& random) {
  return std::sqrt(-2 * std::log(random.uniform())) * std::cos(2 * std::numbers::pi * random.uniform());
}

class Demo {
 public:
  Demo(store::Writer& writer, base::Instant now, const std::vector<std::string>& cases)
      : w_(writer), policy_(writer), now_(now), cases_(cases) {}

  practice::Member make() {
    people();
    equipment();
    for (std::size_t i = 0; i < kLights.size(); ++i) year_of(i);
    restorations();
    return base::given(member(w_, lead_account_));
  }

 private:
  void people() {
    site_ = w_.add(practice::Site{"Harbour street", "Europe/Lisbon"});
    lead_ = w_.add(practice::Person{"Marta Vint", practice::Role::kLead, site_, true, true});
    dentist_ = w_.add(practice::Person{"Jon Quarrel", practice::Role::kClinician, site_, true, false});
    assistant_ = w_.add(practice::Person{"Ana Teal", practice::Role::kAssistant, site_, true, false});
    lead_account_ = w_.add(practice::Account{lead_, "marta", {}, {}});
  }

  void equipment() {
    radiometer_ = w_.add(fleet::RadiometerEntry{"Meter of the sterile room", "R-7", 8.0, now_ + kDay * 200, "broad"});
    w_.add(fleet::CertificateEntry{radiometer_, "C-2211", "Invented laboratory", now_ - kDay * 165, now_ + kDay * 200,
                                   0.08});
    barrier_ = w_.add(fleet::BarrierEntry{"Clear sleeve", 0.93, 0.02, "measured here, five sleeves (invented)"});
    for (const char* name : {"Room 1", "Room 2", "Room 3"}) {
      rooms_.push_back(w_.add(practice::Room{site_, name, radiometer_, 7}));
    }
    for (const DemoLight& demo : kLights) {
      lights_.push_back(w_.add(fleet::LightEntry{.room = rooms_[demo.room],
                                                 .name = demo.name,
                                                 .serial = demo.serial,
                                                 .claimed_mw_cm2 = demo.claimed_mw_cm2,
                                                 .approval_number = "INV-" + std::string(demo.serial),
                                                 .approved_by = "Invented agency",
                                                 .bought_in = "Portugal",
                                                 .warranty_until = now_ + kDay * 300,
                                                 .accepted_at = taken_at(demo, 0),
                                                 .withdrawn_at = {},
                                                 .check_mode = "standard",
                                                 .battery = "lithium-ion",
                                                 .file = "demo-light"}));
      tips_.push_back(w_.add(fleet::TipEntry{lights_.back(), "straight", demo.tip_mm}));
    }
    const base::MaterialId paste =
        w_.add(practice::MaterialEntry{"Universal paste", "A3", 20.0, 2.0, "universal-paste-a3"});
    w_.add(practice::Lot{paste, "L-310", now_ + kDay * 400});
    const base::MaterialId bulk =
        w_.add(practice::MaterialEntry{"Bulk-fill paste", "universal", 20.0, 4.0, "bulk-fill-universal"});
    w_.add(practice::Lot{bulk, "B-072", now_ + kDay * 250});
    w_.add(practice::MaterialEntry{"One-bottle adhesive", "clear", 10.0, {}, "adhesive"});
  }

  [[nodiscard]] base::Instant taken_at(const DemoLight& light, int week) const {
    return now_ - kDay * (7 * (kWeeks - 1 - week) + light.last_check_days);
  }

  /// As a check of that time was taken in.
  void keep(const fleet::ReadingEntry& reading, LightRecord& light) {
    const CheckAnswer answer = answer_to_new(w_, light, policy_, reading, reading.arrived_at);
    light.history.readings.back().id = w_.add(as_told(reading, answer, policy_));
  }

  void year_of(std::size_t i) {
    LightRecord light = light_record(w_, lights_[i]);
    base::Stream random(kSeed, 1, i);
    for (int week = 0; week < kWeeks; ++week) {
      const double output = kLights[i].first_shown_mw_cm2 * kLights[i].course(week);
      const bool barrier = week % 9 == 4;
      const double shown = output * (barrier ? 0.93 : 1) * std::exp(kScatter * normal(random));
      const base::Instant at = taken_at(kLights[i], week) + std::chrono::minutes(8 * static_cast<int>(i));
      keep({.light = lights_[i],
            .tip = tips_[i],
            .radiometer = radiometer_,
            .room = rooms_[kLights[i].room],
            .taken_by = assistant_,
            .taken_at = at,
            .arrived_at = at + std::chrono::seconds(2),
            .mode = "standard",
            .shown_mw_cm2 = std::round(shown / 5) * 5,
            .second_of_press = 5.0,
            .barrier_on = barrier,
            .tip_clean = true,
            .battery = 1.0,
            .note = {},
            .purpose = fleet::Purpose::kCheck,
            .barrier = barrier ? std::optional(barrier_) : std::nullopt,
            .tip_whole = true,
            .barrier_smooth = barrier ? std::optional(true) : std::nullopt,
            .vents_clear = true,
            .disinfected = true},
           light);
    }
    if (kLights[i].course == dropped) {
      w_.add(fleet::ServicingEntry{
          lights_[i], taken_at(kLights[i], 40) - kDay, assistant_, fleet::Deed::kDropped, {}, {}});
    }
  }

  /// Every fourth restoration has been planned, and keeps its case.
  [[nodiscard]] std::optional<std::string> case_of(int restoration) const {
    constexpr int every = 4;
    if (cases_.empty() || restoration % every != 0) return std::nullopt;
    return cases_[static_cast<std::size_t>(restoration / every) % cases_.size()];
  }

  void restorations() {
    constexpr std::array<const char*, 8> teeth = {"16", "26", "36", "46", "15", "25", "37", "47"};
    constexpr std::array<const char*, 4> surfaces = {"DO", "MO", "O", "MOD"};
    base::Stream random(kSeed, 2, 0);
    const auto pick = [&](std::size_t of) { return random.bits() % of; };
    constexpr int made = 220;
    for (int i = 0; i < made; ++i) {
      // The last ones are of this week, by the lamp that wears out.
      const bool recent = i >= made - 14;
      const std::size_t light = recent ? 1 : pick(kLights.size());
      const double days = recent ? 5.5 : 300;
      const base::Instant at =
          now_ - std::chrono::minutes(static_cast<std::int64_t>(random.uniform() * days * 24 * 60));
      w_.add(practice::Restoration{.chart = "INV-" + std::to_string(1000 + i),
                                   .tooth = teeth[pick(teeth.size())],
                                   .surfaces = surfaces[pick(surfaces.size())],
                                   .placed_at = at,
                                   .placed_by = dentist_,
                                   .light = lights_[light],
                                   .tip = tips_[light],
                                   .material = "Universal paste, A3",
                                   .lot = "L-310",
                                   .barrier_pass = 0.93,
                                   .resolved_case = case_of(i),
                                   .probability = {},
                                   .seed = {},
                                   .engine = {},
                                   .note = {},
                                   .room = rooms_[kLights[light].room]});
    }
  }

  store::Writer& w_;
  Policy policy_;
  base::Instant now_;
  const std::vector<std::string>& cases_;
  base::SiteId site_;
  base::PersonId lead_;
  base::PersonId dentist_;
  base::PersonId assistant_;
  base::AccountId lead_account_;
  base::RadiometerId radiometer_;
  base::BarrierId barrier_;
  std::vector<base::RoomId> rooms_;
  std::vector<base::LightId> lights_;
  std::vector<base::TipId> tips_;
};

}  // namespace

practice::Member demo_practice(store::Store& records, base::Instant now, const std::vector<std::string>& cases) {
  practice::Member lead;
  records.write({"program", now}, [&](store::Writer& writer) {
    for (const PersonRow& row : people(writer)) {
      if (row.account) lead = member(writer, row.account->id).value_or(lead);
    }
    if (lead.account.number != 0) return;
    lead = Demo(writer, now, cases).make();
    set_password(writer, lead.account, practice::hash_secret(kDemoPassword), now);
  });
  return lead;
}

}  // namespace throughcure::desk
