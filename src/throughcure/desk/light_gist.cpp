#include "throughcure/desk/light_gist.hpp"

#include <algorithm>
#include <cstddef>
#include <iterator>
#include <set>

#include "throughcure/fleet/series.hpp"

namespace throughcure::desk {

LightRecord gist_of(const LightRecord& record) {
  constexpr std::size_t last_ones = 2;  // of each series: a failure is confirmed by the one before it
  static_assert(fleet::SeriesSettings{}.baseline_of == 1, "a baseline of several readings needs them all");
  std::set<std::size_t> kept;
  const auto split = fleet::split_series(record.history, base::kLatestInstant).series;
  std::set<std::size_t> counted;
  for (const fleet::Series& series : split) {
    for (const fleet::SeriesPoint& point : series.points) counted.insert(point.reading);
  }
  for (const fleet::Series& series : split) {
    const auto first = kept.insert(series.points.front().reading).first;
    // And what came before it: whether the light was in doubt then.
    if (const auto at = counted.find(*first); at != counted.begin()) kept.insert(*std::prev(at));
    for (std::size_t i = series.points.size() - std::min(last_ones, series.points.size()); i < series.points.size();
         ++i) {
      kept.insert(series.points[i].reading);
    }
  }
  // The very last one too, even where it does not count: what comes before it is no later reading.
  if (!record.history.readings.empty()) kept.insert(record.history.readings.size() - 1);
  LightRecord gist{.light = record.light,
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
                               .services = record.history.services}};
  gist.history.readings.reserve(kept.size());
  for (const std::size_t i : kept) gist.history.readings.push_back(record.history.readings[i]);
  return gist;
}

}  // namespace throughcure::desk
