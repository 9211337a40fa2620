#include "throughcure/desk/light_record.hpp"

#include <algorithm>
#include <span>
#include <utility>

#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

using store::Compare;

template <class Kept>
std::size_t index_of(const std::vector<Kept>& all, std::int64_t number) {
  const auto at = std::ranges::find(all, number, [](const Kept& kept) { return kept.id.number; });
  return static_cast<std::size_t>(at - all.begin());  // one past the last where it is not there: no part of the history
}

/// Number of a mode; new ones are added.
std::size_t mode_number(std::vector<std::string>& modes, const std::string& mode) {
  const auto at = std::ranges::find(modes, mode);
  const auto number = static_cast<std::size_t>(at - modes.begin());
  if (at == modes.end()) modes.push_back(mode);
  return number;
}

fleet::SpectralClass spectral_class(const std::optional<std::string>& said) {
  if (said == "blue") return fleet::SpectralClass::kBlue;
  if (said == "broad") return fleet::SpectralClass::kBroad;
  return fleet::SpectralClass::kUnknown;
}

std::vector<fleet::HistoryRadiometer> radiometers_of(const store::Reader& reader, const LightRecord& record) {
  std::vector<fleet::HistoryRadiometer> found;
  const auto certificates =
      reader.list<fleet::CertificateEntry>({.where = {}, .order_by = "calibrated_at", .limit = kAllOfThem});
  for (const auto& radiometer : record.radiometers) {
    fleet::HistoryRadiometer one{.aperture_mm = radiometer.record.aperture_mm,
                                 .spectral_class = spectral_class(radiometer.record.spectral_class)};
    for (const auto& certificate : certificates) {
      const fleet::CertificateEntry& said = certificate.record;
      if (said.radiometer != radiometer.id) continue;
      one.calibrations.push_back({.from = begin_of_day(said.calibrated_at),
                                  .until = end_of_day(said.valid_until),
                                  .expanded = said.expanded_uncertainty});
    }
    found.push_back(std::move(one));
  }
  return found;
}

using Barriers = std::vector<store::Kept<fleet::BarrierEntry>>;

Barriers barriers_of(const store::Reader& reader) {
  return reader.list<fleet::BarrierEntry>({.where = {}, .order_by = {}, .limit = kAllOfThem});
}

/// What a history needs of a reading: the rest of it stays where it is.
const std::vector<store::Wanted>& wanted_of_a_reading() {
  static const std::vector<store::Wanted> wanted = {{"id"},        {"taken_at"},        {"tip"},        {"radiometer"},
                                                    {"mode"},      {"shown_mw_cm2"},    {"barrier_on"}, {"tip_clean"},
                                                    {"battery"},   {"second_of_press"}, {"purpose"},    {"barrier"},
                                                    {"tip_whole"}, {"barrier_smooth"},  {"vents_clear"}};
  return wanted;
}

template <class Member>
Member member_of(const base::Value& value) {
  return base::Kept<Member>::from(value);
}

fleet::LightReading reading_of(const std::vector<base::Value>& row, LightRecord& record, const Barriers& barriers) {
  fleet::LightReading reading{.id = {member_of<std::int64_t>(row[0])},
                              .at = member_of<base::Instant>(row[1]),
                              .tip = index_of(record.tips, member_of<std::int64_t>(row[2])),
                              .radiometer = index_of(record.radiometers, member_of<std::int64_t>(row[3])),
                              .mode = mode_number(record.modes, member_of<std::string>(row[4])),
                              .shown_mw_cm2 = member_of<double>(row[5]),
                              .barrier_on = member_of<bool>(row[6]),
                              .tip_clean = member_of<bool>(row[7]),
                              .battery = member_of<std::optional<double>>(row[8]),
                              .second_of_press = member_of<std::optional<double>>(row[9]),
                              .purpose = member_of<fleet::Purpose>(row[10]),
                              .tip_whole = member_of<std::optional<bool>>(row[12]),
                              .barrier_smooth = member_of<std::optional<bool>>(row[13]),
                              .vents_clear = member_of<std::optional<bool>>(row[14])};
  const auto on = member_of<std::optional<base::BarrierId>>(row[11]);
  if (!on) return reading;
  const auto barrier = std::ranges::find(barriers, *on, [](const auto& one) { return one.id; });
  if (barrier == barriers.end()) return reading;
  // A share that somebody gave without its uncertainty: from memory, half of what published barriers differ by.
  constexpr double usual_sd = 0.03;
  reading.barrier =
      fleet::BarrierFactor{.passes = barrier->record.pass, .sd = barrier->record.pass_sd.value_or(usual_sd)};
  return reading;
}

/// The same row of a reading that is at hand, whether or not it is on record.
std::vector<base::Value> row_of(base::ReadingId id, const fleet::ReadingEntry& reading) {
  static const std::vector<base::Column> columns = base::columns_of<fleet::ReadingEntry>();
  const std::vector<base::Value> values = base::values_of(reading);
  std::vector<base::Value> row = {id.number};
  for (const store::Wanted& wanted : std::span(wanted_of_a_reading()).subspan(1)) {
    const auto column = std::ranges::find(columns, wanted.column, &base::Column::name);
    row.push_back(values[static_cast<std::size_t>(column - columns.begin())]);
  }
  return row;
}

