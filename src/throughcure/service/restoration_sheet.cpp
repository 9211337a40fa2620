#include "throughcure/service/restoration_sheet.hpp"

#include <chrono>
#include <cstdint>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <utility>

#include <nlohmann/json.hpp>

#include "throughcure/desk/light_cache.hpp"
#include "throughcure/desk/lights_there.hpp"
#include "throughcure/desk/planning_files.hpp"
#include "throughcure/desk/scope.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/person.hpp"
#include "throughcure/practice/restoration.hpp"
#include "throughcure/service/json_value.hpp"

namespace throughcure::service {

namespace {

using nlohmann::json;

/// A light that left is offered so long: a week's restorations may be written up late. Common practice, no source.
constexpr std::chrono::hours kWrittenUpLate{30 * 24};

store::Query all_by(std::string order) {
  return {.where = {}, .order_by = std::move(order), .limit = desk::kAllOfThem};
}

json path_or_null(const std::optional<std::string>& name, std::string (*path)(std::string_view)) {
  return name ? json(path(*name)) : json(nullptr);
}

/// Where it was left and when, for one that is not there any more.
json light_row(const store::Reader& reader, const desk::LightLine& view, const desk::LightThere& there) {
  json tips = json::array();
  for (const auto& tip : view.record->tips) {
    tips.push_back({{"id", tip.id.number}, {"name", tip.record.name}, {"diameter_mm", tip.record.diameter_mm}});
  }
  json today = nullptr;
  // Without a reading it is the claim alone: no reason to plan with less than the light's file says.
  if (view.has_readings) {
    const fleet::OutputSpread& output = view.output.today;
    today = {{"p10", output.p10}, {"p50", output.p50}, {"p90", output.p90}};
  }
  const auto room = there.room ? reader.get<practice::Room>(*there.room) : std::nullopt;
  return {{"id", view.record->light.id.number},
          {"name", view.record->light.record.name},
          {"room_name", room ? room->record.name : view.record->room.record.name},
          {"left_at", or_null(there.left)},
          {"state", desk::word(view.state.state)},
          {"why", view.state.why},
          {"overdue", view.state.overdue},
          {"file", path_or_null(view.record->light.record.file, desk::light_planning_file)},
          {"today", today},
          {"tips", tips}};
}

json material_rows(const store::Reader& reader) {
  std::map<std::int64_t, json> lots;
  for (const auto& lot : reader.list<practice::Lot>(all_by("number"))) {
    const auto& expires = lot.record.expires_at;
    lots[lot.record.material.number].push_back(
        {{"number", lot.record.number}, {"expires_at", expires ? json(base::instant_text(*expires)) : json(nullptr)}});
  }
  json rows = json::array();
  for (const auto& material : reader.list<practice::MaterialEntry>(all_by("name"))) {
    const auto of_it = lots.find(material.id.number);
    rows.push_back({{"id", material.id.number},
                    {"name", material.record.name},
                    {"shade", material.record.shade},
                    {"file", path_or_null(material.record.file, desk::material_planning_file)},
                    {"ifu_seconds", or_null(material.record.ifu_seconds)},
                    {"ifu_increment_mm", or_null(material.record.ifu_increment_mm)},
                    {"lots", of_it == lots.end() ? json::array() : of_it->second}});
  }
  return rows;
}

json barrier_rows(const store::Reader& reader) {
  json rows = json::array();
  for (const auto& barrier : reader.list<fleet::BarrierEntry>(all_by("name"))) {
    rows.push_back({{"id", barrier.id.number},
                    {"name", barrier.record.name},
                    {"pass", barrier.record.pass},
                    {"pass_sd", or_null(barrier.record.pass_sd)},
                    {"source", barrier.record.source}});
  }
  return rows;
}

/// What the revisions of a restoration name.
struct Named {
  std::set<std::int64_t> lights;
  std::set<std::int64_t> people;
};

Named named_by(const store::Reader& reader, base::RestorationId id, const practice::Member& member) {
  if (member.role == practice::Role::kViewer) {
    throw desk::Forbidden("What is on record of a restoration is for assistants, clinicians and the lead.");
  }
  const auto kept = reader.get<practice::Restoration>(id);
  if (!kept || !member.sees(desk::Places(reader).site_of(kept->record.room, kept->record.light))) {
    throw desk::Missing("There is no restoration of that number here.");
  }
  Named named;
  for (const auto& revision : reader.history<practice::Restoration>(id)) {
    named.lights.insert(revision.record.light.number);
    named.people.insert(revision.record.placed_by.number);
  }
  return named;
}

/// The people of their sites, those who left too, and who of them may place a restoration.
json people_rows(const store::Reader& reader, const practice::Member& member, const Named& named) {
  json rows = json::array();
  for (const auto& person : reader.list<practice::Person>(all_by("name"))) {
    const practice::Person& record = person.record;
    const bool here = record.everywhere || member.sees(record.site);
    if (!here && !named.people.contains(person.id.number)) continue;
    const bool places = here && record.active && record.role >= practice::Role::kClinician;
    rows.push_back({{"id", person.id.number}, {"name", record.name}, {"places", places}});
  }
  return rows;
}

json light_rows(const store::Reader& reader, const RecordsDesk& desk, const practice::Member& member,
                const Named& named, base::Instant now) {
  desk::LightsNow lines(reader, desk.lights);
  json rows = json::array();
  for (const desk::LightThere& there : desk::lights_there(reader, member, now)) {
    const bool late = there.left && *there.left < now - kWrittenUpLate;
    if (late && !there.own && !named.lights.contains(there.light.number)) continue;
    rows.push_back(light_row(reader, lines.line(there.light, now), there));
  }
  return rows;
}

}  // namespace

Response restoration_sheet(const Call& call, const RecordsDesk& desk) {
  const base::Instant now = desk.settings.now();
  const practice::Member& member = member_of(call);
  const std::optional<std::int64_t> made = number_in_query(call, "made");
  json document{{"at", base::instant_text(now)}};
  desk.records->read([&](const store::Reader& reader) {
    const Named named = made ? named_by(reader, {*made}, member) : Named{};
    document["lights"] = light_rows(reader, desk, member, named, now);
    document["materials"] = material_rows(reader);
    document["barriers"] = barrier_rows(reader);
    document["people"] = people_rows(reader, member, named);
  });
  return json_response(200, document.dump(-1, ' ', false, json::error_handler_t::replace) + "\n");
}

}  // namespace throughcure::service
