#include "invented_records.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "throughcure/base/given.hpp"
#include "throughcure/base/random.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/normal.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::bench {

namespace {

using std::chrono::hours;

constexpr hours kBetweenChecks{8};
constexpr hours kInDoubt{24 * 180};
constexpr std::size_t kAtOnce = 20'000;       // records in one transaction
constexpr std::size_t kBytesOfACase = 3'000;  // about as long as the demo's

class Maker {
 public:
  Maker(store::Store& records, const RecordsSize& size, base::Instant now)
      : records_(records), size_(size), now_(now) {}

  void make() {
    records_.write({"program", now_}, [&](store::Writer& writer) {
      people(writer);
      equipment(writer);
    });
    in_pieces(size_.readings, [&](store::Writer& writer, std::size_t i) { check(writer, i); });
    in_pieces(size_.restorations, [&](store::Writer& writer, std::size_t i) { restoration(writer, i); });
    records_.write({"program", now_}, [&](store::Writer& writer) { failure(writer); });
  }

 private:
  template <class Work>
  void in_pieces(std::size_t count, const Work& work) {
    for (std::size_t from = 0; from < count; from += kAtOnce) {
      records_.write({"program", now_}, [&](store::Writer& writer) {
        for (std::size_t i = from; i < std::min(from + kAtOnce, count); ++i) work(writer, i);
      });
    }
  }

  void people(store::Writer& w) {
    site_ = w.add(practice::Site{"Harbour street", "Europe/Lisbon"});
    const auto join = [&](const std::string& name, practice::Role role, bool everywhere) {
      const base::PersonId person = w.add(practice::Person{name, role, site_, true, everywhere});
      w.add(practice::Account{person, name, {}, {}});
      return person;
    };
    dentist_ = join("lead", practice::Role::kLead, true);
    for (std::size_t i = 0; i < size_.phones; ++i) {
      assistant_ = join("phone " + std::to_string(i), practice::Role::kAssistant, false);
    }
  }

  void equipment(store::Writer& w) {
    radiometer_ = w.add(fleet::RadiometerEntry{"Meter of the sterile room", "R-7", 8.0, now_ + hours(4800), "broad"});
    w.add(fleet::CertificateEntry{radiometer_, "C-2211", "Invented laboratory", now_ - hours(4000), now_ + hours(4800),
                                  0.08});
    barrier_ = w.add(fleet::BarrierEntry{"Clear sleeve", 0.93, 0.02, "invented"});
    const std::size_t of_each = size_.readings / size_.lights;
    for (std::size_t i = 0; i < size_.lights; ++i) {
      const std::string number = std::to_string(i + 1);
      rooms_.push_back(w.add(practice::Room{site_, "Room " + number, radiometer_, 7}));
      lights_.push_back(
          w.add(fleet::LightEntry{.room = rooms_.back(),
                                  .name = "Lamp " + number,
                                  .serial = "K-" + number,
                                  .claimed_mw_cm2 = 1000.0,
                                  .approval_number = "INV-" + number,
                                  .approved_by = "Invented agency",
                                  .bought_in = {},
                                  .warranty_until = {},
                                  .accepted_at = now_ - kBetweenChecks * static_cast<std::int64_t>(of_each),
                                  .withdrawn_at = {},
                                  .check_mode = "standard",
                                  .battery = "lithium-ion"}));
      tips_.push_back(w.add(fleet::TipEntry{lights_.back(), "straight", 8}));
    }
  }

  [[nodiscard]] fleet::ReadingEntry reading_of(std::size_t light, base::Instant at, double shown_mw_cm2) const {
    return {.light = lights_[light],
            .tip = tips_[light],
            .radiometer = radiometer_,
            .room = rooms_[light],
            .taken_by = assistant_,
            .taken_at = at,
            .arrived_at = at + std::chrono::seconds(2),
            .mode = "standard",
            .shown_mw_cm2 = shown_mw_cm2,
            .second_of_press = 5.0,
            .barrier_on = false,
            .tip_clean = true,
            .battery = 1.0,
            .note = {}};
  }

