// Lights that are remembered against lights that are read anew, after whatever was written. No outside source: this is
// our own contract. Everything here is invented.
#include "throughcure/desk/light_cache.hpp"

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "service/scratch_folder.hpp"
#include "throughcure/desk/checks.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/told.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/practice/setting.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::tests {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

constexpr base::Instant kMonday{1'767'600'000'000'000};  // 2026-01-05T08:00Z
constexpr std::size_t kLights = 3;

template <class Value>
bool same(const std::vector<Value>& a, const std::vector<Value>& b) {
  return a == b;
}

bool same(const fleet::OutputSpread& a, const fleet::OutputSpread& b) {
  return a.p10 == b.p10 && a.p50 == b.p50 && a.p90 == b.p90 && a.ln_sd == b.ln_sd;
}

bool same(const fleet::Interval& a, const fleet::Interval& b) {
  return a.p10 == b.p10 && a.p50 == b.p50 && a.p90 == b.p90;
}

template <class Value, class Same>
bool same(const std::optional<Value>& a, const std::optional<Value>& b, const Same& same_values) {
  return a.has_value() == b.has_value() && (!a || same_values(*a, *b));
}

bool same(const desk::LightState& a, const desk::LightState& b) {
  const auto same_last = [](const desk::Judged& x, const desk::Judged& y) {
    return x.id == y.id && x.at == y.at && x.bare_mw_cm2 == y.bare_mw_cm2 && x.share == y.share &&
           x.baseline_mw_cm2 == y.baseline_mw_cm2 && x.limit_mw_cm2 == y.limit_mw_cm2 && x.first == y.first &&
           x.below == y.below && x.low == y.low && x.high == y.high;
  };
  return a.state == b.state && a.why == b.why && same(a.last, b.last, same_last) && a.last_check == b.last_check &&
         a.due == b.due && a.overdue == b.overdue && a.overdue_days == b.overdue_days;
}

bool same(const fleet::LightToday& a, const fleet::LightToday& b) {
  const auto same_interval = [](const fleet::Interval& x, const fleet::Interval& y) { return same(x, y); };
  const auto same_falls = [](const fleet::FallsBelow& x, const fleet::FallsBelow& y) {
    return x.early == y.early && x.middle == y.middle && x.late == y.late;
  };
  const auto same_paired = [](const fleet::PairedShare& x, const fleet::PairedShare& y) {
    return x.middle == y.middle && x.low == y.low && x.high == y.high && x.pairs == y.pairs;
  };
  return same(a.today, b.today) && same(a.share_of_claim, b.share_of_claim, same_interval) &&
         same(a.change_per_year, b.change_per_year) && same(a.falls_below, b.falls_below, same_falls) &&
         a.days_since_reading == b.days_since_reading && same(a.sag, b.sag, same_paired) && a.sags == b.sags &&
         same(a.cleaning, b.cleaning, same_paired) && a.alarm_stands == b.alarm_stands &&
         a.needs_bare_reading == b.needs_bare_reading && a.shown_per_exitance == b.shown_per_exitance;
}

/// What a line says against what the light's page says, whose every number is worked out from all readings.
void expect_same(const desk::LightLine& line, const desk::LightView& view) {
  RC_ASSERT(*line.record == view.record);
  RC_ASSERT(same(line.state, view.state));
  RC_ASSERT(same(line.output, view.output));
  RC_ASSERT(line.has_readings == !view.output.split.series.empty());
  RC_ASSERT(line.alarm == view.alarm);
  RC_ASSERT(line.limit.shown_mw_cm2 == view.limit.shown_mw_cm2);
  RC_ASSERT(line.limit.shown_per_exitance == view.limit.shown_per_exitance);
}

/// A practice that anything may happen to, served by two programs: each with its own cache.
class Course {
 public:
  Course()
      : here_(std::in_place_type<store::InFile>, store::InFile{folder_.path() / "records.db"}),
        one_(here_),
        other_(here_) {
    one_.write(author(), [&](store::Writer& w) {
      site_ = w.add(practice::Site{"Harbour street", "Europe/Lisbon"});
      person_ = w.add(practice::Person{"Ana", practice::Role::kAssistant, site_, true, false});
      radiometers_ = {w.add(fleet::RadiometerEntry{"Meter", "R-7", 8.0, {}}),
                      w.add(fleet::RadiometerEntry{"Other", "R-8", 12.0, {}, "broad"})};
      room_ = w.add(practice::Room{site_, "Room 1", radiometers_[0], 7});
      barrier_ = w.add(fleet::BarrierEntry{"Sleeve", 0.93, 0.02, "invented"});
      for (std::size_t i = 0; i < kLights; ++i) {
        lights_.push_back(w.add(fleet::LightEntry{.room = room_,
                                                  .name = "Lamp",
                                                  .serial = "K-" + std::to_string(i),
                                                  .claimed_mw_cm2 = 1000.0,
                                                  .approval_number = {},
                                                  .approved_by = {},
                                                  .bought_in = {},
                                                  .warranty_until = {},
                                                  .accepted_at = now_,
                                                  .withdrawn_at = {},
                                                  .check_mode = "standard",
                                                  .battery = "lithium-ion"}));
        tips_.push_back(w.add(fleet::TipEntry{lights_.back(), "straight", 8}));
      }
    });
  }

  void act() {
    now_ = now_ + minutes(*rc::gen::inRange(0, *rc::gen::element(90, 20'000)));
    switch (*rc::gen::inRange(0, 14)) {
      case 0:
        return correct_reading();
      case 1:
        return correct_light();
      case 2:
        return service();
      case 3:
        return change_policy();
      case 4:
        return change_around();
      case 5:
        return fail_to_write();
      case 6:
        return attach();
      case 7:
        return many_readings();
      default:
        return take_check();
    }
  }

  void look() {
    // The other program looks now and then, so that its cache lags behind.
    look(one_, one_cache_);
    if (*rc::gen::inRange(0, 3) == 0) look(other_, other_cache_);
  }

 private:
  [[nodiscard]] store::Author author() const { return {"1", now_}; }
  store::Store& some_store() { return *rc::gen::arbitrary<bool>() ? one_ : other_; }
  [[nodiscard]] static std::size_t some_light() { return *rc::gen::inRange<std::size_t>(0, kLights); }

  void look(store::Store& records, desk::LightCache& cache) {
    records.read([&](const store::Reader& reader) {
      desk::LightsNow lights(reader, &cache);
      const desk::Policy policy(reader);
      for (const base::LightId light : lights_) {
        const auto now = *rc::gen::inRange(0, 10) == 0 ? now_ - hours(100) : now_;
        const desk::LightView view = desk::light_view(desk::light_record(reader, light), policy, now);
        expect_same(lights.line(light, now), view);
        RC_ASSERT(same(lights.state(light, now), view.state));
      }
    });
  }

  /// Mostly nobody looked.
  static std::optional<bool> some_look() {
    return *rc::gen::element<std::optional<bool>>(std::nullopt, std::nullopt, std::nullopt, true, true, false);
  }

  [[nodiscard]] fleet::ReadingEntry some_reading(std::size_t light) const {
    // Mostly now; some were sent later, some by a clock that is fast.
    const int off = *rc::gen::inRange(0, 12);
    const base::Instant at = off == 0 ? now_ - hours(*rc::gen::inRange(1, 400)) : off == 1 ? now_ + hours(20) : now_;
    const bool covered = *rc::gen::inRange(0, 4) == 0;
    return {.light = lights_[light],
            .tip = tips_[light],
            .radiometer = radiometers_[*rc::gen::inRange(0, 5) == 0 ? 1 : 0],
            .room = room_,
            .taken_by = person_,
            .taken_at = at,
            .arrived_at = now_,
            .mode = *rc::gen::inRange(0, 6) == 0 ? "soft" : "standard",
            .shown_mw_cm2 = static_cast<double>(*rc::gen::inRange(300, 1200)),
            .second_of_press = {},
            .barrier_on = covered,
            .tip_clean = *rc::gen::inRange(0, 8) != 0,
            .battery = *rc::gen::element<std::optional<double>>(0.2, std::nullopt, 1.0, 1.0, 1.0),
            .note = {},
            .purpose = *rc::gen::element(fleet::Purpose::kBeforeCleaning, fleet::Purpose::kLowBattery,
                                         fleet::Purpose::kCheck, fleet::Purpose::kCheck, fleet::Purpose::kCheck,
                                         fleet::Purpose::kCheck, fleet::Purpose::kCheck, fleet::Purpose::kCheck),
            .barrier = covered && *rc::gen::arbitrary<bool>() ? std::optional(barrier_) : std::nullopt,
            .tip_whole = some_look(),
            .barrier_smooth = covered ? some_look() : std::nullopt,
            .vents_clear = some_look()};
  }

  /// By the desk's own act, which judges it from what is remembered: against one that remembers nothing.
  void take_check() {
    const fleet::ReadingEntry reading = some_reading(some_light());
    const practice::Member by{{1}, person_, "Ana", practice::Role::kAssistant, site_, false};
    desk::CheckAnswer with;
    desk::CheckAnswer without;
    const bool here = *rc::gen::arbitrary<bool>();
    store::Store& records = here ? one_ : other_;
    try {
      records.write(author(), [&](store::Writer& w) {
        without = desk::take_check(w, reading, by, now_, nullptr);
        throw std::runtime_error("only to see what it says");
      });
    } catch (const std::runtime_error&) {
      records.write(author(), [&](store::Writer& w) {
        with = desk::take_check(w, reading, by, now_, here ? &one_cache_ : &other_cache_);
      });
    }
    RC_ASSERT(with.reading == without.reading);
    RC_ASSERT(with.verdict == without.verdict);
    RC_ASSERT(with.sentence == without.sentence);
    RC_ASSERT(with.steps == without.steps);
    RC_ASSERT(with.share == without.share);
    RC_ASSERT(with.baseline_mw_cm2 == without.baseline_mw_cm2);
    RC_ASSERT(with.look_back == without.look_back);
    RC_ASSERT(with.state == without.state);
    RC_ASSERT(with.watch == without.watch);
    RC_ASSERT(with.ask == without.ask);
    RC_ASSERT(with.limit_mw_cm2 == without.limit_mw_cm2);
    expect_as_if_on_record(records, with);
  }

  /// What a check was told before it was written is what is said of it where it stands among the others, and is kept.
  void expect_as_if_on_record(store::Store& records, const desk::CheckAnswer& told) const {
    records.read([&](const store::Reader& r) {
      const fleet::ReadingEntry kept = r.get<fleet::ReadingEntry>(told.reading).value().record;
      const desk::LightRecord light = desk::light_record(r, kept.light);
      const desk::Policy policy(r);
      const auto all = desk::judged(light, policy, std::max(now_, kept.taken_at));
      const desk::CheckAnswer again = desk::check_answer(light, policy, all, told.reading, kept);
      RC_ASSERT(again.verdict == told.verdict);
      RC_ASSERT(again.sentence == told.sentence);
      RC_ASSERT(again.share == told.share);
      RC_ASSERT(again.baseline_mw_cm2 == told.baseline_mw_cm2);
      // And how the light stands is as its page has it, the charts' alarms and the battery in it.
      const desk::LightView view = desk::light_view(light, policy, std::max(now_, kept.taken_at));
      RC_ASSERT(told.state == view.state.state);
      const bool by_charts = (view.alarm || view.output.sags) && !light.light.record.withdrawn_at &&
                             light.light.record.accepted_at.has_value();
      const bool said = told.verdict != desk::CheckVerdict::kAgain && told.verdict != desk::CheckVerdict::kFailed;
      RC_ASSERT(told.watch.has_value() == (by_charts && said));
      RC_ASSERT(kept.told == told.verdict);
      RC_ASSERT(kept.told_share == told.share);
      RC_ASSERT(kept.told_baseline_mw_cm2 == told.baseline_mw_cm2);
      RC_ASSERT(kept.told_limits == (told.share ? std::optional(desk::limits_of_checks(policy)) : std::nullopt));
    });
  }

  void many_readings() {
    some_store().write(author(), [&](store::Writer& w) {
      for (int i = *rc::gen::inRange(1, 6); i > 0; --i) w.add(some_reading(some_light()));
    });
  }

  template <class Record, class Change>
  void correct(store::Writer& w, base::Id<typename Record::Kind> id, const Change& change) {
    auto kept = w.get<Record>(id).value();
    change(kept.record);
    w.correct(id, kept.revision, kept.record);
  }

  void correct_reading() {
    some_store().write(author(), [&](store::Writer& w) {
      const auto all = w.list<fleet::ReadingEntry>();
      if (all.empty()) return;
      const std::size_t light = some_light();
      correct<fleet::ReadingEntry>(w, all[*rc::gen::inRange<std::size_t>(0, all.size())].id, [&](auto& reading) {
        const fleet::ReadingEntry other = some_reading(light);
        switch (*rc::gen::inRange(0, 6)) {
          case 0:
            reading.light = other.light;
            reading.tip = other.tip;
            break;
          case 5:
            reading.tip_whole = other.tip_whole;
            break;
          case 4:
            reading.battery = other.battery;
            break;
          case 1:
            reading.taken_at = other.taken_at;
            break;
          case 2:
            reading.mode = other.mode;
            break;
          default:
            reading.shown_mw_cm2 = other.shown_mw_cm2;
        }
      });
    });
  }

  void correct_light() {
    some_store().write(author(), [&](store::Writer& w) {
      correct<fleet::LightEntry>(w, lights_[some_light()], [&](auto& light) {
        switch (*rc::gen::inRange(0, 5)) {
          case 0:
            light.withdrawn_at = light.withdrawn_at ? std::nullopt : std::optional(now_);
            break;
          case 1:
            light.claimed_mw_cm2 = 900.0;
            break;
          case 2:
            light.check_mode = "soft";
            break;
          case 3:
            light.accepted_at = light.accepted_at ? std::nullopt : std::optional(now_);
            break;
          default:
            light.name += "x";
        }
      });
    });
  }

  void service() {
    some_store().write(author(), [&](store::Writer& w) {
      const auto what = *rc::gen::element(fleet::Deed::kCleaned, fleet::Deed::kTipReplaced, fleet::Deed::kRepaired);
      const base::Instant at = *rc::gen::inRange(0, 5) == 0 ? now_ + hours(30) : now_ - hours(*rc::gen::inRange(0, 90));
      const auto id = w.add(fleet::ServicingEntry{lights_[some_light()], at, person_, what, {}, {}});
      if (*rc::gen::arbitrary<bool>()) return;
      correct<fleet::ServicingEntry>(w, id, [&](auto& event) { event.light = lights_[some_light()]; });
    });
  }

  void change_policy() {
    some_store().write(author(), [&](store::Writer& w) {
      const double value = 400 + *rc::gen::inRange(0, 300);
      const auto all = w.list<practice::Setting>();
      if (all.empty()) {
        w.add(practice::Setting{"lower_limit_mw_cm2", value, "chosen", "invented"});
      } else {
        correct<practice::Setting>(w, all.front().id, [&](auto& setting) { setting.number = value; });
      }
    });
  }

  /// What every light hangs on, and the tip of one.
  void change_around() {
    some_store().write(author(), [&](store::Writer& w) {
      const int by = *rc::gen::inRange(1, 30);
      switch (*rc::gen::inRange(0, 6)) {
        case 0:
          return correct<fleet::RadiometerEntry>(w, radiometers_[0], [&](auto& one) { one.aperture_mm = 5.0 + by; });
        case 1:
          w.add(fleet::CertificateEntry{radiometers_[0], "C", "Laboratory", now_ - hours(by), now_ + hours(99),
                                        0.01 * by});
          return;
        case 2:
          return correct<fleet::BarrierEntry>(w, barrier_, [&](auto& one) { one.pass = 0.9 - 0.01 * by; });
        case 3:
          return correct<practice::Room>(w, room_, [&](auto& one) { one.check_every_days = by; });
        case 4:
          return correct<practice::Site>(
              w, site_, [&](auto& one) { one.time_zone = by % 2 == 0 ? "Asia/Tokyo" : "Europe/Lisbon"; });
        default:
          return correct<fleet::TipEntry>(w, tips_[some_light()], [&](auto& one) { one.diameter_mm = 5.0 + by; });
      }
    });
  }

  void attach() {
    some_store().write(author(), [&](store::Writer& w) {
      w.attach({.belongs_to = "light",
                .record = lights_[some_light()].number,
                .about = "approval",
                .name = "paper.pdf",
                .sha256 = {}},
               "%PDF-1.7\n" + std::to_string(now_.us));
    });
  }

  /// Seen from inside, and then gone.
  void fail_to_write() {
    const std::size_t light = some_light();
    EXPECT_THROW(one_.write(author(),
                            [&](store::Writer& w) {
                              w.add(some_reading(light));
                              correct<fleet::LightEntry>(w, lights_[light], [](auto& one) { one.name = "never"; });
                              w.add(some_reading((light + 1) % kLights));
                              desk::LightsNow lights(w, &one_cache_);
                              const desk::Policy policy(w);
                              for (const base::LightId id : lights_) {
                                expect_same(lights.line(id, now_),
                                            desk::light_view(desk::light_record(w, id), policy, now_));
                              }
                              throw std::runtime_error("no");
                            }),
                 std::runtime_error);
  }

  ScratchFolder folder_;
  store::Place here_;
  store::Store one_;
  store::Store other_;
  desk::LightCache one_cache_;
  desk::LightCache other_cache_;
  base::Instant now_ = kMonday;
  base::SiteId site_;
  base::PersonId person_;
  base::RoomId room_;
  base::BarrierId barrier_;
  std::vector<base::RadiometerId> radiometers_;
  std::vector<base::LightId> lights_;
  std::vector<base::TipId> tips_;
};

RC_GTEST_PROP(LightCache, SaysTheSameToTheBitAsReadingEverythingAnew, ()) {
  Course course;
  for (int acts = *rc::gen::inRange(1, 25); acts > 0; --acts) {
    course.act();
    course.look();
  }
}

TEST(LightCache, ALightThatIsNotThereIsMissing) {
  const ScratchFolder folder;
  store::Store records(store::InFile{folder.path() / "records.db"});
  desk::LightCache cache;
  records.read([&](const store::Reader& reader) {
    EXPECT_THROW(desk::LightsNow(reader, &cache).line({7}, kMonday), desk::Missing);
  });
}

}  // namespace
}  // namespace throughcure::tests
