#include "throughcure/desk/look_backs.hpp"

#include <algorithm>
#include <iterator>
#include <limits>
#include <set>
#include <span>
#include <utility>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

using practice::LookBack;
using store::Compare;
using store::Kept;

Kept<LookBack> kept(const store::Reader& reader, base::LookBackId id) {
  auto found = reader.get<LookBack>(id);
  if (!found) throw Missing("There is no look-back of that number here.");
  return *std::move(found);
}

std::vector<Kept<LookBack>> of_light(const store::Reader& reader, base::LightId light) {
  return reader.list<LookBack>(
      {.where = {{"light", Compare::kEqual, light.number}}, .order_by = {}, .limit = kAllOfThem});
}

/// When a light that was withdrawn at `until` came back to use; none while it has not.
std::optional<base::Instant> returned_after(const store::Reader& reader, base::LightId light, base::Instant until) {
  for (const auto& revision : reader.history<fleet::LightEntry>(light)) {
    const base::Instant at = reader.changes(static_cast<std::uint64_t>(revision.change), 1).at(0).at;
    if (at > until && !revision.record.withdrawn_at) return at;
  }
  return std::nullopt;
}

/// What one look-back names, without those merged into it.
store::Query restorations_of(const store::Reader& reader, const Kept<LookBack>& one) {
  store::Query query{
      .where = {{"light", Compare::kEqual, one.record.light.number}}, .order_by = "placed_at", .limit = kAllOfThem};
  // A withdrawn light that somebody used all the same is in doubt as well.
  const auto returned = returned_after(reader, one.record.light, one.record.until);
  if (returned) query.where.push_back({"placed_at", Compare::kAtMost, returned->us});
  if (one.record.good_until) query.where.push_back({"placed_at", Compare::kAtLeast, one.record.good_until->us});
  return query;
}

store::Query decisions_of(const Kept<LookBack>& one) {
  return {.where = {{"look_back", Compare::kEqual, one.id.number}}, .order_by = {}, .limit = kAllOfThem};
}

/// The numbers in a column, each once, in order.
std::vector<std::int64_t> numbers(const store::Reader& reader, const store::Table& table, const std::string& column,
                                  const store::Query& query) {
  std::vector<std::int64_t> found;
  reader.pick(table, {{column}}, query,
              [&](const std::vector<base::Value>& row) { found.push_back(base::Kept<std::int64_t>::from(row[0])); });
  std::ranges::sort(found);
  const auto twice = std::ranges::unique(found);
  found.erase(twice.begin(), twice.end());
  return found;
}

std::vector<std::int64_t> joined(const std::vector<std::int64_t>& a, const std::vector<std::int64_t>& b) {
  std::vector<std::int64_t> all;
  std::ranges::set_union(a, b, std::back_inserter(all));
  return all;
}

}  // namespace

std::vector<Kept<LookBack>> family_of(const store::Reader& reader, const Kept<LookBack>& head) {
  std::vector<Kept<LookBack>> all = {head};
  for (const Kept<LookBack>& other : of_light(reader, head.record.light)) {
    if (other.record.merged_into == head.id) all.push_back(other);
  }
  return all;
}

std::optional<base::Instant> last_good(const LightRecord& record, const std::vector<Judged>& readings,
                                       base::Instant before) {
  const std::vector<bool> vouches = vouching(record, readings);
  for (std::size_t k = readings.size(); k > 0; --k) {
    const Judged& one = readings[k - 1];
    if (one.at <= before && !one.below && vouches[k - 1]) return one.at;
  }
  return std::nullopt;
}

std::optional<base::LookBackId> open_look_back(const store::Reader& reader, base::LightId light) {
  std::optional<base::LookBackId> newest;
  for (const Kept<LookBack>& one : of_light(reader, light)) {
    if (!one.record.closed_at && !one.record.merged_into) newest = one.id;
  }
  return newest;
}

