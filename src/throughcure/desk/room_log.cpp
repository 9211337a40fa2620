#include "throughcure/desk/room_log.hpp"

#include <algorithm>
#include <set>

#include "throughcure/base/given.hpp"
#include "throughcure/base/hex.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/desk/audit_log.hpp"
#include "throughcure/desk/light_page.hpp"
#include "throughcure/desk/runs_out.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

using store::Compare;

/// Those that stand in the room, and those that were checked there.
std::set<std::int64_t> lights_in(const store::Reader& reader, base::RoomId room, const LocalMonth& month,
                                 const std::string& zone) {
  std::set<std::int64_t> found;
  for (const auto& light : reader.list<fleet::LightEntry>(
           {.where = {{"room", Compare::kEqual, room.number}}, .order_by = {}, .limit = kAllOfThem})) {
    found.insert(light.id.number);
  }
  for (const auto& reading :
       reader.list<fleet::ReadingEntry>({.where = {{"room", Compare::kEqual, room.number},
                                                   {"taken_at", Compare::kAtLeast, begin_of(month, zone).us},
                                                   {"taken_at", Compare::kBelow, begin_of(after(month), zone).us}},
                                         .order_by = {},
                                         .limit = kAllOfThem})) {
    found.insert(reading.record.light.number);
  }
  return found;
}

std::string tips_of(const LightRecord& record) {
  std::string text;
  for (const auto& tip : record.tips) {
    text += (text.empty() ? "" : ", ") + tip.record.name + " " + base::number_text(tip.record.diameter_mm) + " mm";
  }
  return text.empty() ? "none on record" : text;
}

std::string approval_of(const fleet::LightEntry& light) {
  if (!light.approval_number) return "none on record";
  return *light.approval_number + (light.approved_by ? ", " + *light.approved_by : "");
}

}  // namespace

PrintedHead printed_head(const store::Reader& reader) {
  const practice::RightEdge edge = reader.edge();
  return {edge.size(), base::hex(edge.root()), public_key_text(reader)};
}

std::vector<LoggedRadiometer> logged_radiometers(const store::Reader& reader, const std::vector<std::int64_t>& numbers,
                                                 base::Instant until, const std::string& time_zone) {
  std::vector<LoggedRadiometer> found;
  const Certificates certificates(reader, until);
  for (const std::int64_t number : numbers) {
    const auto kept = reader.get<fleet::RadiometerEntry>({number});
    if (!kept) continue;
    LoggedRadiometer one{kept->record.name, kept->record.serial, "none on record", "not known"};
    if (const auto* const newest = certificates.newest(kept->id)) {
      one.certificate = newest->record.number + ", " + newest->record.issued_by;
    }
    if (const std::optional<base::Instant> valid = certificates.until(*kept)) {
      one.valid_until = (is_day_over(*valid, until) ? "expired on " : "") + day_text(local_day(*valid, time_zone));
    }
    found.push_back(std::move(one));
  }
  return found;
}

std::string overdue_sentence(const std::vector<Overdue>& overdue, base::Instant until, const std::string& time_zone) {
  const std::string day = day_text(local_day(until, time_zone));
  if (overdue.empty()) return "No check was overdue on " + day + ".";
  std::string text = "Overdue on " + day + ": ";
  for (std::size_t i = 0; i < overdue.size(); ++i) {
    text += (i == 0 ? "" : "; ") + overdue[i].light + ", by " + std::to_string(overdue[i].days) +
            (overdue[i].days == 1 ? " day" : " days");
  }
  return text + ".";
}

RoomLog room_log(const store::Reader& reader, const practice::Member& member, base::RoomId room,
                 const LocalMonth& month, base::Instant now) {
  const auto kept = reader.get<practice::Room>(room);
  if (!kept || !member.sees(kept->record.site)) throw Missing("There is no room of that number here.");
  const auto site = base::given(reader.get<practice::Site>(kept->record.site)).record;
  const Policy policy(reader);
  RoomLog log{
      .month = month,
      .room = kept->record.name,
      .site = site.name,
      .time_zone = site.time_zone,
      .until = known_until(month, now, site.time_zone),
      .sentences = {},
      .lights = {},
      .radiometers = {},
      .rows = {},
      .values = values_in_force(policy),
      .check_every_days = kept->record.check_every_days.value_or(static_cast<std::int64_t>(policy["check_every_days"])),
      .head = printed_head(reader)};
  Names names(reader);
  std::set<std::int64_t> radiometers;
  if (kept->record.radiometer) radiometers.insert(kept->record.radiometer->number);
  std::vector<Overdue> overdue;
  for (const std::int64_t number : lights_in(reader, room, month, site.time_zone)) {
    const LightRecord record = light_record(reader, {number});
    if (!member.sees(record.site.id)) continue;
    const auto wanted = [&](const fleet::ReadingEntry& reading) {
      return reading.room == room && is_in(month, reading.taken_at, site.time_zone);
    };
    for (CheckRow& row : check_rows(reader, record, policy, base::kLatestInstant, names, wanted)) {
      radiometers.insert(row.radiometer_id.number);
      log.rows.push_back(std::move(row));
    }
    const LightView view = light_view(light_record_at(reader, {number}, log.until), policy, log.until);
    log.lights.push_back({record.light.record.name, record.light.record.serial, tips_of(record),
                          std::string(word(view.state.state)), approval_of(record.light.record)});
    if (view.state.overdue && record.light.record.room == room) {
      overdue.push_back({record.light.record.name, view.state.overdue_days});
    }
  }
  std::ranges::sort(log.rows, [](const CheckRow& a, const CheckRow& b) {
    return std::tie(a.taken_at, a.reading) < std::tie(b.taken_at, b.reading);
  });
  log.radiometers = logged_radiometers(reader, {radiometers.begin(), radiometers.end()}, log.until, site.time_zone);
  log.sentences = {count_sentence(log.rows), overdue_sentence(overdue, log.until, site.time_zone)};
  return log;
}

}  // namespace throughcure::desk
