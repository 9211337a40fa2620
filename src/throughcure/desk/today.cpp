#include "throughcure/desk/today.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "throughcure/base/given.hpp"
#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/look_back_share.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

constexpr std::size_t kChangesShown = 12;
constexpr std::size_t kChangesLookedAt = 400;
constexpr std::size_t kChangesAtOnce = 40;
constexpr std::size_t kLightsNamed = 4;

/// What is said of a kind of record; kinds that tell nobody anything are left out.
std::string_view deed_of(const practice::Change& change) {
  const bool added = begins_a_record(change);
  const auto has = [&](std::string_view field) {
    return std::ranges::any_of(change.after, [&](const auto& one) { return one.name == field; });
  };
  if (change.kind == "light") {
    if (added) return "added a light";
    if (has("withdrawn_at")) return "withdrew a light";
    if (has("accepted_at")) return "accepted a light";
    if (has("refused_because")) return "refused a light";
    return "changed a light";
  }
  if (change.kind == "reading") return added ? "took a check" : "corrected a reading";
  if (change.kind == "lookback") return added ? "opened a look-back" : "changed a look-back";
  if (change.kind == "decision") return "decided about a restoration";
  if (change.kind == "restoration") return added ? "recorded a restoration" : "corrected a restoration";
  if (change.kind == "servicing") return "noted what was done to a light";
  if (change.kind == "setting") return "changed a limit or an interval";
  if (change.kind == "person") return added ? "added a person" : "changed a person";
  if (change.kind == "room") return added ? "added a room" : "changed a room";
  if (change.kind == "radiometer") return added ? "added a radiometer" : "changed a radiometer";
  return {};
}

/// Whether its records name the light that they are of, and are told with it.
bool is_of_a_light(std::string_view kind) {
  constexpr std::array<std::string_view, 3> kinds = {"reading", "servicing", "lookback"};
  return std::ranges::find(kinds, kind) != kinds.end();
}

/// The light that such a change is of; none for other kinds of records.
std::optional<base::LightId> light_of(const practice::Change& change, const store::Table& table,
                                      const std::vector<base::Value>& values) {
  if (change.kind == "light") return base::LightId{std::stoll(change.record)};
  if (!is_of_a_light(change.kind)) return std::nullopt;
  const auto at = std::ranges::find(table.columns, "light", &base::Column::name);
  return base::LightId{base::Kept<std::int64_t>::from(values[static_cast<std::size_t>(at - table.columns.begin())])};
}

void add_light(std::optional<base::LightId> light, const store::Reader& reader, std::vector<ChangedLight>& lights) {
  if (!light || lights.size() == kLightsNamed) return;
  if (std::ranges::find(lights, *light, &ChangedLight::light) != lights.end()) return;
  lights.push_back({*light, base::given(reader.get<fleet::LightEntry>(*light)).record.name});
}

void add_change(const practice::Change& change, const store::Reader& reader, const Places& places,
                const practice::Member& member, std::vector<ChangedRow>& rows) {
  const std::string_view deed = deed_of(change);
  const store::Table* const table = table_called(change.kind);
  if (deed.empty() || table == nullptr) return;
  // One person's checks one after the other are one line.
  const bool goes_on = !rows.empty() && rows.back().person == change.person && rows.back().sentence == deed;
  const bool names_another = rows.empty() || rows.back().lights.size() < kLightsNamed;
  const bool is_told =
      goes_on ? names_another && (change.kind == "light" || is_of_a_light(change.kind)) : rows.size() < kChangesShown;
  if (!is_told) return;
  const auto row = reader.newest(*table, std::stoll(change.record));
  if (!row || !member.sees(places.site_of(*table, row->values))) return;
  if (!goes_on) rows.push_back({.at = change.at, .person = change.person, .sentence = std::string(deed)});
  add_light(light_of(change, *table, row->values), reader, rows.back().lights);
}