bool was_used(const store::Reader& reader, const Kept<fleet::LightEntry>& light) {
  if (light.record.accepted_at) return true;
  const store::Query with_it{
      .where = {{"light", Compare::kEqual, light.id.number}}, .order_by = {}, .limit = kAllOfThem};
  return reader.count(store::table_of<practice::Restoration>(), with_it) > 0;
}

base::LookBackId withdraw(store::Writer& writer, const LightRecord& record, const LookBack& look_back) {
  fleet::LightEntry light = record.light.record;
  light.withdrawn_at = look_back.until;
  writer.correct(record.light.id, record.light.revision, light);
  return writer.add(look_back);
}

std::vector<Span> spans_of(const store::Reader& reader, const Kept<LookBack>& look_back) {
  std::vector<Span> spans;
  for (const Kept<LookBack>& one : family_of(reader, look_back)) {
    spans.push_back({one.record.good_until, one.record.until});
  }
  std::ranges::sort(spans, {}, &Span::until);
  return spans;
}

std::vector<LookBackPart> parts_of(const store::Reader& reader, const Kept<LookBack>& look_back) {
  std::vector<LookBackPart> parts;
  for (const Kept<LookBack>& one : family_of(reader, look_back)) {
    const std::size_t of_others = parts.size();
    reader.pick(store::table_of<practice::Restoration>(),
                {{"id"}, {"revision"}, {"placed_at"}, {.column = "resolved_case", .only_whether = true}},
                restorations_of(reader, one), [&](const std::vector<base::Value>& row) {
                  parts.push_back({.restoration = {base::Kept<std::int64_t>::from(row[0])},
                                   .revision = base::Kept<std::int64_t>::from(row[1]),
                                   .placed_at = {base::Kept<std::int64_t>::from(row[2])},
                                   .has_case = base::Kept<std::int64_t>::from(row[3]) != 0});
                });
    const auto own = parts.begin() + static_cast<std::ptrdiff_t>(of_others);
    std::ranges::sort(own, parts.end(), {}, &LookBackPart::restoration);
    std::ranges::inplace_merge(parts.begin(), own, parts.end(), {}, &LookBackPart::restoration);
    const auto twice = std::ranges::unique(parts, {}, &LookBackPart::restoration);
    parts.erase(twice.begin(), twice.end());
    reader.pick(store::table_of<practice::Decision>(), {{"id"}, {"restoration"}, {"what"}}, decisions_of(one),
                [&](const std::vector<base::Value>& row) {
                  const base::RestorationId restoration{base::Kept<std::int64_t>::from(row[1])};
                  const auto at = std::ranges::lower_bound(parts, restoration, {}, &LookBackPart::restoration);
                  if (at == parts.end() || at->restoration != restoration) return;
                  const base::DecisionId decision{base::Kept<std::int64_t>::from(row[0])};
                  // One that two of the family name has decisions in both: the newest stands.
                  if (at->decision && decision < *at->decision) return;
                  at->decision = decision;
                  at->followup = base::Kept<practice::Followup>::from(row[2]);
                });
  }
  return parts;
}

Kept<practice::Restoration> without_case(const store::Reader& reader, base::RestorationId restoration) {
  const store::Table table = store::table_of<practice::Restoration>();
  std::vector<store::Wanted> wanted = {{"revision"}};
  std::size_t the_case = 0;
  for (const base::Column& column : table.columns) {
    const bool is_case = column.name == "resolved_case";
    if (is_case) the_case = wanted.size();
    wanted.push_back({.column = std::string(column.name), .only_whether = is_case});
  }
  std::optional<Kept<practice::Restoration>> found;
  reader.pick(table, wanted, {.where = {{"id", Compare::kEqual, restoration.number}}, .order_by = {}},
              [&](std::vector<base::Value>& row) {
                row[the_case] = {};
                found = {
                    .id = restoration,
                    .revision = base::Kept<std::int64_t>::from(row[0]),
                    .record = base::record_of<practice::Restoration>(std::span<const base::Value>(row).subspan(1))};
              });
  if (!found) throw Missing("There is no restoration of that number here.");
  return *std::move(found);
}

