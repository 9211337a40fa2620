#include "throughcure/service/fleet_json.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <nlohmann/json.hpp>

#include "throughcure/desk/look_backs.hpp"
#include "throughcure/fleet/radiometer_link.hpp"
#include "throughcure/service/json_value.hpp"
#include "throughcure/service/record_json.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

json spread(const fleet::OutputSpread& output) {
  return {{"p10", output.p10}, {"p50", output.p50}, {"p90", output.p90}};
}

json interval(const std::optional<fleet::Interval>& value) {
  if (!value) return nullptr;
  return {{"p10", value->p10}, {"p50", value->p50}, {"p90", value->p90}};
}

json falls(const fleet::LightToday& output) {
  const auto& below = output.falls_below;
  if (!below) return nullptr;
  // The earliest of nine in ten comes first: its chance is a tenth.
  return {{"p10", or_null(below->early)}, {"p50", or_null(below->middle)}, {"p90", or_null(below->late)}};
}

json today(const fleet::LightToday& output, bool has_readings) {
  return has_readings ? spread(output.today) : json(nullptr);
}

json paired(const std::optional<fleet::PairedShare>& share, const char* called) {
  if (!share) return nullptr;
  return {{called, share->middle}, {"low", share->low}, {"high", share->high}, {"pairs", share->pairs}};
}

/// What the records say of a reading beside what its light's history takes of it.
struct Beside {
  std::int64_t revision = 1;
  base::Instant arrived_at{};
  json told = nullptr;  ///< when it was taken in, where that is on record
};
using AllBeside = std::map<std::int64_t, Beside>;  ///< by the readings' numbers

AllBeside beside_of(const store::Reader& reader, base::LightId light) {
  AllBeside all;
  reader.pick(store::table_of<fleet::ReadingEntry>(), {{"id"}, {"revision"}, {"arrived_at"}, {"told"}, {"told_share"}},
              {.where = {{"light", store::Compare::kEqual, light.number}}, .order_by = {}, .limit = desk::kAllOfThem},
              [&](const std::vector<base::Value>& row) {
                Beside& one = all[std::get<std::int64_t>(row[0])];
                one.revision = std::get<std::int64_t>(row[1]);
                one.arrived_at = base::Kept<base::Instant>::from(row[2]);
                const auto* const verdict = std::get_if<std::string>(&row[3]);
                if (verdict == nullptr) return;
                const auto share = base::Kept<std::optional<double>>::from(row[4]);
                one.told = json{{"verdict", *verdict}, {"share", or_null(share)}};
              });
  return all;
}

/// What every reading has, whether it is compared with others or not.
json reading_row(const AllBeside& beside, const fleet::LightReading& taken,
                 const std::optional<std::string_view>& why_not) {
  const auto kept = beside.find(taken.id.number);
  const Beside also = kept == beside.end() ? Beside() : kept->second;
  return {{"reading", taken.id.number},
          {"revision", also.revision},
          {"at", base::instant_text(taken.at)},
          {"arrived_at", base::instant_text(also.arrived_at)},
          {"shown_mw_cm2", taken.shown_mw_cm2},
          {"barrier_on", taken.barrier_on},
          {"why_not", why_not ? json(*why_not) : json(nullptr)},
          {"told", also.told}};
}

json point_row(const desk::LightView& view, const AllBeside& beside, std::size_t reading, double bare_mw_cm2,
               double share, const std::optional<std::string_view>& why_not) {
  json row = reading_row(beside, view.record.history.readings[reading], why_not);
  row["mw_cm2"] = bare_mw_cm2;
  row["share"] = share;
  row["counts"] = !why_not.has_value();
  return row;
}