std::vector<ChangedRow> changes_of(const store::Reader& reader, const Places& places, const practice::Member& member) {
  std::vector<ChangedRow> rows;
  const std::uint64_t size = reader.edge().size();
  const std::uint64_t last_looked_at = size > kChangesLookedAt ? size - kChangesLookedAt + 1 : 1;
  // In pieces from the newest on: mostly the first one holds enough.
  for (std::uint64_t end = size + 1; end > last_looked_at && rows.size() < kChangesShown;) {
    const std::uint64_t first = std::max(last_looked_at, end > kChangesAtOnce ? end - kChangesAtOnce : 1);
    auto changes = reader.changes(first, end - first);
    std::ranges::reverse(changes);
    for (const practice::Change& change : changes) add_change(change, reader, places, member, rows);
    end = first;
  }
  return rows;
}

std::string count(std::size_t number, std::string_view one, std::string_view many) {
  return number == 1 ? std::string(one) : std::to_string(number) + std::string(many);
}

std::string first_sentence(const Today& today) {
  const auto withdrawn =
      static_cast<std::size_t>(std::ranges::count(today.wrong, StateWord::kWithdrawn, &WrongRow::state));
  const std::size_t watched = today.wrong.size() - withdrawn;
  std::string text;
  if (today.lights == 0) return "No light is kept yet: add the first one in Setup.";
  if (today.wrong.empty() && today.due.empty()) return "Every light is fit for use, and nothing is due.";
  if (watched > 0) text += count(watched, "One light wants looking at", " lights want looking at") + ". ";
  if (withdrawn > 0) text += count(withdrawn, "One light is withdrawn", " lights are withdrawn") + ". ";
  if (!today.due.empty()) text += count(today.due.size(), "One check is due", " checks are due") + ". ";
  text.pop_back();
  return text;
}

}  // namespace

std::vector<base::LightId> lights_of(const Places& places, const practice::Member& member) {
  std::vector<base::LightId> found = places.lights();
  std::erase_if(found, [&](base::LightId light) { return !member.sees(places.site_of(light)); });
  return found;
}

std::vector<base::LightId> lights_of(const store::Reader& reader, const practice::Member& member) {
  return lights_of(Places(reader), member);
}

Today today(LightsNow& lights, const practice::Member& member, base::Instant now) {
  Today page;
  const store::Reader& reader = lights.reader();
  const Places places(reader);
  const std::vector<base::LightId> seen = lights_of(places, member);
  for (const base::LightId id : seen) {
    const LightLine view = lights.line(id, now);
    const std::string& name = view.record->light.record.name;
    const std::string& room = view.record->room.record.name;
    const std::string& zone = view.record->site.record.time_zone;
    if (view.state.state != StateWord::kInUse) page.wrong.push_back({id, name, room, view.state.state, view.state.why});
    const bool used = view.state.state == StateWord::kInUse || view.state.state == StateWord::kWatch;
    const bool due = !view.state.due || local_day(*view.state.due, zone) <= local_day(now, zone);
    if (used && due) page.due.push_back({id, name, room, view.state.due, view.state.overdue_days});
  }
  std::ranges::sort(page.due, {}, [](const DueRow& row) { return std::pair(-row.overdue_days, row.light); });
  std::ranges::sort(page.wrong, {},
                    [](const WrongRow& row) { return std::pair(row.state == StateWord::kWithdrawn, row.light); });
  if (member.role >= practice::Role::kClinician) {
    for (const auto& one : reader.list<practice::LookBack>({.where = {}, .order_by = {}, .limit = kAllOfThem})) {
      if (one.record.closed_at || one.record.merged_into) continue;
      const LookBackShare share(reader, places, member, one);
      if (!share.sees_any()) continue;
      const LookBackCounts counts = share.counts(tally_of(reader, one)).seen;
      page.look_backs.push_back({one.id, one.record.light,
                                 base::given(reader.get<fleet::LightEntry>(one.record.light)).record.name,
                                 static_cast<std::int64_t>(counts.restorations - counts.decided)});
    }
  }
  page.runs_out = what_runs_out(reader, seen, now);
  page.changed = changes_of(reader, places, member);
  page.lights = seen.size();
  page.sentence = first_sentence(page);
  return page;
}

}  // namespace throughcure::desk