LookBackCounts counts_of(const store::Reader& reader, const Kept<LookBack>& look_back) {
  const LookBackTally tally = tally_of(reader, look_back);
  return {.restorations = tally.restorations, .decided = tally.decided.size()};
}

LookBackTally tally_of(const store::Reader& reader, const Kept<LookBack>& look_back) {
  const std::vector<Kept<LookBack>> all = family_of(reader, look_back);
  const auto table = store::table_of<practice::Restoration>();
  if (all.size() == 1 && reader.count(store::table_of<practice::Decision>(), decisions_of(look_back)) == 0) {
    return {.restorations = reader.count(table, restorations_of(reader, look_back)), .decided = {}};
  }
  std::vector<std::int64_t> decided;
  // As parts_of takes them: a decision of one of the family holds for what that one and those before it name.
  std::vector<std::int64_t> named;
  for (const Kept<LookBack>& one : all) {
    const auto found = numbers(reader, table, "id", restorations_of(reader, one));
    named = joined(named, found);
    const auto with = numbers(reader, store::table_of<practice::Decision>(), "restoration", decisions_of(one));
    std::vector<std::int64_t> both;
    std::ranges::set_intersection(with, named, std::back_inserter(both));
    decided = joined(decided, both);
  }
  return {.restorations = named.size(), .decided = std::move(decided)};
}

std::vector<std::int64_t> made_in(const store::Reader& reader, const Kept<LookBack>& look_back, base::RoomId room) {
  const store::Table table = store::table_of<practice::Restoration>();
  std::vector<std::int64_t> found;
  for (const Kept<LookBack>& one : family_of(reader, look_back)) {
    store::Query query = restorations_of(reader, one);
    query.where.push_back({"room", Compare::kEqual, room.number});
    found = joined(found, numbers(reader, table, "id", query));
  }
  return found;
}

std::optional<Kept<practice::Restoration>> part_called(const store::Reader& reader, const Kept<LookBack>& look_back,
                                                       base::RestorationId restoration) {
  for (const Kept<LookBack>& one : family_of(reader, look_back)) {
    store::Query query = restorations_of(reader, one);
    query.where.push_back({"id", Compare::kEqual, restoration.number});
    const auto found = reader.list<practice::Restoration>(query);
    if (!found.empty()) return found.front();
  }
  return std::nullopt;
}

void close_look_back(store::Writer& writer, base::LookBackId id, base::Instant now) {
  Kept<LookBack> one = kept(writer, id);
  if (one.record.merged_into) base::refuse("id", "it was merged into another one", "Close that one");
  const LookBackCounts counts = counts_of(writer, one);
  const std::size_t open = counts.restorations - counts.decided;
  if (open > 0) {
    base::refuse("decisions", std::to_string(open) + " restorations have no decision yet",
                 "Decide about each, then close it");
  }
  if (one.record.closed_at) return;
  one.record.closed_at = now;
  writer.correct(id, one.revision, one.record);
}

void reopen_look_back(store::Writer& writer, base::LookBackId id) {
  Kept<LookBack> one = kept(writer, id);
  if (one.record.merged_into) base::refuse("id", "it was merged into another one", "Open that one again");
  if (!one.record.closed_at) return;
  one.record.closed_at.reset();
  writer.correct(id, one.revision, one.record);
}

void merge_look_back(store::Writer& writer, base::LookBackId id, base::LookBackId into) {
  Kept<LookBack> one = kept(writer, id);
  const Kept<LookBack> other = kept(writer, into);
  if (id == into) base::refuse("into", "it is the same look-back", "Name another one");
  if (one.record.light != other.record.light) {
    base::refuse("into", "it is of another light", "Name one of the same light");
  }
  if (one.record.merged_into || other.record.merged_into) {
    base::refuse("into", "one of them was merged already", "Name one that stands for itself");
  }
  if (family_of(writer, one).size() > 1) {
    base::refuse("id", "others were merged into it", "Merge the other way round");
  }
  one.record.merged_into = into;
  writer.correct(id, one.revision, one.record);
  reopen_where_undecided(writer, one.record.light);
}