json series_row(const desk::LightView& view, const AllBeside& beside, std::size_t index) {
  const fleet::Series& series = view.output.split.series[index];
  const fleet::SeriesAlarms& charts = view.output.alarms[index];
  const desk::LightRecord& record = view.record;
  json points = json::array();
  bool current = false;
  for (const fleet::SeriesPoint& point : series.points) {
    points.push_back(point_row(view, beside, point.reading, point.bare_mw_cm2, point.share, std::nullopt));
    current = current || (view.state.last && view.state.last->id == point.id);
  }
  for (const fleet::Uncounted& one : view.output.split.uncounted) {
    if (one.series != index) continue;
    const fleet::LightReading& taken = record.history.readings[one.reading];
    points.push_back(point_row(view, beside, one.reading, taken.shown_mw_cm2,
                               taken.shown_mw_cm2 / series.baseline_mw_cm2, desk::sentence(one.why)));
  }
  std::sort(points.begin(), points.end(), [](const json& a, const json& b) {
    return a["at"].get_ref<const std::string&>() < b["at"].get_ref<const std::string&>();
  });
  json alarms = json::array();
  for (const fleet::Alarm& alarm : charts.alarms) {
    alarms.push_back({{"at", base::instant_text(alarm.raised_at)},
                      {"reading", series.points[alarm.at].id.number},
                      {"rule", fleet::word(alarm.rule)},
                      {"sentence", desk::alarm_sentence(alarm, record.site.record.time_zone)},
                      {"began_at", base::instant_text(alarm.changed_at)},
                      {"stands", alarm.stands}});
  }
  json limits = nullptr;
  if (charts.learned_from > 1) {
    const double wide = fleet::AlarmSettings{}.individuals.L * charts.sigma;
    limits = {{"lower", std::exp(charts.target - wide)},
              {"centre", std::exp(charts.target)},
              {"upper", std::exp(charts.target + wide)}};
  }
  return {{"tip", record.tips[series.tip].id.number},
          {"tip_name", record.tips[series.tip].record.name},
          {"radiometer", record.radiometers[series.radiometer].id.number},
          {"radiometer_name", record.radiometers[series.radiometer].record.name},
          {"mode", record.modes[series.mode]},
          {"baseline_mw_cm2", series.baseline_mw_cm2},
          {"limit_mw_cm2", view.scales[index].limit_mw_cm2},
          {"current", current},
          {"to_drawn", view.scales[index].to_drawn},
          {"points", points},
          {"limits", limits},
          {"alarms", alarms}};
}

/// The name of one of these records; null where the number is none of them.
template <class Kept>
json name_among(const std::vector<Kept>& all, std::size_t number) {
  return number < all.size() ? json(all[number].record.name) : json(nullptr);
}

/// Readings that belong to no series, so that they can be corrected too.
json apart_of(const desk::LightView& view, const AllBeside& beside, base::Instant now) {
  const desk::LightRecord& record = view.record;
  json rows = json::array();
  const auto add = [&](const fleet::LightReading& taken, std::string_view why) {
    json row = reading_row(beside, taken, why);
    row["tip_name"] = name_among(record.tips, taken.tip);
    row["radiometer_name"] = name_among(record.radiometers, taken.radiometer);
    row["mode"] = record.modes[taken.mode];
    rows.push_back(std::move(row));
  };
  for (const fleet::Uncounted& one : view.output.split.uncounted) {
    if (!one.series) add(record.history.readings[one.reading], desk::sentence(one.why));
  }
  for (const fleet::LightReading& taken : record.history.readings) {
    if (taken.at > now) add(taken, "Its time is still to come: the clock of its device was ahead.");
  }
  return rows;
}

json links_of(const desk::LightRecord& record) {
  json links = json::array();
  for (const fleet::RadiometerLink& link : fleet::radiometer_links(record.history)) {
    const auto& from = record.radiometers[link.from];
    const auto& to = record.radiometers[link.to];
    links.push_back({{"from", from.id.number},
                     {"from_name", from.record.name},
                     {"to", to.id.number},
                     {"to_name", to.record.name},
                     {"tip", record.tips[link.tip].id.number},
                     {"tip_name", record.tips[link.tip].record.name},
                     {"mode", record.modes[link.mode]},
                     {"ratio", link.factor},
                     {"low", link.low},
                     {"high", link.high},
                     {"pairs", link.pairs}});
  }
  return links;
}

json events_of(const desk::LightView& view, const store::Reader& reader) {
  json events = json::array();
  for (const auto& event : view.record.servicing) {
    const auto room = event.record.room ? reader.get<practice::Room>(*event.record.room) : std::nullopt;
    events.push_back({{"id", event.id.number},
                      {"revision", event.revision},
                      {"at", base::instant_text(event.record.at)},
                      {"what", std::get<std::string>(base::Kept<fleet::Deed>::to(event.record.what))},
                      {"room_name", room ? json(room->record.name) : json(nullptr)},
                      {"note", or_null(event.record.note)},
                      {"name", name_of(reader, std::to_string(event.record.told_by.number))}});
  }
  return events;
}

