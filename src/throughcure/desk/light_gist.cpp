#include "throughcure/desk/light_gist.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <set>
#include <utility>

#include "throughcure/desk/amiss.hpp"
#include "throughcure/fleet/paired_gain.hpp"
#include "throughcure/fleet/series.hpp"

namespace throughcure::desk {

namespace {

/// Those at a low battery, and all that lie near enough to one to make a pair with it.
void keep_pairs(const std::vector<fleet::LightReading>& readings, std::set<std::size_t>& kept) {
  constexpr auto near_us = static_cast<std::int64_t>(fleet::PairSettings{}.most_hours * 3600e6);
  std::vector<base::Instant> low;
  for (const fleet::LightReading& reading : readings) {
    if (reading.purpose == fleet::Purpose::kLowBattery) low.push_back(reading.at);
  }
  if (low.empty()) return;
  std::ranges::sort(low);
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const auto next = std::ranges::lower_bound(low, base::Instant{readings[i].at.us - near_us});
    if (next != low.end() && next->us - readings[i].at.us <= near_us) kept.insert(i);
  }
}

/// Those that say what was seen amiss: the last looks at its tips and vents.
void keep_looks(const LightRecord& record, std::set<std::size_t>& kept) {
  const LastLooks looks = last_looks(record, base::kLatestInstant);
  for (const std::optional<std::size_t>& at : looks.at_tip) {
    if (at) kept.insert(*at);
  }
  if (looks.at_vents) kept.insert(*looks.at_vents);
}

}  // namespace

LightGist gist_of(const LightRecord& record) {
  constexpr std::size_t last_ones = 2;  // of each series: a failure is confirmed by the one before it
  static_assert(fleet::SeriesSettings{}.baseline_of == 1, "a baseline of several readings needs them all");
  std::set<std::size_t> kept;
  const fleet::SeriesSplit split = fleet::split_series(record.history, base::kLatestInstant);
  std::set<std::size_t> counted;
  for (const fleet::Series& series : split.series) {
    for (const fleet::SeriesPoint& point : series.points) counted.insert(point.reading);
  }
  std::vector<fleet::ChartsStart> starts;
  for (const fleet::Series& series : split.series) {
    starts.push_back(fleet::run_alarms(series, record.history.services).last_start);
    const auto first = kept.insert(series.points.front().reading).first;
    // And what came before it: whether the light was in doubt then.
    if (const auto at = counted.find(*first); at != counted.begin()) kept.insert(*std::prev(at));
    const std::size_t count = series.points.size();
    for (std::size_t i = std::min(starts.back().point, count - std::min(last_ones, count)); i < count; ++i) {
      kept.insert(series.points[i].reading);
    }
  }
  keep_pairs(record.history.readings, kept);
  keep_looks(record, kept);
  for (std::size_t s = 0; s < starts.size(); ++s) {
    const auto& points = split.series[s].points;
    const auto begins = points.begin() + static_cast<std::ptrdiff_t>(starts[s].point);
    const auto is_kept = [&](const fleet::SeriesPoint& point) { return kept.contains(point.reading); };
    starts[s].point = static_cast<std::size_t>(std::count_if(points.begin(), begins, is_kept));
  }
  // What does not count since the last one that does, too: one that failed so may be the first of two. And the very
  // last one: what comes before it is no later reading.
  const std::size_t since = counted.empty() ? 0 : *counted.rbegin();
  for (std::size_t i = since; i < record.history.readings.size(); ++i) kept.insert(i);
  LightGist gist{.record = {.light = record.light,
                            .room = record.room,
                            .site = record.site,
                            .tips = record.tips,
                            .radiometers = record.radiometers,
                            .modes = record.modes,
                            .servicing = {},
                            .papers = {},
                            .history = {.accepted_at = record.history.accepted_at,
                                        .claimed_mw_cm2 = record.history.claimed_mw_cm2,
                                        .claim = record.history.claim,
                                        .emits_violet = record.history.emits_violet,
                                        .radiometers = record.history.radiometers,
                                        .tips = record.history.tips,
                                        .services = record.history.services,
                                        .mended_at = record.history.mended_at}},
                 .starts = std::move(starts)};
  gist.record.history.readings.reserve(kept.size());
  for (const std::size_t i : kept) gist.record.history.readings.push_back(record.history.readings[i]);
  return gist;
}

}  // namespace throughcure::desk