/// What it gave before it was mended is no baseline of a light that was not accepted so.
std::optional<base::Instant> mended_before_accepted(const LightRecord& record) {
  const base::Instant accepted = record.light.record.accepted_at.value_or(base::kLatestInstant);
  std::optional<base::Instant> mended;
  for (const fleet::ServiceEvent& service : record.history.services) {
    const bool mends = service.what == fleet::Deed::kRepaired || service.what == fleet::Deed::kBatteryReplaced;
    if (mends && service.at <= accepted) mended = std::max(service.at, mended.value_or(service.at));
  }
  return mended;
}

/// Followed from the day it was accepted, or from its first reading.
void begin_history(LightRecord& record) {
  fleet::LightHistory& history = record.history;
  history.mended_at = mended_before_accepted(record);
  history.accepted_at = record.light.record.accepted_at.value_or(base::kLatestInstant);
  if (!history.readings.empty()) history.accepted_at = std::min(history.accepted_at, history.readings.front().at);
}

/// All that is on record of this light.
LightRecord record_of(const store::Reader& reader, const store::Kept<fleet::LightEntry>& kept) {
  const base::LightId light = kept.id;
  const auto room = reader.get<practice::Room>(kept.record.room);
  const auto site = room ? reader.get<practice::Site>(room->record.site) : std::nullopt;
  if (!site) throw base::Failure("a light's room or its site is not in the records. Restore the last good backup.");
  const auto of_light = [&](const std::string& order) {
    return store::Query{.where = {{"light", Compare::kEqual, light.number}}, .order_by = order, .limit = kAllOfThem};
  };
  LightRecord record{
      .light = kept,
      .room = *room,
      .site = *site,
      .tips = reader.list<fleet::TipEntry>(of_light("")),
      .radiometers = reader.list<fleet::RadiometerEntry>({.where = {}, .order_by = {}, .limit = kAllOfThem}),
      .modes = {},
      .servicing = reader.list<fleet::ServicingEntry>(of_light("at")),
      .papers = reader.list<practice::Attachment>(
          {.where = {{"belongs_to", Compare::kEqual, std::string("light")}, {"record", Compare::kEqual, light.number}},
           .order_by = {},
           .limit = kAllOfThem}),
      .history = {}};
  if (kept.record.check_mode) record.modes.push_back(*kept.record.check_mode);
  fleet::LightHistory& history = record.history;
  const Barriers barriers = barriers_of(reader);
  reader.pick(
      store::table_of<fleet::ReadingEntry>(), wanted_of_a_reading(), of_light("taken_at"),
      [&](const std::vector<base::Value>& row) { history.readings.push_back(reading_of(row, record, barriers)); });
  for (const auto& tip : record.tips) history.tips.push_back({.diameter_mm = tip.record.diameter_mm});
  for (const auto& event : record.servicing) history.services.push_back({event.record.at, event.record.what});
  history.radiometers = radiometers_of(reader, record);
  history.claimed_mw_cm2 = kept.record.claimed_mw_cm2;
  const bool is_measured = kept.record.claim_measured.value_or(false);
  history.claim = is_measured ? fleet::ClaimKind::kCertificate : fleet::ClaimKind::kMaker;
  history.emits_violet = kept.record.emits_violet.value_or(false);
  begin_history(record);
  return record;
}

}  // namespace

LightRecord light_record(const store::Reader& reader, base::LightId light) {
  const auto kept = reader.get<fleet::LightEntry>(light);
  if (!kept) throw Missing("There is no light of that number here.");
  return record_of(reader, *kept);
}

LightRecord light_record_at(const store::Reader& reader, base::LightId light, base::Instant at) {
  const auto revisions = reader.history<fleet::LightEntry>(light);
  if (revisions.empty()) throw Missing("There is no light of that number here.");
  std::size_t then = 0;
  for (std::size_t i = 1; i < revisions.size(); ++i) {
    if (reader.changes(static_cast<std::uint64_t>(revisions[i].change), 1).at(0).at <= at) then = i;
  }
  return record_of(reader, revisions[then]);
}

bool add_new_readings(const store::Reader& reader, LightRecord& record,
                      const std::vector<store::Kept<fleet::ReadingEntry>>& readings) {
  std::vector<fleet::LightReading>& known = record.history.readings;
  std::optional<Barriers> barriers;
  for (const auto& reading : readings) {
    // Modes are numbered as they come up: one that came earlier would have another number.
    const std::pair when(reading.record.taken_at, reading.id.number);
    if (!known.empty() && when < std::pair(known.back().at, known.back().id.number)) return false;
    if (reading.record.barrier && !barriers) barriers = barriers_of(reader);
    known.push_back(reading_of(row_of(reading.id, reading.record), record, barriers.value_or(Barriers())));
  }
  begin_history(record);
  return true;
}

bool add_unkept_reading(const store::Reader& reader, LightRecord& record, const fleet::ReadingEntry& reading) {
  std::vector<fleet::LightReading>& known = record.history.readings;
  const auto after = std::ranges::upper_bound(known, reading.taken_at, {}, &fleet::LightReading::at);
  const bool is_last = after == known.end();
  const Barriers barriers = reading.barrier ? barriers_of(reader) : Barriers();
  known.insert(after, reading_of(row_of(kUnkept, reading), record, barriers));
  begin_history(record);
  return is_last;
}

}  // namespace throughcure::desk