json papers_of(const desk::LightView& view, const store::Reader& reader) {
  json papers = json::array();
  for (const auto& paper : view.record.papers) {
    const practice::Change change = reader.changes(static_cast<std::uint64_t>(paper.change), 1).at(0);
    papers.push_back({{"id", paper.id.number},
                      {"about", paper.record.about},
                      {"name", paper.record.name},
                      {"media", std::get<std::string>(base::Kept<practice::MediaType>::to(paper.record.media))},
                      {"size", paper.record.size},
                      {"at", base::instant_text(change.at)}});
  }
  return papers;
}

json open_look_back_of(const store::Reader& reader, base::LightId light) {
  const auto open = desk::open_look_back(reader, light);
  return open ? json(open->number) : json(nullptr);
}

}  // namespace

std::string fleet_row_json(const desk::LightLine& line) {
  const fleet::LightEntry& light = line.record->light.record;
  return json{{"id", line.record->light.id.number},
              {"name", light.name},
              {"serial", light.serial},
              {"room", light.room.number},
              {"room_name", line.record->room.record.name},
              {"site", line.record->site.id.number},
              {"state", desk::word(line.state.state)},
              {"why", line.state.why},
              {"today", today(line.output, line.has_readings)},
              {"limit_mw_cm2", line.limit.shown_mw_cm2},
              {"shown_per_exitance", line.limit.shown_per_exitance},
              {"claimed_mw_cm2", or_null(light.claimed_mw_cm2)},
              {"last_check", or_null(line.state.last_check)},
              {"due", or_null(line.state.due)},
              {"overdue", line.state.overdue},
              {"alarm", or_null(line.alarm)},
              {"falls_below", falls(line.output)}}
      .dump(-1, ' ', false, json::error_handler_t::replace);
}

std::string fleet_page_json(const desk::LightView& view, const store::Reader& reader, const desk::Policy& policy,
                            base::Instant now) {
  const desk::LightRecord& record = view.record;
  json series = json::array();
  const AllBeside beside = beside_of(reader, record.light.id);
  for (std::size_t i = 0; i < view.output.split.series.size(); ++i) series.push_back(series_row(view, beside, i));
  json band = json::array();
  for (const desk::BandPoint& point : desk::output_band(view, now)) {
    json row = spread(point.output);
    row["at"] = base::instant_text(point.at);
    band.push_back(std::move(row));
  }
  json tips = json::array();
  for (const auto& tip : record.tips) {
    tips.push_back({{"id", tip.id.number},
                    {"revision", tip.revision},
                    {"name", tip.record.name},
                    {"diameter_mm", tip.record.diameter_mm}});
  }
  const bool accepted = record.light.record.accepted_at.has_value();
  return json{{"id", record.light.id.number},
              {"revision", record.light.revision},
              {"light",
               json::parse(record_json(store::table_of<fleet::LightEntry>(), base::values_of(record.light.record)))},
              {"room_name", record.room.record.name},
              {"state", desk::word(view.state.state)},
              {"why", view.state.why},
              {"sentence", desk::first_sentence(view, now)},
              {"today", today(view.output, !view.output.split.series.empty())},
              {"limit_mw_cm2", view.limit.shown_mw_cm2},
              {"limit_why", view.limit_why},
              {"shown_by", or_null(view.shown_by)},
              {"shown_per_exitance", view.limit.shown_per_exitance},
              {"claimed_mw_cm2", or_null(record.light.record.claimed_mw_cm2)},
              {"first_share_of_claim", interval(desk::first_share_of_claim(record, now))},
              {"last_check", or_null(view.state.last_check)},
              {"due", or_null(view.state.due)},
              {"overdue", view.state.overdue},
              {"alarm", or_null(view.alarm)},
              {"series", series},
              {"look_back", open_look_back_of(reader, record.light.id)},
              {"apart", apart_of(view, beside, now)},
              {"band", band},
              {"falls_below", falls(view.output)},
              {"battery", paired(view.output.sag, "sag")},
              {"cleaning", paired(view.output.cleaning, "gain")},
              {"radiometer_links", links_of(record)},
              {"events", events_of(view, reader)},
              {"papers", papers_of(view, reader)},
              {"missing", accepted ? json::array() : json(desk::missing_for_acceptance(record, policy, now))},
              {"tips", tips}}
             .dump(-1, ' ', false, json::error_handler_t::replace) +
         "\n";
}

}  // namespace throughcure::service
