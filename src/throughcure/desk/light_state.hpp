// How a light stands: whether it may be used, why not, when it is due, what it still lacks.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/amiss.hpp"
#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/policy.hpp"
#include "throughcure/fleet/light_output.hpp"
#include "throughcure/fleet/series.hpp"

namespace throughcure::desk {

enum class StateWord : std::uint8_t { kNotAccepted, kInUse, kWatch, kWithdrawn };

/// "not accepted", "in use", "watch", "withdrawn"
std::string_view word(StateWord state);

/// A reading as it stands among its like.
struct Judged {
  base::ReadingId id;
  base::Instant at{};
  double bare_mw_cm2 = 0;
  double share = 0;  ///< of its baseline
  double baseline_mw_cm2 = 0;
  double limit_mw_cm2 = 0;  ///< of its series: what is under it is `below`
  std::size_t series = 0;   ///< of its like, in the order of their first readings
  bool first = false;       ///< the baseline begins with it
  bool below = false;       ///< under the lower limit or the action share: not to be used so
  bool low = false;         ///< under the alert share
  bool high = false;        ///< above the upper caution
};

/// A reading of the light; null: it has none of that number.
const fleet::LightReading* reading_of(const LightRecord& record, base::ReadingId id);

/// Readings that count, judged, by time.
std::vector<Judged> judged(const LightRecord& record, const Policy& policy, base::Instant now);

/// Whether two readings in a row say the same bad thing, the second one with a clean tip, no barrier and a full battery
/// and not long after the first. `at` counts in `readings`.
bool confirms_failure(const LightRecord& record, const std::vector<Judged>& readings, std::size_t at,
                      const Policy& policy);

/// Of each judged reading whether it vouches for the light where it is not below its limits. The first one of a new
/// radiometer, tip or mode does not: it is the whole of its own baseline, whatever the light has lost before. Those
/// that are compared with it do, unless it came while the light was in doubt: after a reading below the limits, or
/// withdrawn. The light's very first reading vouches, and what begins after a repair, a new battery or a new tip.
std::vector<bool> vouching(const LightRecord& record, const std::vector<Judged>& readings);

/// The last readings in a row that are not below their limits, since an instant.
struct GoodSince {
  std::size_t good = 0;   ///< that vouch for the light
  std::size_t aside = 0;  ///< that do not
};
GoodSince good_since(const LightRecord& record, const std::vector<Judged>& readings, base::Instant since);

/// What of its readings says how a light stands.
struct Standing {
  std::optional<Judged> last;
  std::optional<Judged> doubt;  ///< the last one that is below its limits, where none since vouches for the light
  GoodSince since_withdrawn;    ///< of nothing where it is not withdrawn
  std::vector<Amiss> amiss;     ///< whatever the numbers say
};
/// `readings` are those up to `now`, judged.
Standing standing_of(const LightRecord& record, const std::vector<Judged>& readings, base::Instant now);

struct LightState {
  StateWord state = StateWord::kNotAccepted;
  std::string why;  ///< a sentence; empty where there is nothing to say
  std::optional<Judged> last;
  std::optional<base::Instant> last_check;
  std::optional<base::Instant> due;  ///< the day on which the next check is due begins then, by the site's clock
  bool overdue = false;
  std::int64_t overdue_days = 0;
};

LightState state_of(const LightRecord& record, const Policy& policy, base::Instant now);
LightState state_of(const LightRecord& record, const Standing& standing, const Policy& policy, base::Instant now);

/// What its first readings say of its maker's claim, which is not believed beforehand: those up to its acceptance, or
/// all so far; where it was accepted before any, the first one.
std::optional<fleet::Interval> first_share_of_claim(const LightRecord& record, base::Instant now);

/// What acceptance still wants, a sentence each; empty: it may be accepted.
std::vector<std::string> missing_for_acceptance(const LightRecord& record, const Policy& policy, base::Instant now);

}  // namespace throughcure::desk
