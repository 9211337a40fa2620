// A check as a line of a printed log: when, with what, what it showed, what was looked at, what it came to.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/checks.hpp"
#include "throughcure/desk/light_state.hpp"
#include "throughcure/desk/names.hpp"

namespace throughcure::desk {

struct CheckRow {
  base::ReadingId reading;
  base::Instant taken_at{};
  std::string taken;  ///< by the site's clock: "2026-11-26 09:05"
  std::string light;
  base::RadiometerId radiometer_id;
  std::string tip;
  std::string radiometer;
  double shown_mw_cm2 = 0;
  std::optional<double> share;  ///< of its baseline, as it was told
  std::string looks;            ///< barrier, tip, vents, battery; what was not looked at is left out
  CheckVerdict verdict = CheckVerdict::kGood;
  std::string came_to;     ///< the verdict in words; what it would be now, where that is something else
  bool on_record = true;   ///< what it was told; where it is not, share and verdict are those of now
  bool otherwise = false;  ///< it would be told something else now
  std::string by;
};

/// The readings of a light that are wanted, by time, each with what it was told when it came in. Beside it stands what
/// the limits in force now, and what was corrected or came in since, would have it told, where that differs, or where
/// what it was told is not on record. Readings after `until` are not looked at.
std::vector<CheckRow> check_rows(const store::Reader& reader, const LightRecord& record, const Policy& policy,
                                 base::Instant until, Names& names,
                                 const std::function<bool(const fleet::ReadingEntry&)>& wanted);

/// "14 checks were taken: 12 good, 1 first, 1 to be taken again. One would be told something else now."
std::string count_sentence(const std::vector<CheckRow>& rows);

}  // namespace throughcure::desk
