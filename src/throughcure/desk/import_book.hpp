// What names in a spreadsheet stand for: the rooms, lights, tips, radiometers, people and materials that whoever
// imports may see.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/kinds.hpp"
#include "throughcure/desk/light_rooms.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/practice/member.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// The kind of the lights that are at a site of theirs or ever were: those that a restoration may have been cured with.
constexpr std::string_view kLightOnceHere = "light once here";

/// One of a list that a value for all rows is chosen from.
struct ImportChoice {
  std::string value;
  std::string name;
};

/// Read once for an import; of one moment.
class ImportBook {
 public:
  /// `reader` must outlive it.
  ImportBook(const store::Reader& reader, const practice::Member& member);

  /// Numbers of the records of a kind (room, light, kLightOnceHere, radiometer, person) that are called so, by name or
  /// by serial number, whatever the case.
  [[nodiscard]] const std::vector<std::int64_t>& called(std::string_view kind, std::string_view text) const;
  /// The same for the tips of one light.
  [[nodiscard]] std::vector<std::int64_t> tips_called(base::LightId light, std::string_view text) const;
  /// Numbers of the materials called so: by name and shade; where no shade is said also by both in one text ("Paste,
  /// A2", "paste a2"), or by the name alone.
  [[nodiscard]] const std::vector<std::int64_t>& materials_called(std::string_view name, std::string_view shade) const;
  /// All of a kind (tip included), by name, each with a value "id:3" that no cell means.
  [[nodiscard]] std::vector<ImportChoice> choices(std::string_view kind) const;
  /// The record of such a value; 0: it is none, or not theirs to see.
  [[nodiscard]] std::int64_t chosen(std::string_view kind, std::string_view value) const;
  /// "Lamp A (K-1)": how a record is told apart.
  [[nodiscard]] const std::string& name(std::string_view kind, std::int64_t number) const;

  /// One that is elsewhere by now, too.
  [[nodiscard]] const fleet::LightEntry* light(base::LightId id) const;
  [[nodiscard]] const fleet::TipEntry* tip(base::TipId id) const;
  [[nodiscard]] const fleet::RadiometerEntry* radiometer(base::RadiometerId id) const;
  [[nodiscard]] const practice::MaterialEntry* material(base::MaterialId id) const;
  [[nodiscard]] const std::vector<base::TipId>& tips_of(base::LightId light) const;
  /// Of a room's site; where that is not known, of the site of whoever imports.
  [[nodiscard]] const std::string& time_zone(base::RoomId room) const;
  /// Where a light was; none where there is no such light.
  [[nodiscard]] std::optional<base::RoomId> room_at(base::LightId light, base::Instant when) const {
    return light_rooms_.at(light, when);
  }
  /// Whether a room is theirs to see.
  [[nodiscard]] bool has(base::RoomId room) const { return rooms_.contains(room.number); }
  [[nodiscard]] const std::string& own_time_zone() const { return own_zone_; }
  /// Those of the moment only.
  [[nodiscard]] const std::map<std::int64_t, fleet::LightEntry>& lights() const { return lights_; }
  [[nodiscard]] const std::map<std::int64_t, fleet::RadiometerEntry>& radiometers() const { return radiometers_; }

 private:
  struct Names {
    std::map<std::string, std::vector<std::int64_t>, std::less<>> by_text;  ///< as plain() has it
    std::map<std::int64_t, std::string> shown;
  };
  void add(std::string_view kind, std::int64_t number, const std::string& name, const std::string& serial = {});
  void read_places(const store::Reader& reader, const practice::Member& member);
  void read_equipment(const store::Reader& reader);
  void read_lights_once_here(const store::Reader& reader, const practice::Member& member);
  void add_tip(base::TipId id, const fleet::TipEntry& tip, const fleet::LightEntry& of);
  void read_people(const store::Reader& reader, const practice::Member& member);
  void read_materials(const store::Reader& reader);

  LightRooms light_rooms_;
  std::map<std::string, Names, std::less<>> kinds_;
  std::map<std::int64_t, practice::Room> rooms_;
  std::map<std::int64_t, fleet::LightEntry> lights_;
  std::map<std::int64_t, fleet::LightEntry> away_;  ///< lights that are elsewhere by now
  std::map<std::int64_t, fleet::TipEntry> tips_;
  std::map<std::int64_t, std::vector<base::TipId>> tips_by_light_;
  std::map<std::int64_t, fleet::RadiometerEntry> radiometers_;
  std::map<std::int64_t, practice::MaterialEntry> materials_;
  std::map<std::int64_t, std::string> zones_;  ///< of sites
  std::string own_zone_ = "UTC";
};

/// A material's name and shade in one text that no other pair has, as they are compared.
std::string plain_material(std::string_view name, std::string_view shade);

/// A name as it is compared: small letters, one blank between words, none at the ends.
std::string plain_name(std::string_view name);

}  // namespace throughcure::desk
