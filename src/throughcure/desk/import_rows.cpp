#include "throughcure/desk/import_rows.hpp"

#include <algorithm>

#include "throughcure/anatomy/tooth_number.hpp"
#include "throughcure/base/number_text.hpp"
#include "throughcure/desk/reading_rules.hpp"
#include "throughcure/desk/record_rules.hpp"
#include "throughcure/desk/tooth_text.hpp"

namespace throughcure::desk {

namespace {

void tell(ImportCells& cells, const base::Problems& problems) {
  for (const base::Problem& problem : problems) {
    // What a phone is told of its clock is of no use to one who types an old log.
    const bool ahead = problem.field == "taken_at" && problem.what.find("ahead") != std::string::npos;
    cells.reject(problem.field, problem.what,
                 ahead ? "Look whether day and month are the right way round" : problem.remedy);
  }
}

template <class Record>
void must_keep_rules(ImportCells& cells, const Record& record) {
  static const store::Table table = store::table_of<Record>();
  tell(cells, record_problems(table, base::values_of(record)));
}

base::RoomId room_of(const ImportBook& book, base::LightId light) {
  const fleet::LightEntry* const entry = book.light(light);
  return entry == nullptr ? base::RoomId{} : entry->room;
}

std::string mode_of(ImportCells& cells, const fleet::LightEntry* light) {
  if (const auto mode = cells.text("mode")) return *mode;
  if (light != nullptr && light->check_mode) {
    cells.say("mode", *light->check_mode);
    return *light->check_mode;
  }
  if (light != nullptr) {
    cells.reject("mode", "no mode is said, and the light has none in the records",
                 "Say one value for all rows, or give the light the mode of its checks");
  }
  return {};
}

fleet::Purpose purpose_of(ImportCells& cells) {
  const auto word = cells.word("purpose");
  if (!word) return fleet::Purpose::kCheck;
  const auto& words = base::Words<fleet::Purpose>::words;
  return static_cast<fleet::Purpose>(std::ranges::find(words, *word) - words.begin());
}

fleet::ReadingEntry reading(ImportCells& cells, const ImportBook& book, const Importer& importer) {
  fleet::ReadingEntry reading;
  reading.arrived_at = importer.now;
  reading.light = {cells.record("light")};
  const fleet::LightEntry* const light = book.light(reading.light);
  reading.room = {cells.record("room")};
  if (reading.room.number == 0) reading.room = room_of(book, reading.light);
  // The clock of the site of the light; that of whoever imports stands in where the light is not known.
  const std::string& zone = book.time_zone(room_of(book, reading.light));
  if (const auto at = cells.instant("taken_at", zone)) reading.taken_at = *at;
  if (const auto shown = cells.number("shown_mw_cm2")) reading.shown_mw_cm2 = *shown;
  reading.radiometer = {cells.record("radiometer")};
  if (light != nullptr) reading.tip = {cells.tip_of(reading.light)};
  reading.taken_by = {cells.record("taken_by")};
  if (reading.taken_by.number == 0) reading.taken_by = importer.member.person;
  reading.mode = mode_of(cells, light);
  reading.second_of_press = cells.number("second_of_press");
  reading.barrier_on = cells.yes("barrier_on").value_or(false);
  reading.tip_clean = cells.yes("tip_clean").value_or(true);
  reading.battery = cells.number("battery");
  reading.purpose = purpose_of(cells);
  reading.note = cells.text("note");
  if (!cells.rejections().empty()) return reading;
  const fleet::TipEntry* const tip = book.tip(reading.tip);
  tell(cells, reading_problems(reading, tip == nullptr ? std::nullopt : std::optional(tip->light), importer.now));
  return reading;
}

NewLight light(ImportCells& cells, const ImportBook& book) {
  NewLight made;
  fleet::LightEntry& light = made.light;
  light.name = cells.text("name").value_or("");
  light.serial = cells.text("serial").value_or("");
  light.room = {cells.record("room")};
  light.claimed_mw_cm2 = cells.number("claimed_mw_cm2");
  light.check_mode = cells.text("check_mode");
  light.battery = cells.text("battery");
  light.approval_number = cells.text("approval_number");
  light.approved_by = cells.text("approved_by");
  light.bought_in = cells.text("bought_in");
  light.warranty_until = cells.noon("warranty_until", book.time_zone(light.room));
  light.emits_violet = cells.yes("emits_violet");
  light.claim_measured = cells.yes("claim_measured");
  const auto diameter_mm = cells.number("tip_diameter_mm");
  const auto tip_name = cells.text("tip_name");
  if (diameter_mm) {
    made.tip = fleet::TipEntry{
        .light = {}, .name = tip_name.value_or(base::number_text(*diameter_mm) + " mm"), .diameter_mm = *diameter_mm};
  } else if (tip_name) {
    cells.reject("tip_name", "a tip is named, and not how wide it is", "Say its diameter too, or leave it out");
  }
  if (!cells.rejections().empty()) return made;
  must_keep_rules(cells, light);
  if (made.tip) {
    for (const base::Problem& problem :
         record_problems(store::table_of<fleet::TipEntry>(), base::values_of(*made.tip))) {
      cells.reject(problem.field == "diameter_mm" ? "tip_diameter_mm" : "tip_name", problem.what, problem.remedy);
    }
  }
  return made;
}

fleet::RadiometerEntry radiometer(ImportCells& cells, const ImportBook& book) {
  fleet::RadiometerEntry radiometer;
  radiometer.name = cells.text("name").value_or("");
  radiometer.serial = cells.text("serial").value_or("");
  radiometer.aperture_mm = cells.number("aperture_mm");
  radiometer.certificate_until = cells.noon("certificate_until", book.own_time_zone());
  radiometer.spectral_class = cells.word("spectral_class");
  if (cells.rejections().empty()) must_keep_rules(cells, radiometer);
  return radiometer;
}

/// Always ISO 3950 in the records.
std::string tooth_of(ImportCells& cells) {
  const auto text = cells.text("tooth");
  const auto notation = cells.word("tooth_numbers");
  if (!text || !notation) return {};
  const auto number = base::whole_number(*text);
  const bool iso = *notation == "iso";
  if (number && iso && is_primary(*number)) return std::to_string(*number);
  const auto as = number && *number > 0 && *number < 100 ? static_cast<int>(*number) : 0;
  const auto tooth = iso ? anatomy::ToothNumber::from_iso(as) : anatomy::ToothNumber::from_universal(as);
  if (!tooth) {
    cells.reject("tooth", "there is no such tooth in " + std::string(iso ? "ISO 3950" : "the Universal notation"),
                 iso ? std::string(kIsoTeeth) : "Write a number from 1 to 32");
    return {};
  }
  return std::to_string(tooth->iso());
}

practice::Restoration restoration(ImportCells& cells, const ImportBook& book, const Importer& importer) {
  practice::Restoration made;
  made.chart = cells.text("chart").value_or("");
  made.light = {cells.record("light")};
  const std::string& zone = book.time_zone(room_of(book, made.light));
  if (const auto at = cells.instant("placed_at", zone)) made.placed_at = *at;
  made.tooth = tooth_of(cells);
  made.surfaces = cells.text("surfaces").value_or("");
  made.placed_by = {cells.record("placed_by")};
  if (book.light(made.light) != nullptr) made.tip = {cells.tip_of(made.light)};
  made.material = cells.text("material").value_or("");
  made.lot = cells.text("lot").value_or("");
  made.barrier_pass = cells.number("barrier_pass");
  made.note = cells.text("note");
  if (!cells.rejections().empty()) return made;
  must_keep_rules(cells, made);
  if (made.placed_at > importer.now) {
    cells.reject("placed_at", "it lies ahead", "Look whether day and month are the right way round");
  }
  made.room = book.room_at(made.light, made.placed_at);
  if (made.room && !book.has(*made.room)) {
    cells.reject("light", "it was at another site then, where this restoration belongs",
                 "Have this row imported there");
  }
  return made;
}

/// The material that a row names; number 0: a new one.
base::MaterialId material_of(ImportCells& cells, const ImportBook& book, const practice::MaterialEntry& said) {
  const auto& numbers = book.materials_called(said.name, said.shade);
  if (numbers.size() > 1) {
    cells.reject(said.shade.empty() ? "shade" : "material",
                 std::to_string(numbers.size()) + " materials in the records are called so",
                 said.shade.empty() ? "Say which shade" : "Give one of them another name there");
    return {};
  }
  if (numbers.empty()) {
    if (!said.name.empty()) cells.say("material", said.name + " (added to the records)");
    return {};
  }
  cells.say("material", book.name("material", numbers.front()));
  return {numbers.front()};
}

NewLot lot(ImportCells& cells, const ImportBook& book) {
  NewLot made;
  practice::MaterialEntry& material = made.material;
  material.name = cells.text("material").value_or("");
  material.shade = cells.text("shade").value_or("");
  material.ifu_seconds = cells.number("ifu_seconds");
  material.ifu_increment_mm = cells.number("ifu_increment_mm");
  made.lot.number = cells.text("number").value_or("");
  made.lot.expires_at = cells.noon("expires_at", book.own_time_zone());
  made.lot.material = material_of(cells, book, material);
  if (!cells.rejections().empty()) return made;
  must_keep_rules(cells, made.lot);
  for (const base::Problem& problem :
       record_problems(store::table_of<practice::MaterialEntry>(), base::values_of(material))) {
    cells.reject(problem.field == "name" ? "material" : problem.field, problem.what, problem.remedy);
  }
  return made;
}

}  // namespace

std::optional<ImportedRecord> imported_record(ImportKind kind, ImportCells& cells, const ImportBook& book,
                                              const Importer& importer) {
  std::optional<ImportedRecord> record;
  switch (kind) {
    case ImportKind::kReading:
      record = reading(cells, book, importer);
      break;
    case ImportKind::kLight:
      record = light(cells, book);
      break;
    case ImportKind::kRadiometer:
      record = radiometer(cells, book);
      break;
    case ImportKind::kRestoration:
      record = restoration(cells, book, importer);
      break;
    case ImportKind::kLot:
      record = lot(cells, book);
      break;
  }
  if (!cells.rejections().empty()) return std::nullopt;
  return record;
}

}  // namespace throughcure::desk
