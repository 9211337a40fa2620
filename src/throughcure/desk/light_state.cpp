#include "throughcure/desk/light_state.hpp"

#include <algorithm>
#include <cmath>

#include "throughcure/desk/limit.hpp"
#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

bool is_full(const LightRecord& record, const fleet::LightReading& reading, const Policy& policy) {
  if (!record.light.record.battery) return true;  // on a cord
  return reading.battery && *reading.battery >= policy["full_battery_share"];
}

std::string percent(double share) { return whole_text(100 * share) + " %"; }

}  // namespace

std::string_view word(StateWord state) {
  switch (state) {
    case StateWord::kNotAccepted:
      return "not accepted";
    case StateWord::kInUse:
      return "in use";
    case StateWord::kWatch:
      return "watch";
    case StateWord::kWithdrawn:
      return "withdrawn";
  }
  return "";
}

std::vector<Judged> judged(const LightRecord& record, const Policy& policy, base::Instant now) {
  std::vector<Judged> all;
  const double upper = policy["upper_caution_mw_cm2"];
  const double alert = policy["alert_share"];
  const std::vector<fleet::Series> split = fleet::split_series(record.history, now).series;
  for (std::size_t s = 0; s < split.size(); ++s) {
    const fleet::Series& series = split[s];
    const double limit = shown_limit(policy, series.baseline_mw_cm2);
    for (std::size_t i = 0; i < series.points.size(); ++i) {
      const fleet::SeriesPoint& point = series.points[i];
      all.push_back({.id = point.id,
                     .at = point.at,
                     .bare_mw_cm2 = point.bare_mw_cm2,
                     .share = point.share,
                     .baseline_mw_cm2 = series.baseline_mw_cm2,
                     .limit_mw_cm2 = limit,
                     .series = s,
                     .first = i == 0,
                     .below = point.bare_mw_cm2 < limit,
                     .low = point.share<alert, .high = point.bare_mw_cm2> upper});
    }
  }
  std::ranges::sort(all, [](const Judged& a, const Judged& b) { return std::tie(a.at, a.id) < std::tie(b.at, b.id); });
  return all;
}

namespace {

/// A check that failed, as it looks, but does not count: its tip was not clean, its barrier not smooth or its
/// battery low. The one after it that counts says whether the light was to blame.
bool failed_uncounted(const LightRecord& record, const fleet::LightReading& reading, const Judged& next) {
  const fleet::LightReading* const like = reading_of(record, next.id);
  if (like == nullptr || reading.purpose != fleet::Purpose::kCheck ||
      !fleet::why_not_counted(record.history, reading)) {
    return false;
  }
  if (reading.tip != like->tip || reading.radiometer != like->radiometer || reading.mode != like->mode) return false;
  return reading.shown_mw_cm2 / fleet::barrier_of(reading).passes < next.limit_mw_cm2;
}

}  // namespace

bool confirms_failure(const LightRecord& record, const std::vector<Judged>& readings, std::size_t at,
                      const Policy& policy) {
  const Judged& one = readings[at];
  const fleet::LightReading* const reading = reading_of(record, one.id);
  if (!one.below || reading == nullptr) return false;
  if (!reading->tip_clean || reading->barrier_on || !is_full(record, *reading, policy)) return false;
  const auto within = std::chrono::hours(static_cast<std::int64_t>(policy["confirm_within_hours"]));
  if (at > 0 && readings[at - 1].below && one.at - readings[at - 1].at <= within) return true;
  const base::Instant counted = at > 0 ? readings[at - 1].at : base::kEarliestInstant;
  return std::ranges::any_of(record.history.readings, [&](const fleet::LightReading& other) {
    return other.at > counted && other.at < one.at && one.at - other.at <= within &&
           failed_uncounted(record, other, one);
  });
}

namespace {

/// Whether something was done to the light between two readings after which what it gives begins anew.
bool renewed_between(const fleet::LightHistory& history, base::Instant from, base::Instant until) {
  return std::ranges::any_of(history.services, [&](const fleet::ServiceEvent& service) {
    using enum fleet::Deed;
    const bool anew = service.what == kRepaired || service.what == kTipReplaced || service.what == kBatteryReplaced;
    return anew && service.at >= from && service.at <= until;
  });
}

}  // namespace

