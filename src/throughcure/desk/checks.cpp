#include "throughcure/desk/checks.hpp"

#include <algorithm>

#include "throughcure/base/given.hpp"
#include "throughcure/base/problem.hpp"
#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/look_backs.hpp"
#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/desk/told.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

std::string of_baseline(const Judged& judged) {
  return whole_text(judged.bare_mw_cm2) + " mW/cm2, " + whole_text(100 * judged.share) + " % of its baseline";
}

/// The looks that said no, a sentence each.
std::vector<std::string> steps_of(const fleet::ReadingEntry& reading) {
  std::vector<std::string> steps;
  if (!reading.tip_clean) steps.emplace_back("Clean the tip as its maker says, then check again.");
  if (reading.tip_whole == false) steps.emplace_back("Replace the tip, and note that on the light's page.");
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

/// What stands of it and of earlier looks that no number makes good; empty: nothing of the kind.
std::string seen_first(const LightRecord& record, base::ReadingId id, base::Instant taken_at) {
  std::string words;
  std::vector<Amiss> earlier;
  for (const Amiss& one : seen_amiss(record, taken_at)) {
    if (one.reading != id) {
      earlier.push_back(one);
    } else if (one.part == Amiss::Part::kTip) {
      words += "The tip is damaged: do not cure with it. ";
    } else {
      words += "The vents are blocked: clear them before it is used. ";
    }
  }
  if (!earlier.empty()) words += words_of(earlier, record) + " ";
  return words;
}

CheckAnswer by_its_number(const LightRecord& record, const Policy& policy, const std::vector<Judged>& all,
                          base::ReadingId id, const fleet::ReadingEntry& reading, bool looks_well) {
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
    } else if (reading.barrier_on && reading.barrier_smooth == false && reading.purpose == fleet::Purpose::kCheck) {
      answer.verdict = CheckVerdict::kAgain;
      answer.ask = "A barrier with a seam or a wrinkle says nothing of the light: what it costs is not known.";
      answer.sentence = "Take the barrier off, or put it on anew, and check again: this reading does not count.";
    } else {
      answer.verdict = CheckVerdict::kNoted;
      answer.sentence = "Noted. This reading does not count as a check of the light.";
    }
    return answer;
  }
  answer.share = own->share;
  answer.baseline_mw_cm2 = own->baseline_mw_cm2;
  answer.limit_mw_cm2 = own->limit_mw_cm2;
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
    answer.verdict = own->low ? CheckVerdict::kLow : CheckVerdict::kHigh;
    const std::string_view may = looks_well ? ": it may be used, and is to be watched." : ": it is to be watched.";
    answer.sentence = own->low ? "It gives " + of_baseline(*own) + std::string(may)
                               : "It gives " + of_baseline(*own) + ": much light. Mind heat, and short exposures.";
  } else {
    answer.sentence = (looks_well ? "Good: " : "It gives ") + of_baseline(*own) + ".";
  }
  return answer;
}

}  // namespace

CheckAnswer check_answer(const LightRecord& record, const Policy& policy, const std::vector<Judged>& all,
                         base::ReadingId id, const fleet::ReadingEntry& reading) {
  const std::string seen = seen_first(record, id, reading.taken_at);
  CheckAnswer answer = by_its_number(record, policy, all, id, reading, seen.empty());
  answer.sentence = seen + answer.sentence;
  return answer;
}

