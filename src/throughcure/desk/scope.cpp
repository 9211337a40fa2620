#include "throughcure/desk/scope.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "throughcure/store/all_kinds.hpp"

namespace throughcure::desk {

namespace {

constexpr store::Query all() {
  return {.where = {}, .order_by = {}, .descending = false, .limit = std::numeric_limits<std::int32_t>::max()};
}

std::int64_t found(const std::map<std::int64_t, std::int64_t>& map, std::int64_t key) {
  const auto at = map.find(key);
  return at == map.end() ? 0 : at->second;
}

/// The field that leads to a record's place before all others. A restoration belongs to where it was made, and what was
/// decided about it goes with it. A reading goes with its light, wherever that was then: the light's chart goes with
/// it.
std::string_view first_to_lead(std::string_view kind) {
  if (kind == base::kind_of<practice::Restoration>()) return "room";
  if (kind == base::kind_of<practice::Decision>() || kind == base::kind_of<practice::Recomputed>()) {
    return "restoration";
  }
  return {};
}

}  // namespace

Places::Places(const store::Reader& reader) : reader_(&reader) {
  const auto read = [&](const store::Table& table, const char* above, std::map<std::int64_t, std::int64_t>& into) {
    reader.pick(table, {{"id"}, {above}}, all(), [&](const std::vector<base::Value>& row) {
      into[base::Kept<std::int64_t>::from(row[0])] = base::Kept<std::int64_t>::from(row[1]);
    });
  };
  read(store::table_of<practice::Room>(), "site", rooms_);
  read(store::table_of<fleet::LightEntry>(), "room", lights_);
}

std::vector<base::LightId> Places::lights() const {
  std::vector<base::LightId> found;
  found.reserve(lights_.size());
  for (const auto& [light, room] : lights_) found.push_back({light});
  return found;
}

base::SiteId Places::site_of(base::RoomId room) const { return {found(rooms_, room.number)}; }
base::SiteId Places::site_of(base::LightId light) const { return site_of(base::RoomId{found(lights_, light.number)}); }
base::SiteId Places::site_of(std::optional<base::RoomId> made_in, base::LightId light) const {
  return made_in ? site_of(*made_in) : site_of(light);
}

base::SiteId Places::site_of_record(std::string_view kind, std::int64_t number) const {
  if (kind == "site") return {number};
  if (kind == "room") return site_of(base::RoomId{number});
  if (kind == "light") return site_of(base::LightId{number});
  const store::Table* const table = table_called(kind);
  if (table == nullptr) return {};
  if (kind == base::kind_of<practice::Restoration>()) {
    // Without its case, which may be long.
    base::SiteId site;
    reader_->pick(*table, {{"room"}, {"light"}}, {.where = {{"id", store::Compare::kEqual, number}}, .order_by = {}},
                  [&](const std::vector<base::Value>& row) {
                    site = site_of(base::Kept<std::optional<base::RoomId>>::from(row[0]),
                                   base::Kept<base::LightId>::from(row[1]));
                  });
    return site;
  }
  const std::optional<store::Row> row = reader_->newest(*table, number);
  return row ? site_of(*table, row->values) : base::SiteId{};
}

base::SiteId Places::site_of(const store::Table& table, const std::vector<base::Value>& values) const {
  // The first of its fields that leads to a place does, if none is before all others.
  constexpr std::array<std::string_view, 6> leading = {"site", "room", "light", "tip", "lookback", "restoration"};
  const auto number = [&](std::size_t i) {
    const auto* const whole = std::get_if<std::int64_t>(&values[i]);
    return whole == nullptr ? 0 : *whole;
  };
  if (table.kind == "attachment") {
    const auto* const kind = std::get_if<std::string>(&values[0]);
    return kind == nullptr ? base::SiteId{} : site_of_record(*kind, number(1));
  }
  const std::string_view first = first_to_lead(table.kind);
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const base::Column& column = table.columns[i];
    if (column.name == first && number(i) != 0) return site_of_record(column.refers_to, number(i));
  }
  for (std::size_t i = 0; i < table.columns.size(); ++i) {
    const std::string_view kind = table.columns[i].refers_to;
    if (number(i) != 0 && std::ranges::find(leading, kind) != leading.end()) return site_of_record(kind, number(i));
  }
  return {};
}

const store::Table* table_called(std::string_view kind) {
  static const std::vector<store::Table> tables = [] {
    std::vector<store::Table> made;
    store::AllKinds::each([&]<class Record>(std::type_identity<Record>) { made.push_back(store::table_of<Record>()); });
    return made;
  }();
  const auto at = std::ranges::find(tables, kind, &store::Table::kind);
  return at == tables.end() ? nullptr : &*at;
}

bool begins_a_record(const practice::Change& change) {
  const store::Table* const table = table_called(change.kind);
  if (!change.before.empty() || table == nullptr) return false;
  return std::ranges::any_of(table->columns, [&](const base::Column& column) {
    return !column.optional &&
           std::ranges::find(change.after, column.name, &practice::Field::name) != change.after.end();
  });
}

}  // namespace throughcure::desk
