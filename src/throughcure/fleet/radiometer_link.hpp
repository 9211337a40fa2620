// Readings side by side: how much more one radiometer shows than another, and how sure that is, so that a series can go
// on across a change.
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "throughcure/fleet/scatter.hpp"
#include "throughcure/fleet/series.hpp"

namespace throughcure::fleet {

struct LinkSettings {
  double most_minutes = 30;  ///< between the two readings of a pair; common practice, no source
  ScatterPrior scatter{};
  SeriesSettings series{};
};

/// Two readings of purpose kSideBySide of the same light, tip and mode on two radiometers.
struct SideBySide {
  std::size_t first = 0;  ///< of LightHistory::readings, on the radiometer `from`
  std::size_t second = 0;
};

/// `to` shows `factor` times what `from` shows. It holds for this light, this tip and this mode: another light has
/// another spectrum, another tip another beam.
struct RadiometerLink {
  std::size_t from = 0;
  std::size_t to = 0;
  std::size_t tip = 0;
  std::size_t mode = 0;
  double factor = 1;
  double ln_u = 0;  ///< combined standard uncertainty of ln factor
  double effective_dof = 0;
  double low = 0;  ///< interval of 95 %, by Student's t
  double high = 0;
  std::size_t pairs = 0;
};

/// Each reading enters one pair at most, the nearest in time first come. Readings that do not count make no pair.
std::vector<SideBySide> side_by_side(const LightHistory& history, std::size_t from, std::size_t to, std::size_t tip,
                                     std::size_t mode, const LinkSettings& settings = {});

/// None without a pair. ln factor is the mean of the pairs' ln ratios. Its uncertainty joins their scatter over the
/// root of their number (type A, with the prior of 2 scatters while there are few) and that of a barrier on one side of
/// a pair only (the same in every pair, so not divided). Source: JCGM 100:2008 (GUM) 4.2, 5.1.2, G.4 (standard).
std::optional<RadiometerLink> link_radiometers(const LightHistory& history, std::span<const SideBySide> pairs,
                                               const LinkSettings& settings = {});

/// Of each tip and mode one for each two radiometers that make a pair, from the one that was read side by side first.
std::vector<RadiometerLink> radiometer_links(const LightHistory& history, const LinkSettings& settings = {});

/// `before`, with the points of `after` that lie behind its last one, brought over by the link (from before's
/// radiometer to after's). Charts are not run on it: the link's error is one and the same in all that came in, and a
/// chart would take it for a change. Throws base::Failure where link, tip or mode do not fit.
Series go_on(const Series& before, const Series& after, const RadiometerLink& link);

}  // namespace throughcure::fleet
