#include "throughcure/desk/checks.hpp"

#include <algorithm>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

base::Problems problems_with(const store::Reader& reader, const fleet::ReadingEntry& reading, base::Instant now) {
  const auto tip = reader.get<fleet::TipEntry>(reading.tip);
  return reading_problems(reading, tip ? std::optional(tip->record.light) : std::nullopt, now);
}

std::string of_baseline(const Judged& judged) {
  return whole_text(judged.bare_mw_cm2) + " mW/cm2, " + whole_text(100 * judged.share) + " % of its baseline";
}

/// The looks that said no, a sentence each.
std::vector<std::string> steps_of(const fleet::ReadingEntry& reading) {
  std::vector<std::string> steps;
  if (!reading.tip_clean) steps.emplace_back("Clean the tip as its maker says, then check again.");
  if (reading.tip_whole == false) steps.emplace_back("The tip is damaged: replace it, and do not cure with it.");
  if (reading.barrier_smooth == false) {
    steps.emplace_back(
        "Put the barrier on anew, snug and with no seam across the tip: a seam costs a tenth of the light.");
  }
  if (reading.vents_clear == false) {
    steps.emplace_back("Clear the vents, and never spray into them: wipe instead.");
  }
  if (reading.disinfected == false) steps.emplace_back("Disinfect it as its maker says before it goes to a patient.");
  return steps;
}

}  // namespace

CheckAnswer check_answer(const LightRecord& record, const Policy& policy, const std::vector<Judged>& all,
                         base::ReadingId id, const fleet::ReadingEntry& reading) {
  CheckAnswer answer{.reading = id,
                     .sentence = {},
                     .steps = steps_of(reading),
                     .share = {},
                     .baseline_mw_cm2 = {},
                     .ask = {},
                     .look_back = {}};
  const auto own = std::ranges::find(all, id, &Judged::id);
  if (own == all.end()) {
    if (!reading.tip_clean && reading.purpose == fleet::Purpose::kCheck) {
      answer.verdict = CheckVerdict::kAgain;
      answer.ask = "A tip that is not clean says nothing of the light.";
      answer.sentence = "Clean the tip and check again: this reading does not count.";
    } else {
      answer.verdict = CheckVerdict::kNoted;
      answer.sentence = "Noted. This reading does not count as a check of the light.";
    }
    return answer;
  }
  answer.share = own->share;
  answer.baseline_mw_cm2 = own->baseline_mw_cm2;
  const auto at = static_cast<std::size_t>(own - all.begin());
  if (own->below && confirms_failure(record, all, at, policy)) {
    answer.verdict = CheckVerdict::kFailed;
    answer.sentence = "It failed again: " + of_baseline(*own) + ". Do not cure with this light.";
  } else if (own->below) {
    answer.verdict = CheckVerdict::kAgain;
    answer.sentence = "It gives " + of_baseline(*own) + ": too little. Check it once more before curing with it.";
    answer.ask =
        "Once more with a clean tip, no barrier and a full battery: a dirty tip, a seam or an empty battery "
        "costs light, and then the light itself is sound.";
  } else if (own->first) {
    answer.verdict = CheckVerdict::kFirst;
    answer.sentence = "The first reading with this tip and radiometer: " + whole_text(own->bare_mw_cm2) +
                      " mW/cm2. Later ones are compared with it.";
  } else if (own->low || own->high) {
    answer.verdict = CheckVerdict::kLook;
    answer.sentence = own->low ? "It gives " + of_baseline(*own) + ": it may be used, and is to be watched."
                               : "It gives " + of_baseline(*own) + ": much light. Mind heat, and short exposures.";
  } else {
    answer.sentence = "Good: " + of_baseline(*own) + ".";
  }
  return answer;
}

namespace {

/// How the light stands after it; what is to be done about that is added.
StateWord after_check(const LightRecord& record, const std::vector<Judged>& readings, const Policy& policy,
                      base::Instant until, CheckAnswer& answer) {
  const LightState after = state_of(record, standing_of(record, readings), policy, until);
  if (!after.why.empty() && answer.verdict != CheckVerdict::kAgain && answer.verdict != CheckVerdict::kFailed &&
      after.state != StateWord::kInUse && after.state != StateWord::kWatch) {
    answer.steps.push_back(after.why);
  }
  return after.state;
}

}  // namespace

std::string_view word(CheckVerdict verdict) {
  switch (verdict) {
    case CheckVerdict::kGood:
      return "good";
    case CheckVerdict::kFirst:
      return "first";
    case CheckVerdict::kLook:
      return "look";
    case CheckVerdict::kAgain:
      return "again";
    case CheckVerdict::kFailed:
      return "failed";
    case CheckVerdict::kNoted:
      return "noted";
  }
  return "";
}

namespace {

/// From all readings: the look-back of a failure begins with the last good one, and a withdrawn light counts its good
/// ones.
CheckAnswer answer_from_all(store::Writer& writer, const LightRecord& record, const Policy& policy, base::ReadingId id,
                            const fleet::ReadingEntry& reading, base::Instant now) {
  const base::Instant until = std::max(now, reading.taken_at);
  const std::vector<Judged> all = judged(record, policy, until);
  CheckAnswer answer = check_answer(record, policy, all, id, reading);
  LightRecord as_it_is = record;
  if (answer.verdict == CheckVerdict::kFailed && record.light.record.accepted_at) {
    answer.look_back = open_look_back(writer, reading.light);
    if (!record.light.record.withdrawn_at && !answer.look_back) {
      answer.look_back = withdraw(writer, record,
                                  {.light = reading.light,
                                   .because = practice::Because::kFailedCheck,
                                   .reading = id,
                                   .good_until = last_good(all, now),
                                   .until = now,
                                   .opened_at = now,
                                   .opened_by = reading.taken_by});
      answer.steps.emplace_back("Take the light out of its room. A look-back of what was cured with it is open.");
    }
    // The readings are those of before; what the failure changed is the light itself.
    as_it_is.light = base::given(writer.get<fleet::LightEntry>(reading.light));
  }
  answer.state = after_check(as_it_is, all, policy, until, answer);
  return answer;
}

}  // namespace

CheckAnswer take_check(store::Writer& writer, const fleet::ReadingEntry& reading, const practice::Member& by,
                       base::Instant now, LightCache* lights) {
  base::refuse_if_any(problems_with(writer, reading, now));
  if (lights != nullptr) lights->make_ready(writer, reading.light);
  const base::ReadingId id = writer.add(reading);
  LightsNow with_it(writer, lights);
  const Policy& policy = with_it.policy();
  // Mostly the last readings tell all.
  if (const auto gist = with_it.gist(reading.light); gist && !gist->light.record.withdrawn_at) {
    if (!by.sees(gist->site.id)) throw Forbidden("This light belongs to another site than yours.");
    const base::Instant until = std::max(now, reading.taken_at);
    const std::vector<Judged> last = judged(*gist, policy, until);
    CheckAnswer answer = check_answer(*gist, policy, last, id, reading);
    if (answer.verdict != CheckVerdict::kFailed) {
      answer.state = after_check(*gist, last, policy, until, answer);
      return answer;
    }
  }
  const std::shared_ptr<const LightRecord> record = with_it.record(reading.light);
  if (!by.sees(record->site.id)) throw Forbidden("This light belongs to another site than yours.");
  return answer_from_all(writer, *record, policy, id, reading, now);
}

}  // namespace throughcure::desk