namespace {

/// A light with the new reading among its others, and what is said of it.
struct Weighed {
  LightRecord record;
  std::vector<fleet::ChartsStart> starts;  ///< where not all of its readings are there
  std::vector<Judged> readings;
  CheckAnswer answer;
};

/// What its page says of the charts and the battery is said here too, unless the reading says worse: one that is to be
/// taken again, or has failed.
void watch_by_charts(const Weighed& check, const Standing& standing, base::Instant until, LightState& after,
                     CheckAnswer& answer) {
  if (after.state != StateWord::kInUse && after.state != StateWord::kWatch) return;
  const fleet::LightOutput charted = fleet::charted_output(check.record.history, until, check.starts);
  std::optional<std::string> alarm;
  if (const auto stands = alarm_that_stands(charted, standing)) {
    alarm = alarm_sentence(*stands, check.record.site.record.time_zone);
  }
  LightState by_charts;
  by_charts.state = StateWord::kInUse;
  watch_where_alarmed(by_charts, alarm, charted);
  if (by_charts.state != StateWord::kWatch) return;
  after.state = StateWord::kWatch;
  if (answer.verdict == CheckVerdict::kAgain || answer.verdict == CheckVerdict::kFailed) return;
  answer.watch = by_charts.why;
  if (charted.needs_bare_reading) {
    answer.ask = "Take one more reading without the barrier: only readings with it on say so.";
  }
}

/// How the light stands after it; what is to be done about that is added.
StateWord after_check(Weighed& check, const Policy& policy, base::Instant until) {
  CheckAnswer& answer = check.answer;
  const Standing standing = standing_of(check.record, check.readings, until);
  LightState after = state_of(check.record, standing, policy, until);
  watch_by_charts(check, standing, until, after, answer);
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
    case CheckVerdict::kLow:
    case CheckVerdict::kHigh:
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

Weighed weighed(LightRecord with_it, const Policy& policy, const fleet::ReadingEntry& reading, base::Instant until) {
  Weighed found{.record = std::move(with_it), .starts = {}, .readings = {}, .answer = {}};
  found.readings = judged(found.record, policy, until);
  found.answer = check_answer(found.record, policy, found.readings, kUnkept, reading);
  return found;
}

void must_be_theirs(const LightRecord& record, const practice::Member& by) {
  if (!by.sees(record.site.id)) throw Forbidden("This light belongs to another site than yours.");
}

/// Mostly the last readings tell all. None where they do not: the look-back of a failure begins with the last good one,
/// a withdrawn light counts its good ones, and a reading that was sent late has others after it.
std::optional<Weighed> weighed_by_the_last(LightsNow& lights, const fleet::ReadingEntry& reading,
                                           const practice::Member& by, base::Instant until) {
  const auto gist = lights.gist(reading.light);
  if (!gist || gist->record.light.record.withdrawn_at) return std::nullopt;
  must_be_theirs(gist->record, by);
  LightRecord with_it = gist->record;
  if (!add_unkept_reading(lights.reader(), with_it, reading)) return std::nullopt;
  Weighed found = weighed(std::move(with_it), lights.policy(), reading, until);
  if (found.answer.verdict == CheckVerdict::kFailed) return std::nullopt;
  found.starts = gist->starts;
  return found;
}

Weighed weighed_by_all(LightsNow& lights, const fleet::ReadingEntry& reading, const practice::Member& by,
                       base::Instant until) {
  LightRecord with_it = *lights.record(reading.light);
  must_be_theirs(with_it, by);
  add_unkept_reading(lights.reader(), with_it, reading);
  return weighed(std::move(with_it), lights.policy(), reading, until);
}

/// The reading that confirms a failure as things stand: the new one, or the last one where the new one was sent late.
std::optional<base::ReadingId> confirmed_by(const Weighed& check, const Policy& policy) {
  if (check.answer.verdict == CheckVerdict::kFailed) return check.answer.reading;
  const std::vector<Judged>& all = check.readings;
  if (all.empty() || !confirms_failure(check.record, all, all.size() - 1, policy)) return std::nullopt;
  return all.back().id;
}

/// A light in use is withdrawn, and a look-back of it opened; so is one that was never accepted and was cured with. An
/// earlier look-back that is still open is of another failure: the light came back to use after it.
void act_on_failure(store::Writer& writer, Weighed& check, const Policy& policy, const fleet::ReadingEntry& reading,
                    base::Instant now, base::Instant until) {
  CheckAnswer& answer = check.answer;
  store::Kept<fleet::LightEntry>& light = check.record.light;
  const auto failed_by = confirmed_by(check, policy);
  if (!failed_by || !was_used(writer, light)) return;
  if (light.record.withdrawn_at) {
    answer.look_back = open_look_back(writer, reading.light);
    return;
  }
  answer.look_back = withdraw(writer, check.record,
                              {.light = reading.light,
                               .because = practice::Because::kFailedCheck,
                               .reading = failed_by,
                               .good_until = last_good(check.record, check.readings, until),
                               .until = until,
                               .opened_at = now,
                               .opened_by = reading.taken_by});
  answer.steps.emplace_back("Take the light out of its room. A look-back of what was cured with it is open.");
  light = base::given(writer.get<fleet::LightEntry>(reading.light));
}

}  // namespace

CheckAnswer answer_to_new(const store::Reader& reader, LightRecord& record, const Policy& policy,
                          const fleet::ReadingEntry& reading_taken, base::Instant until) {
  add_unkept_reading(reader, record, reading_taken);
  return check_answer(record, policy, judged(record, policy, until), kUnkept, reading_taken);
}

CheckAnswer take_check(store::Writer& writer, const fleet::ReadingEntry& reading, const practice::Member& by,
                       base::Instant now, LightCache* lights) {
  const auto tip = writer.get<fleet::TipEntry>(reading.tip);
  base::refuse_if_any(reading_problems(reading, tip ? std::optional(tip->record.light) : std::nullopt, now));
  if (!tip) writer.add(reading);  // refused, with all else that it names and is not there
  // Before anything is written: what is read here may be remembered.
  LightsNow before(writer, lights);
  const base::Instant until = std::max(now, reading.taken_at);
  std::optional<Weighed> check = weighed_by_the_last(before, reading, by, until);
  if (!check) check = weighed_by_all(before, reading, by, until);
  check->answer.reading = writer.add(as_told(reading, check->answer, before.policy()));
  act_on_failure(writer, *check, before.policy(), reading, now, until);
  const bool was_late = !check->readings.empty() && check->readings.back().id != kUnkept;
  if (was_late) reach_back(writer, reading.light);
  check->answer.state = after_check(*check, before.policy(), until);
  return check->answer;
}

}  // namespace throughcure::desk
