#include "throughcure/desk/import_book.hpp"

#include <algorithm>
#include <limits>
#include <set>

#include "throughcure/base/number_text.hpp"
#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/lights_there.hpp"
#include "throughcure/practice/person.hpp"

namespace throughcure::desk {

namespace {

constexpr std::string_view kChosen = "id:";

store::Query all() { return {.where = {}, .order_by = {}, .limit = kAllOfThem}; }

template <class Record>
const Record* found(const std::map<std::int64_t, Record>& records, std::int64_t number) {
  const auto at = records.find(number);
  return at == records.end() ? nullptr : &at->second;
}

}  // namespace

std::string plain_name(std::string_view name) {
  std::string plain;
  for (const char c : name) {
    const bool blank = c == ' ' || c == '\t' || c == '\n' || c == '\r';
    if (!blank) {
      plain += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    } else if (!plain.empty() && plain.back() != ' ') {
      plain += ' ';
    }
  }
  if (plain.ends_with(' ')) plain.pop_back();
  return plain;
}

std::string plain_material(std::string_view name, std::string_view shade) {
  return plain_name(name) + '\n' + plain_name(shade);
}

ImportBook::ImportBook(const store::Reader& reader, const practice::Member& member) : light_rooms_(reader) {
  read_places(reader, member);
  read_equipment(reader);
  read_lights_once_here(reader, member);
  read_people(reader, member);
  read_materials(reader);
}

void ImportBook::add(std::string_view kind, std::int64_t number, const std::string& name, const std::string& serial) {
  Names& names = kinds_[std::string(kind)];
  names.shown[number] = serial.empty() ? name : name + " (" + serial + ")";
  for (const std::string& text : {name, serial, names.shown[number]}) {
    if (text.empty()) continue;
    auto& numbers = names.by_text[plain_name(text)];
    if (std::ranges::find(numbers, number) == numbers.end()) numbers.push_back(number);
  }
}

void ImportBook::read_places(const store::Reader& reader, const practice::Member& member) {
  for (const auto& site : reader.list<practice::Site>(all())) {
    if (site.id == member.site) own_zone_ = site.record.time_zone;
    if (member.sees(site.id)) zones_[site.id.number] = site.record.time_zone;
  }
  for (const auto& room : reader.list<practice::Room>(all())) {
    if (!member.sees(room.record.site)) continue;
    rooms_[room.id.number] = room.record;
    add("room", room.id.number, room.record.name);
  }
}

void ImportBook::read_equipment(const store::Reader& reader) {
  for (const auto& light : reader.list<fleet::LightEntry>(all())) {
    if (!rooms_.contains(light.record.room.number)) continue;
    lights_[light.id.number] = light.record;
    add("light", light.id.number, light.record.name, light.record.serial);
  }
  for (const auto& tip : reader.list<fleet::TipEntry>(all())) {
    const fleet::LightEntry* const of = light(tip.record.light);
    if (of != nullptr) add_tip(tip.id, tip.record, *of);
  }
  for (const auto& radiometer : reader.list<fleet::RadiometerEntry>(all())) {
    radiometers_[radiometer.id.number] = radiometer.record;
    add("radiometer", radiometer.id.number, radiometer.record.name, radiometer.record.serial);
  }
}

void ImportBook::read_lights_once_here(const store::Reader& reader, const practice::Member& member) {
  constexpr base::Instant whenever{std::numeric_limits<std::int64_t>::max()};
  for (const LightThere& there : lights_there(reader, member, whenever)) {
    const auto kept = reader.get<fleet::LightEntry>(there.light);
    if (!kept) continue;
    add(kLightOnceHere, there.light.number, kept->record.name, kept->record.serial);
    if (there.own) continue;
    away_.emplace(there.light.number, kept->record);
    for (const auto& tip : reader.list<fleet::TipEntry>(
             {.where = {{"light", store::Compare::kEqual, there.light.number}}, .order_by = {}, .limit = kAllOfThem})) {
      add_tip(tip.id, tip.record, kept->record);
    }
  }
}

void ImportBook::add_tip(base::TipId id, const fleet::TipEntry& tip, const fleet::LightEntry& of) {
  tips_[id.number] = tip;
  tips_by_light_[tip.light.number].push_back(id);
  kinds_["tip"].shown[id.number] = tip.name + " of " + of.name;
}

void ImportBook::read_people(const store::Reader& reader, const practice::Member& member) {
  // Those who have left too: an old log was theirs.
  for (const auto& person : reader.list<practice::Person>(all())) {
    const practice::Person& record = person.record;
    if (!record.everywhere && !member.sees(record.site) && person.id != member.person) continue;
    add("person", person.id.number, record.name);
  }
}

void ImportBook::read_materials(const store::Reader& reader) {
  Names& names = kinds_["material"];
  for (const auto& material : reader.list<practice::MaterialEntry>(all())) {
    const practice::MaterialEntry& record = material.record;
    const std::int64_t number = material.id.number;
    materials_[number] = record;
    names.shown[number] = record.shade.empty() ? record.name : record.name + ", " + record.shade;
    const std::set<std::string> texts = {plain_material(record.name, record.shade), plain_name(record.name),
                                         plain_name(record.name + " " + record.shade), plain_name(names.shown[number])};
    for (const std::string& text : texts) names.by_text[text].push_back(number);
  }
}

const std::vector<std::int64_t>& ImportBook::materials_called(std::string_view name, std::string_view shade) const {
  static const std::vector<std::int64_t> none;
  const auto& by_text = kinds_.find("material")->second.by_text;
  auto at = by_text.find(plain_material(name, shade));
  if (at == by_text.end() && plain_name(shade).empty()) at = by_text.find(plain_name(name));
  return at == by_text.end() ? none : at->second;
}

const std::vector<std::int64_t>& ImportBook::called(std::string_view kind, std::string_view text) const {
  static const std::vector<std::int64_t> none;
  const auto names = kinds_.find(kind);
  if (names == kinds_.end()) return none;
  const auto at = names->second.by_text.find(plain_name(text));
  return at == names->second.by_text.end() ? none : at->second;
}

std::vector<std::int64_t> ImportBook::tips_called(base::LightId light, std::string_view text) const {
  std::vector<std::int64_t> numbers;
  const std::string wanted = plain_name(text);
  for (const base::TipId id : tips_of(light)) {
    const fleet::TipEntry* const record = tip(id);
    if (record != nullptr && plain_name(record->name) == wanted) numbers.push_back(id.number);
  }
  return numbers;
}

std::vector<ImportChoice> ImportBook::choices(std::string_view kind) const {
  std::vector<ImportChoice> all;
  const auto names = kinds_.find(kind);
  if (names == kinds_.end()) return all;
  for (const auto& [number, name] : names->second.shown) {
    all.push_back({.value = std::string(kChosen) + std::to_string(number), .name = name});
  }
  std::ranges::sort(all, {}, &ImportChoice::name);
  return all;
}

std::int64_t ImportBook::chosen(std::string_view kind, std::string_view value) const {
  if (!value.starts_with(kChosen)) return 0;
  const auto number = base::whole_number(value.substr(kChosen.size()));
  const auto names = kinds_.find(kind);
  return number && names != kinds_.end() && names->second.shown.contains(*number) ? *number : 0;
}

const std::string& ImportBook::name(std::string_view kind, std::int64_t number) const {
  static const std::string none;
  const auto names = kinds_.find(kind);
  if (names == kinds_.end()) return none;
  const auto at = names->second.shown.find(number);
  return at == names->second.shown.end() ? none : at->second;
}

const fleet::LightEntry* ImportBook::light(base::LightId id) const {
  const fleet::LightEntry* const own = found(lights_, id.number);
  return own == nullptr ? found(away_, id.number) : own;
}
const fleet::TipEntry* ImportBook::tip(base::TipId id) const { return found(tips_, id.number); }
const fleet::RadiometerEntry* ImportBook::radiometer(base::RadiometerId id) const {
  return found(radiometers_, id.number);
}

const practice::MaterialEntry* ImportBook::material(base::MaterialId id) const { return found(materials_, id.number); }

const std::vector<base::TipId>& ImportBook::tips_of(base::LightId light) const {
  static const std::vector<base::TipId> none;
  const std::vector<base::TipId>* const tips = found(tips_by_light_, light.number);
  return tips == nullptr ? none : *tips;
}

const std::string& ImportBook::time_zone(base::RoomId room) const {
  const practice::Room* const kept = found(rooms_, room.number);
  const std::string* const zone = kept == nullptr ? nullptr : found(zones_, kept->site.number);
  return zone == nullptr ? own_zone_ : *zone;
}

}  // namespace throughcure::desk