  /// The i-th of all: round by round, each light once. The failed light has none in its time in doubt.
  void check(store::Writer& w, std::size_t i) {
    const std::size_t light = i % size_.lights;
    const auto round = static_cast<std::int64_t>(i / size_.lights);
    const auto rounds = static_cast<std::int64_t>(size_.readings / size_.lights);
    base::Instant at = now_ - kBetweenChecks * (rounds - round) + std::chrono::minutes(light % 400);
    if (light + 1 == size_.lights) at = at - kInDoubt;
    base::Stream stream(7, 1, i);
    const double share = 1 - 0.05 * static_cast<double>(round) / static_cast<double>(rounds);
    fleet::ReadingEntry reading =
        reading_of(light, at, std::round(950 * share * std::exp(0.03 * fleet::standard_normal(stream))));
    if (round % 4 == 3) {
      reading.barrier_on = true;
      reading.barrier = barrier_;
      reading.shown_mw_cm2 = std::round(0.93 * reading.shown_mw_cm2);
    }
    w.add(reading);
  }

  void restoration(store::Writer& w, std::size_t i) {
    base::Stream stream(7, 2, i);
    const auto before = static_cast<std::int64_t>(stream.uniform() * static_cast<double>(kInDoubt.count()) * 3600e6);
    practice::Restoration made{.chart = "INV-" + std::to_string(i),
                               .tooth = "36",
                               .surfaces = "DO",
                               .placed_at = {now_.us - before},
                               .placed_by = dentist_,
                               .light = lights_.back(),
                               .tip = tips_.back(),
                               .material = "Universal paste, A2",
                               .lot = "L-310",
                               .barrier_pass = 0.93,
                               .resolved_case = {},
                               .probability = {},
                               .seed = {},
                               .engine = {},
                               .note = {},
                               .room = rooms_.back()};
    if (i % 4 == 0) made.resolved_case = "{\"invented\":\"" + std::string(kBytesOfACase, 'x') + "\"}";
    w.add(made);
  }

  void failure(store::Writer& w) {
    const base::Instant at = now_ - hours(1);
    w.add(reading_of(lights_.size() - 1, at, 300));
    const base::ReadingId failed = w.add(reading_of(lights_.size() - 1, at + std::chrono::minutes(5), 300));
    const auto kept = base::given(w.get<fleet::LightEntry>(lights_.back()));
    fleet::LightEntry light = kept.record;
    light.withdrawn_at = now_;
    w.correct(kept.id, kept.revision, light);
    w.add(practice::LookBack{.light = lights_.back(),
                             .because = practice::Because::kFailedCheck,
                             .reading = failed,
                             .good_until = now_ - kInDoubt,
                             .until = now_,
                             .opened_at = now_,
                             .opened_by = assistant_});
  }

  store::Store& records_;
  RecordsSize size_;
  base::Instant now_;
  base::SiteId site_;
  base::PersonId dentist_;
  base::PersonId assistant_;
  base::RadiometerId radiometer_;
  base::BarrierId barrier_;
  std::vector<base::RoomId> rooms_;
  std::vector<base::LightId> lights_;
  std::vector<base::TipId> tips_;
};

const store::Query kAll{.where = {}, .order_by = {}, .limit = 1'000'000};

}  // namespace

void invent_records(store::Store& records, const RecordsSize& size, base::Instant now) {
  bool made = false;
  records.read([&](const store::Reader& reader) { made = !reader.list<fleet::LightEntry>().empty(); });
  if (!made) Maker(records, size, now).make();
}

practice::Member lead_of(store::Store& records) {
  std::optional<practice::Member> lead;
  records.read([&](const store::Reader& reader) { lead = desk::member(reader, kLeadAccount); });
  return base::given(lead);
}

std::vector<CheckedLight> lights_in_use(store::Store& records) {
  std::vector<CheckedLight> found;
  records.read([&](const store::Reader& reader) {
    const auto tips = reader.list<fleet::TipEntry>(kAll);
    for (const auto& kept : reader.list<fleet::LightEntry>(kAll)) {
      if (kept.record.withdrawn_at) continue;
      const auto tip = std::ranges::find(tips, kept.id, [](const auto& one) { return one.record.light; });
      found.push_back({kept.id, tip->id, kept.record.room, {1}});
    }
  });
  return found;
}

SignedIn sign_in(store::Store& records, base::AccountId account, base::Instant now) {
  service::NewSession made;
  records.write({"program", now}, [&](store::Writer& writer) {
    service::Sessions sessions;
    made = sessions.open(base::given(desk::member(writer, account)), {}, now);
    writer.keep_sign_in(made.kept);
  });
  return {made.cookie, made.session.page_token};
}

}  // namespace throughcure::bench
