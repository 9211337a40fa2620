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

std::string verdict_words(CheckVerdict verdict, bool counts) {
  switch (verdict) {
    case CheckVerdict::kGood:
      return "good";
    case CheckVerdict::kFirst:
      return "first: baseline";
    case CheckVerdict::kLow:
      return "low: watch it";
    case CheckVerdict::kHigh:
      return "high: mind heat";
    case CheckVerdict::kAgain:
      return counts ? "too low: again" : "does not count: again";
    case CheckVerdict::kFailed:
      return "failed";
    case CheckVerdict::kNoted:
      return "does not count";
  }
  return "";
}

std::string percent(const std::optional<double>& share) { return share ? whole_text(100 * *share) + " %" : ""; }

/// What it came to: as it was told, and as it would be told now.
void add_verdict(CheckRow& row, const fleet::ReadingEntry& reading, const CheckAnswer& now) {
  const std::string words_now = verdict_words(now.verdict, now.share.has_value());
  row.on_record = reading.told.has_value();
  row.share = row.on_record ? reading.told_share : now.share;
  row.verdict = reading.told.value_or(now.verdict);
  if (row.on_record) {
    row.came_to = verdict_words(*reading.told, reading.told_share.has_value());
    const bool same_share = percent(reading.told_share) == percent(now.share);
    row.otherwise = row.came_to != words_now || !same_share;
    const std::string share_now = same_share || !now.share ? "" : percent(now.share) + ", ";
    if (row.otherwise) row.came_to += "; now " + share_now + words_now;
  } else {
    row.came_to = "not on record; now " + words_now;
  }
  if (reading.purpose != fleet::Purpose::kCheck) row.came_to += ", " + purpose_words(reading.purpose);
}

template <class Kept>
std::string name_of(const std::vector<Kept>& all, std::int64_t number) {
  const auto at = std::ranges::find(all, number, [](const Kept& kept) { return kept.id.number; });
  return at == all.end() ? "not of this light" : at->record.name;
}

}  // namespace

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
    CheckRow row{.reading = kept.id,
                 .taken_at = reading.taken_at,
                 .taken = local_text(reading.taken_at, record.site.record.time_zone),
                 .light = record.light.record.name,
                 .radiometer_id = reading.radiometer,
                 .tip = name_of(record.tips, reading.tip.number),
                 .radiometer = name_of(record.radiometers, reading.radiometer.number),
                 .shown_mw_cm2 = reading.shown_mw_cm2,
                 .share = {},
                 .looks = looks_of(reading),
                 .verdict = {},
                 .came_to = {},
                 .by = names.of(reading.taken_by)};
    add_verdict(row, reading, check_answer(record, policy, all, kept.id, reading));
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string count_sentence(const std::vector<CheckRow>& rows) {
  constexpr std::array<std::pair<CheckVerdict, const char*>, 7> told = {{{CheckVerdict::kGood, "good"},
                                                                         {CheckVerdict::kFirst, "first of a baseline"},
                                                                         {CheckVerdict::kLow, "low"},
                                                                         {CheckVerdict::kHigh, "high"},
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
  text += ".";
  const auto unknown = std::ranges::count(rows, false, &CheckRow::on_record);
  const auto otherwise = std::ranges::count(rows, true, &CheckRow::otherwise);
  if (unknown > 0) {
    text += unknown == 1
                ? " Of one it is not on record what was told: it is judged as of now."
                : " Of " + std::to_string(unknown) + " it is not on record what was told: they are judged as of now.";
  }
  if (otherwise > 0) {
    text += (otherwise == 1 ? " One" : " " + std::to_string(otherwise)) + " would be told something else now.";
  }
  return text;
}

}  // namespace throughcure::desk
