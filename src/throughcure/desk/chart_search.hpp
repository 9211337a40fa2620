// Restorations by the chart number under which they were recorded.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

struct ChartSearch {
  std::string chart;                   ///< the whole of it, as it was recorded
  std::optional<std::string> tooth{};  ///< ISO 3950
  std::optional<base::Instant> from{};
  std::optional<base::Instant> to{};  ///< not included
};

/// One that was found, without its case.
struct FoundRestoration {
  base::RestorationId id;
  std::string tooth;
  std::string surfaces;
  base::Instant placed_at{};
  std::optional<double> probability{};  ///< that it cures through, as computed then [0..1]
};

struct FoundRestorations {
  std::vector<FoundRestoration> restorations;  ///< the newest first
  bool more = false;                           ///< there are others
};

constexpr std::size_t kMostFound = 200;

/// Those of the sites that somebody may see.
FoundRestorations restorations_of_chart(const store::Reader& reader, const practice::Member& member,
                                        const ChartSearch& wanted);

}  // namespace throughcure::desk