std::vector<bool> vouching(const LightRecord& record, const std::vector<Judged>& readings) {
  const auto& withdrawn_at = record.light.record.withdrawn_at;
  std::vector<bool> known;  // of each series, whether it began with a light that was as it should be
  std::vector<bool> vouches;
  for (std::size_t k = 0; k < readings.size(); ++k) {
    const Judged& one = readings[k];
    if (!one.first) {
      vouches.push_back(known[one.series]);
      continue;
    }
    const bool anew = k == 0 || renewed_between(record.history, readings[k - 1].at, one.at);
    const bool in_doubt =
        k > 0 && (readings[k - 1].below || !known[readings[k - 1].series] || (withdrawn_at && one.at > *withdrawn_at));
    known.resize(std::max(known.size(), one.series + 1));
    known[one.series] = anew || !in_doubt;
    vouches.push_back(anew);
  }
  return vouches;
}

GoodSince good_since(const LightRecord& record, const std::vector<Judged>& readings, base::Instant since) {
  const std::vector<bool> vouches = vouching(record, readings);
  GoodSince found;
  for (std::size_t k = readings.size(); k > 0 && readings[k - 1].at > since && !readings[k - 1].below; --k) {
    ++(vouches[k - 1] ? found.good : found.aside);
  }
  return found;
}

const fleet::LightReading* reading_of(const LightRecord& record, base::ReadingId id) {
  // Mostly one of the last.
  const auto& readings = record.history.readings;
  const auto at = std::ranges::find(readings.rbegin(), readings.rend(), id, &fleet::LightReading::id);
  return at == readings.rend() ? nullptr : &*at;
}

Standing standing_of(const LightRecord& record, const std::vector<Judged>& readings, base::Instant now) {
  Standing standing;
  standing.amiss = seen_amiss(record, now);
  if (readings.empty()) return standing;
  standing.last = readings.back();
  const std::vector<bool> vouches = vouching(record, readings);
  for (std::size_t k = readings.size(); k > 0 && !standing.doubt; --k) {
    if (readings[k - 1].below) standing.doubt = readings[k - 1];
    if (vouches[k - 1] && !readings[k - 1].below) break;
  }
  if (const auto& withdrawn = record.light.record.withdrawn_at) {
    standing.since_withdrawn = good_since(record, readings, *withdrawn);
  }
  return standing;
}

LightState state_of(const LightRecord& record, const Policy& policy, base::Instant now) {
  return state_of(record, standing_of(record, judged(record, policy, now), now), policy, now);
}

