#include "throughcure/desk/light_acts.hpp"

#include "throughcure/base/problem.hpp"

namespace throughcure::desk {

namespace {

void must_say(const std::string& because) {
  if (because.find_first_not_of(" \t\n") == std::string::npos) {
    base::refuse("because", "it is empty", "Say why, in a few words");
  }
}

}  // namespace

void accept_light(store::Writer& writer, base::LightId id, base::Instant now) {
  const LightRecord record = light_record(writer, id);
  if (record.light.record.accepted_at) base::refuse("state", "it is accepted already", "Nothing is to be done");
  if (record.light.record.withdrawn_at) {
    base::refuse("state", "it is withdrawn", "Return it first, after its good checks");
  }
  base::Problems problems;
  for (const std::string& missing : missing_for_acceptance(record, Policy(writer), now)) {
    problems.push_back({.file = "light", .field = "papers", .what = "missing: " + missing, .remedy = "Add it first"});
  }
  base::refuse_if_any(problems);
  fleet::LightEntry light = record.light.record;
  light.accepted_at = now;
  light.refused_because.reset();
  writer.correct(id, record.light.revision, light);
}

void refuse_light(store::Writer& writer, base::LightId id, const std::string& because) {
  must_say(because);
  const LightRecord record = light_record(writer, id);
  if (record.light.record.accepted_at) base::refuse("state", "it is in use", "Withdraw it instead");
  fleet::LightEntry light = record.light.record;
  light.refused_because = because;
  writer.correct(id, record.light.revision, light);
}

base::LookBackId withdraw_light(store::Writer& writer, base::LightId id, const std::string& because, base::PersonId by,
                                base::Instant now) {
  must_say(because);
  const LightRecord record = light_record(writer, id);
  if (!was_used(writer, record.light)) {
    base::refuse("state", "it was never accepted, and no restoration is on record with it", "Refuse it instead");
  }
  if (record.light.record.withdrawn_at) base::refuse("state", "it is withdrawn already", "Nothing is to be done");
  return withdraw(writer, record,
                  {.light = id,
                   .because = practice::Because::kWithdrawn,
                   .good_until = last_good(record, judged(record, Policy(writer), now), now),
                   .until = now,
                   .opened_at = now,
                   .opened_by = by,
                   .note = because});
}

void return_light(store::Writer& writer, base::LightId id, base::Instant now) {
  const LightRecord record = light_record(writer, id);
  if (!record.light.record.withdrawn_at) base::refuse("state", "it is not withdrawn", "Nothing is to be done");
  const Policy policy(writer);
  const auto wanted = static_cast<std::size_t>(policy["good_checks_to_return"]);
  const std::size_t good = good_since(record, judged(record, policy, now), *record.light.record.withdrawn_at).good;
  if (good < wanted) {
    base::refuse("checks",
                 "it has had " + std::to_string(good) + " good checks in a row since, and " + std::to_string(wanted) +
                     " are asked for",
                 "Check it again");
  }
  fleet::LightEntry light = record.light.record;
  light.withdrawn_at.reset();
  writer.correct(id, record.light.revision, light);
}

}  // namespace throughcure::desk
