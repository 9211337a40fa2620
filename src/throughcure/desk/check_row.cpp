#include "throughcure/desk/check_row.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/whole_text.hpp"

namespace throughcure::desk {

namespace {

std::string purpose_words(fleet::Purpose purpose) {
  std::string words(base::Words<fleet::Purpose>::words.at(static_cast<std::size_t>(purpose)));
  std::ranges::replace(words, '_', ' ');
  return words;
}

/// What was looked at, the faults in capitals of their own: a log is read down its columns.
std::string looks_of(const fleet::ReadingEntry& reading) {
  std::string looks;
  const auto add = [&](const std::string& words) { looks += (looks.empty() ? "" : ", ") + words; };
  const auto look = [&](const std::optional<bool>& is, const char* well, const char* ill) {
    if (is) add(*is ? well : ill);
  };
  add(reading.tip_clean ? "tip clean" : "tip NOT clean");
  look(reading.tip_whole, "whole", "DAMAGED");
  add(reading.barrier_on ? "barrier on" : "no barrier");
  look(reading.barrier_smooth, "smooth", "NOT smooth");
  look(reading.vents_clear, "vents clear", "vents NOT clear");
  look(reading.disinfected, "disinfected", "NOT disinfected");
  if (reading.battery) add("battery " + whole_text(100 * *reading.battery) + " %");
  return looks;
}

std::string came_to(const CheckAnswer& answer, const fleet::ReadingEntry& reading, const Policy& policy) {
  const std::string purpose = reading.purpose == fleet::Purpose::kCheck ? "" : ", " + purpose_words(reading.purpose);
  switch (answer.verdict) {
    case CheckVerdict::kGood:
      return "good" + purpose;
    case CheckVerdict::kFirst:
      return "first: baseline" + purpose;
    case CheckVerdict::kLook:
      return (answer.share && *answer.share < policy["alert_share"] ? "low: watch it" : "high: mind heat") + purpose;
    case CheckVerdict::kAgain:
      return (answer.share ? "too low: again" : "does not count: again") + purpose;
    case CheckVerdict::kFailed:
      return "failed" + purpose;
    case CheckVerdict::kNoted:
      return "does not count" + purpose;
  }
  return "";
}

template <class Kept>
std::string name_of(const std::vector<Kept>& all, std::int64_t number) {
  const auto at = std::ranges::find(all, number, [](const Kept& kept) { return kept.id.number; });
  return at == all.end() ? "not of this light" : at->record.name;
}

}  // namespace

const std::string& Names::of(base::PersonId person) {
  const auto [at, is_new] = known_.try_emplace(person.number);
  if (is_new) {
    const auto kept = reader_->get<practice::Person>(person);
    at->second = kept ? kept->record.name : "nobody known";
  }
  return at->second;
}

std::vector<CheckRow> check_rows(const store::Reader& reader, const LightRecord& record, const Policy& policy,
                                 base::Instant until, Names& names,
                                 const std::function<bool(const fleet::ReadingEntry&)>& wanted) {
  std::vector<CheckRow> rows;
  const std::vector<Judged> all = judged(record, policy, until);
  const auto readings =
      reader.list<fleet::ReadingEntry>({.where = {{"light", store::Compare::kEqual, record.light.id.number}},
                                        .order_by = "taken_at",
                                        .limit = kAllOfThem});
  for (const store::Kept<fleet::ReadingEntry>& kept : readings) {
    const fleet::ReadingEntry& reading = kept.record;
    if (reading.taken_at > until || !wanted(reading)) continue;
    const CheckAnswer answer = check_answer(record, policy, all, kept.id, reading);
    rows.push_back({.reading = kept.id,
                    .taken_at = reading.taken_at,
                    .taken = local_text(reading.taken_at, record.site.record.time_zone),
                    .light = record.light.record.name,
                    .radiometer_id = reading.radiometer,
                    .tip = name_of(record.tips, reading.tip.number),
                    .radiometer = name_of(record.radiometers, reading.radiometer.number),
                    .shown_mw_cm2 = reading.shown_mw_cm2,
                    .share = answer.share,
                    .looks = looks_of(reading),
                    .verdict = answer.verdict,
                    .came_to = came_to(answer, reading, policy),
                    .by = names.of(reading.taken_by)});
  }
  return rows;
}

std::string count_sentence(const std::vector<CheckRow>& rows) {
  constexpr std::array<std::pair<CheckVerdict, const char*>, 6> told = {{{CheckVerdict::kGood, "good"},
                                                                         {CheckVerdict::kFirst, "first of a baseline"},
                                                                         {CheckVerdict::kLook, "low or high"},
                                                                         {CheckVerdict::kAgain, "to be taken again"},
                                                                         {CheckVerdict::kFailed, "failed"},
                                                                         {CheckVerdict::kNoted, "that do not count"}}};
  if (rows.empty()) return "No check was taken.";
  std::string text = rows.size() == 1 ? "One check was taken: " : std::to_string(rows.size()) + " checks were taken: ";
  bool is_first = true;
  for (const auto& [verdict, words] : told) {
    const auto count = std::ranges::count(rows, verdict, &CheckRow::verdict);
    if (count == 0) continue;
    text += (is_first ? "" : ", ") + std::to_string(count) + " " + words;
    is_first = false;
  }
  return text + ".";
}

}  // namespace throughcure::desk
