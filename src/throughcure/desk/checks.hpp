// A check as it comes in: judged at once, kept with what it was told, and, where it confirms a failure, the light
// withdrawn and a look-back opened in the same write.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/desk/light_cache.hpp"
#include "throughcure/desk/light_state.hpp"
#include "throughcure/practice/member.hpp"

namespace throughcure::desk {

using fleet::CheckVerdict;

/// "good", "first", "look" (low or high), ...: the word in an answer.
std::string_view word(CheckVerdict verdict);

struct CheckAnswer {
  base::ReadingId reading;
  CheckVerdict verdict = CheckVerdict::kGood;
  std::string sentence;
  std::vector<std::string> steps;
  std::optional<double> share;
  std::optional<double> baseline_mw_cm2;
  std::optional<double> limit_mw_cm2{};  ///< under which it is too low, on the same radiometer
  std::optional<std::string> ask;        ///< why it is to be taken again: clean tip, no barrier, full battery
  std::optional<std::string>
      watch{};  ///< what wants watching beside this reading: a chart's alarm, a low battery's sag
  std::optional<base::LookBackId> look_back;
  StateWord state = StateWord::kInUse;
};

/// What is said of a reading that is on record: `all` are the light's readings that count, judged, it among them where
/// it counts. The verdict is its number's; the sentence begins with what is amiss by then. Changes nothing.
CheckAnswer check_answer(const LightRecord& record, const Policy& policy, const std::vector<Judged>& all,
                         base::ReadingId id, const fleet::ReadingEntry& reading);

/// What is said of a reading that is not on record yet, as of `until`. It stands in `record` then, as kUnkept.
CheckAnswer answer_to_new(const store::Reader& reader, LightRecord& record, const Policy& policy,
                          const fleet::ReadingEntry& reading_taken, base::Instant until);

/// Throws base::InputError with all that is wrong with it, Forbidden where the light is of another site.
/// Without `lights` the light's readings are all read again.
CheckAnswer take_check(store::Writer& writer, const fleet::ReadingEntry& reading, const practice::Member& by,
                       base::Instant now, LightCache* lights);

}  // namespace throughcure::desk
