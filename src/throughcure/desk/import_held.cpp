#include "throughcure/desk/import_held.hpp"

#include "throughcure/base/number_text.hpp"
#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/local_day.hpp"

namespace throughcure::desk {

namespace {

constexpr std::size_t kAtOnce = 2000;  // records of one light that are in memory at a time

}  // namespace

HeldRecords::HeldRecords(const store::Reader& reader, const ImportBook& book) : reader_(reader), book_(book) {}

Held HeldRecords::take(const ImportedRecord& record, ImportCells& cells) {
  if (const auto* reading = std::get_if<fleet::ReadingEntry>(&record)) return take(*reading);
  if (const auto* restoration = std::get_if<practice::Restoration>(&record)) return take(*restoration);
  if (const auto* lot = std::get_if<NewLot>(&record)) return take(*lot, cells);
  const auto* const light = std::get_if<NewLight>(&record);
  if (!serials_read_) {
    serials_read_ = true;
    if (light != nullptr) {
      for (const auto& [number, entry] : book_.lights()) names_by_serial_[plain_name(entry.serial)] = entry.name;
    } else {
      for (const auto& [number, entry] : book_.radiometers()) names_by_serial_[plain_name(entry.serial)] = entry.name;
    }
  }
  if (light != nullptr) return take_serial(light->light.serial, light->light.name, cells);
  const auto& radiometer = std::get<fleet::RadiometerEntry>(record);
  return take_serial(radiometer.serial, radiometer.name, cells);
}

template <class Take>
void HeldRecords::each_of_light(const store::Table& table, base::LightId light, const Take& take) const {
  std::int64_t after = 0;
  for (;;) {
    const auto rows = reader_.rows(
        table, {.where = {{"light", store::Compare::kEqual, light.number}, {"id", store::Compare::kAbove, after}},
                .order_by = {},
                .limit = kAtOnce});
    for (const store::Row& row : rows) take(row.values);
    if (rows.size() < kAtOnce) return;
    after = rows.back().id;
  }
}

Held HeldRecords::take(const fleet::ReadingEntry& reading) {
  const auto key = [](const fleet::ReadingEntry& one) {
    return ReadingKey{one.light.number, one.taken_at.us, one.tip.number, one.radiometer.number, one.shown_mw_cm2};
  };
  if (lights_read_.insert(reading.light.number).second) {
    each_of_light(store::table_of<fleet::ReadingEntry>(), reading.light, [&](const std::vector<base::Value>& values) {
      readings_.insert(key(base::record_of<fleet::ReadingEntry>(values)));
    });
  }
  return readings_.insert(key(reading)).second ? Held::kNew : Held::kAlready;
}

Held HeldRecords::take(const practice::Restoration& restoration) {
  const auto key = [](const practice::Restoration& one) {
    return RestorationKey{one.light.number, one.placed_at.us, one.chart, one.tooth};
  };
  if (lights_read_.insert(restoration.light.number).second) {
    each_of_light(store::table_of<practice::Restoration>(), restoration.light,
                  [&](const std::vector<base::Value>& values) {
                    restorations_.insert(key(base::record_of<practice::Restoration>(values)));
                  });
  }
  return restorations_.insert(key(restoration)).second ? Held::kNew : Held::kAlready;
}

void HeldRecords::read_lots() {
  if (std::exchange(lots_read_, true)) return;
  for (const auto& lot : reader_.list<practice::Lot>({.where = {}, .order_by = {}, .limit = kAllOfThem})) {
    expiries_by_lot_[{std::to_string(lot.record.material.number), plain_name(lot.record.number)}] =
        lot.record.expires_at;
  }
}

Held HeldRecords::take(const NewLot& lot, ImportCells& cells) {
  read_lots();
  // The first row that names a new material says what it is.
  const practice::MaterialEntry* known = book_.material(lot.lot.material);
  const bool on_record = known != nullptr;
  if (!on_record) {
    known = &materials_.try_emplace(plain_material(lot.material.name, lot.material.shade), lot.material).first->second;
  }
  const auto must_agree = [&](std::string_view field, const std::optional<double>& said,
                              const std::optional<double>& there, const std::string& unit) {
    if (!said || said == there) return;
    cells.reject(field,
                 std::string(on_record ? "the records have the material " : "a row before has the material ") +
                     (there ? "with " + base::number_text(*there) + " " + unit : "without it"),
                 "Correct it, here or there, or leave this column out");
  };
  must_agree("ifu_seconds", lot.material.ifu_seconds, known->ifu_seconds, "s");
  must_agree("ifu_increment_mm", lot.material.ifu_increment_mm, known->ifu_increment_mm, "mm");
  if (!cells.rejections().empty()) return Held::kOther;
  const std::string material =
      on_record ? std::to_string(lot.lot.material.number) : plain_material(lot.material.name, lot.material.shade);
  const auto [at, is_new] = expiries_by_lot_.try_emplace({material, plain_name(lot.lot.number)}, lot.lot.expires_at);
  if (is_new) return Held::kNew;
  const auto day = [&](base::Instant instant) { return local_day(instant, book_.own_time_zone()); };
  const std::optional<base::Instant>& there = at->second;
  if (!lot.lot.expires_at || (there && day(*there) == day(*lot.lot.expires_at))) return Held::kAlready;
  cells.reject(
      "expires_at",
      "this lot is there already, " + (there ? "until " + day_text(day(*there)) : std::string("without a day")),
      "Correct the day or the lot's number, here or in the records, or leave the row out");
  return Held::kOther;
}

Held HeldRecords::take_serial(const std::string& serial, const std::string& name, ImportCells& cells) {
  const auto [at, is_new] = names_by_serial_.try_emplace(plain_name(serial), name);
  if (is_new) return Held::kNew;
  if (plain_name(at->second) == plain_name(name)) return Held::kAlready;
  cells.reject("serial", "this serial number is there already, as \"" + at->second + "\"",
               "Correct the name or the serial number, here or in the records, or leave the row out");
  return Held::kOther;
}

}  // namespace throughcure::desk