void reopen_where_undecided(store::Writer& writer, base::LightId light) {
  for (Kept<LookBack>& one : of_light(writer, light)) {
    if (!one.record.closed_at || one.record.merged_into) continue;
    const LookBackCounts counts = counts_of(writer, one);
    if (counts.decided == counts.restorations) continue;
    one.record.closed_at.reset();
    writer.correct(one.id, one.revision, one.record);
  }
}

namespace {

/// The last instant at which its good check can have been: before the reading that failed, or as it was withdrawn for
/// cause. None where that reading is below the limits no more: then nothing says when the light was good last.
std::optional<base::Instant> good_at_the_latest(const LookBack& look_back, const std::vector<Judged>& readings) {
  if (look_back.because == practice::Because::kWithdrawn) return look_back.until;
  if (!look_back.reading) return std::nullopt;
  const auto failed = std::ranges::find(readings, *look_back.reading, &Judged::id);
  if (failed == readings.end() || !failed->below) return std::nullopt;
  return base::Instant{failed->at.us - 1};
}

/// Whether something was decided of a restoration made with the light from one instant, or from the first, to before
/// another.
bool decided_between(const store::Reader& reader, const std::vector<Kept<LookBack>>& look_backs, base::LightId light,
                     std::optional<base::Instant> from, base::Instant to) {
  store::Query between{.where = {{"light", Compare::kEqual, light.number}, {"placed_at", Compare::kAtMost, to.us - 1}},
                       .order_by = {},
                       .limit = kAllOfThem};
  if (from) between.where.push_back({"placed_at", Compare::kAtLeast, from->us});
  const auto made = numbers(reader, store::table_of<practice::Restoration>(), "id", between);
  return std::ranges::any_of(look_backs, [&](const Kept<LookBack>& one) {
    const auto with = numbers(reader, store::table_of<practice::Decision>(), "restoration", decisions_of(one));
    return std::ranges::any_of(with, [&](std::int64_t id) { return std::ranges::binary_search(made, id); });
  });
}

}  // namespace

void reach_back(store::Writer& writer, base::LightId light) {
  std::vector<Kept<LookBack>> all = of_light(writer, light);
  if (all.empty()) return;
  const LightRecord record = light_record(writer, light);
  const Policy policy(writer);
  bool moved = false;
  for (Kept<LookBack>& one : all) {
    const std::vector<Judged> readings = judged(record, policy, one.record.until);
    std::optional<base::Instant> good;
    if (one.record.good_until) good = last_good(record, readings, *one.record.good_until);
    if (const auto latest = good_at_the_latest(one.record, readings)) {
      const auto later = last_good(record, readings, *latest);
      if (later && (!good || *good < *later) && !decided_between(writer, all, light, good, *later)) good = later;
    }
    if (good == one.record.good_until) continue;
    one.record.good_until = good;
    writer.correct(one.id, one.revision, one.record);
    moved = true;
  }
  if (moved) reopen_where_undecided(writer, light);
}

void follow_additions(store::Writer& writer, base::LightId light) {
  reach_back(writer, light);
  reopen_where_undecided(writer, light);
}

void follow_addition(store::Writer& writer, const store::Table& table, const std::vector<base::Value>& added) {
  follow_correction(writer, table, added, added);
}

void follow_correction(store::Writer& writer, const store::Table& table, const std::vector<base::Value>& before,
                       const std::vector<base::Value>& after) {
  const bool is_restoration = table.kind == "restoration";
  if (!is_restoration && table.kind != "reading" && table.kind != "servicing") return;
  const auto column = std::ranges::find(table.columns, "light", &base::Column::name);
  if (column == table.columns.end()) return;
  std::set<std::int64_t> lights;
  for (const auto* values : {&before, &after}) {
    lights.insert(base::Kept<std::int64_t>::from((*values)[static_cast<std::size_t>(column - table.columns.begin())]));
  }
  for (const std::int64_t light : lights) {
    if (is_restoration) {
      reopen_where_undecided(writer, {light});
    } else {
      reach_back(writer, {light});
    }
  }
}

}  // namespace throughcure::desk