LightState state_of(const LightRecord& record, const Standing& standing, const Policy& policy, base::Instant now) {
  LightState state;
  const fleet::LightEntry& light = record.light.record;
  const std::string amiss = words_of(standing.amiss, record);
  if (standing.last) {
    state.last = standing.last;
    state.last_check = standing.last->at;
    const auto every =
        record.room.record.check_every_days.value_or(static_cast<std::int64_t>(policy["check_every_days"]));
    const std::string& zone = record.site.record.time_zone;
    const LocalDay due = local_day(*state.last_check, zone) + every;
    state.due = begin_of(due, zone);
    state.overdue_days = std::max<LocalDay>(0, local_day(now, zone) - due);
    state.overdue = state.overdue_days > 0;
  }
  if (light.withdrawn_at) {
    state.state = StateWord::kWithdrawn;
    const auto wanted = static_cast<std::size_t>(policy["good_checks_to_return"]);
    const auto [good, aside] = standing.since_withdrawn;
    state.why = good >= wanted ? "It is withdrawn. It has had " + std::to_string(good) +
                                     " good checks since, so the lead may return it to use."
                               : "It is withdrawn: do not cure with it. It has had " + std::to_string(good) + " of " +
                                     std::to_string(wanted) + " good checks since.";
    if (good < wanted && aside > 0) {
      state.why +=
          " Readings with a tip, radiometer or mode that is new since do not count: nothing says what it gave on it "
          "before. Check it with the ones of before, or note what was repaired.";
    }
    if (!amiss.empty()) state.why += " " + amiss;
    state.due.reset();
    state.overdue = false;
    state.overdue_days = 0;
    return state;
  }
  if (!light.accepted_at) {
    state.state = StateWord::kNotAccepted;
    state.why = light.refused_because ? "It was refused: " + *light.refused_because
                                      : "It is not accepted yet: do not cure with it before the lead has accepted it.";
    return state;
  }
  state.state = StateWord::kInUse;
  if (!state.last) {
    state.state = StateWord::kWatch;
    state.why = "It has never been checked.";
  } else if (standing.doubt) {
    state.state = StateWord::kWatch;
    state.why = std::string(state.last->below ? "Its last check failed at " : "A check failed at ") +
                whole_text(standing.doubt->bare_mw_cm2) + " mW/cm2, " + percent(standing.doubt->share) +
                " of its baseline: check it again with a clean tip, no barrier and a full battery before curing with "
                "it.";
    if (!state.last->below) {
      state.why +=
          " What it shows with another tip, radiometer or mode does not clear it: that has no earlier reading.";
    }
  } else if (state.last->low) {
    state.state = StateWord::kWatch;
    state.why = "It gives " + percent(state.last->share) + " of its baseline: watch it.";
  }
  if (!amiss.empty()) {
    state.state = StateWord::kWatch;
    state.why = amiss + (state.why.empty() ? "" : " ") + state.why;
  }
  return state;
}

std::optional<fleet::Interval> first_share_of_claim(const LightRecord& record, base::Instant now) {
  base::Instant until = std::min(now, record.light.record.accepted_at.value_or(now));
  const fleet::SeriesSplit split = fleet::split_series(record.history, now);
  if (split.series.empty()) return std::nullopt;
  until = std::max(until, split.series.front().points.front().at);
  return fleet::share_of_claim_by_readings(record.history, until);
}

std::vector<std::string> missing_for_acceptance(const LightRecord& record, const Policy& policy, base::Instant now) {
  std::vector<std::string> missing;
  const fleet::LightEntry& light = record.light.record;
  const auto has_paper = [&](std::string_view about) {
    return std::ranges::any_of(record.papers, [&](const auto& paper) { return paper.record.about == about; });
  };
  if (!light.approval_number) missing.emplace_back("The number of its national approval.");
  if (!light.approved_by) missing.emplace_back("The body that approved it.");
  if (!has_paper("approval")) missing.emplace_back("A scan of its approval.");
  if (!has_paper("instructions")) missing.emplace_back("Its instructions for use.");
  if (!light.claimed_mw_cm2) missing.emplace_back("The radiant exitance that its maker claims.");
  if (record.tips.empty()) missing.emplace_back("A tip with its optical diameter.");
  const std::vector<Judged> readings = judged(record, policy, now);
  if (readings.empty()) {
    missing.emplace_back("A first check, which becomes its baseline.");
  } else if (readings.back().bare_mw_cm2 < policy["lower_limit_mw_cm2"]) {
    missing.emplace_back("A reading above the lower limit: the newest showed " +
                         whole_text(readings.back().bare_mw_cm2) + " mW/cm2, and " +
                         whole_text(policy["lower_limit_mw_cm2"]) + " is the least.");
  }
  for (const Amiss& seen : seen_amiss(record, now)) missing.push_back(wanted_instead(seen, record));
  const double least_share = policy["least_share_of_claim"];
  const auto share = first_share_of_claim(record, now);
  if (share && share->p90 < least_share) {
    missing.emplace_back("First readings that its maker's claim allows for: they tell " + percent(share->p50) +
                         " of it, at most " + percent(share->p90) + ", and " + percent(least_share) +
                         " is the least. Correct the claim if it is not what its papers say, or refuse the light.");
  }
  return missing;
}

}  // namespace throughcure::desk
