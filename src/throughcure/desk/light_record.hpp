// Everything that the records know of one light, joined: what its page shows, and what its output is estimated from.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/light_history.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/attachment.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

struct LightRecord {
  store::Kept<fleet::LightEntry> light;
  store::Kept<practice::Room> room;
  store::Kept<practice::Site> site;
  std::vector<store::Kept<fleet::TipEntry>> tips;                ///< as LightHistory numbers them
  std::vector<store::Kept<fleet::RadiometerEntry>> radiometers;  ///< all of the practice, as LightHistory numbers them
  std::vector<std::string> modes;                                ///< as LightHistory numbers them
  std::vector<store::Kept<fleet::ServicingEntry>> servicing;     ///< by time
  std::vector<store::Kept<practice::Attachment>> papers;
  fleet::LightHistory history;  ///< readings by the time they were taken, then by number
  friend bool operator==(const LightRecord&, const LightRecord&) = default;
};

/// Throws desk::Missing where there is no such light.
LightRecord light_record(const store::Reader& reader, base::LightId light);

/// The same with the light as it stood at an instant, or as it was first kept where that was later: in use or not, its
/// room, its claim. Readings, papers and what was done are all there.
LightRecord light_record_at(const store::Reader& reader, base::LightId light, base::Instant at);

/// Adds readings of that light that came since, so that the record is as light_record reads it now, if nothing else of
/// the light has changed. False, and the record of no use any more, where one was taken before the last that is there:
/// then it must be read again.
bool add_new_readings(const store::Reader& reader, LightRecord& record,
                      const std::vector<store::Kept<fleet::ReadingEntry>>& readings);

/// Adds a reading of that light that is not on record yet, under a number greater than any, where it belongs by the
/// time it was taken. True where it is the last one.
bool add_unkept_reading(const store::Reader& reader, LightRecord& record, const fleet::ReadingEntry& reading);
constexpr base::ReadingId kUnkept{std::numeric_limits<std::int64_t>::max()};

/// No limit on the number of records.
constexpr std::size_t kAllOfThem = std::numeric_limits<std::int32_t>::max();

}  // namespace throughcure::desk
