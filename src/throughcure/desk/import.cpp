#include "throughcure/desk/import.hpp"

#include <functional>
#include <map>
#include <set>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/import_held.hpp"
#include "throughcure/desk/look_backs.hpp"

namespace throughcure::desk {

namespace {

constexpr std::size_t kMostProblemsOfKeeping = 20;

/// What all rows come to; `take` gets each record that is new.
ImportPreview read_rows(const store::Reader& reader, const exchange::Sheet& sheet, const ImportSettings& settings,
                        const Importer& importer, const std::function<void(const ImportedRecord&)>& take) {
  const ImportBook book(reader, importer.member);
  ImportPreview preview{.plan = plan_import(sheet, settings, book)};
  for (const PlannedField& planned : preview.plan.fields) {
    std::vector<ImportChoice> choices = book.choices(planned.field->refers_to);
    for (const std::string_view word : planned.field->words) {
      choices.push_back({.value = std::string(word), .name = std::string(word)});
    }
    preview.choices.push_back(std::move(choices));
  }
  if (!preview.plan.questions.empty()) return preview;
  ImportCells cells(sheet, preview.plan, book);
  HeldRecords held(reader, book);
  for (std::size_t row = 0; row < sheet.rows(); ++row) {
    const int number = sheet.number(row);
    if (settings.leave_out.contains(number)) {
      ++preview.left_out;
      continue;
    }
    cells.keep_texts(preview.understood.size() < kMostRowsShown);
    cells.begin(row);
    const auto record = imported_record(settings.kind, cells, book, importer);
    const Held is = record ? held.take(*record, cells) : Held::kOther;
    if (is == Held::kAlready) {
      ++preview.already;
    } else if (is == Held::kNew) {
      ++preview.accepted;
      if (preview.understood.size() < kMostRowsShown) {
        preview.understood.push_back({.row = number, .values = std::move(cells.understood())});
      }
      take(*record);
    } else {
      ++preview.rejected_rows;
      for (const ImportRejection& rejection : cells.rejections()) {
        if (preview.rejected.size() < kMostRejectionsTold) preview.rejected.push_back(rejection);
      }
    }
  }
  return preview;
}

/// Adds one record after the other.
class Keeper {
 public:
  explicit Keeper(store::Writer& writer) : writer_(writer) {}

  void operator()(const ImportedRecord& record) {
    std::visit([&](const auto& one) { add(one); }, record);
  }

 private:
  void add(const fleet::ReadingEntry& reading) { writer_.add(reading); }
  void add(const fleet::RadiometerEntry& radiometer) { writer_.add(radiometer); }
  void add(const practice::Restoration& restoration) { writer_.add(restoration); }
  void add(const NewLight& made) {
    const base::LightId id = writer_.add(made.light);
    if (!made.tip) return;
    fleet::TipEntry tip = *made.tip;
    tip.light = id;
    writer_.add(tip);
  }
  void add(const NewLot& made) {
    practice::Lot lot = made.lot;
    if (lot.material.number == 0) {
      // Rows that name the same new material are lots of one.
      base::MaterialId& material = materials_[plain_material(made.material.name, made.material.shade)];
      if (material.number == 0) material = writer_.add(made.material);
      lot.material = material;
    }
    writer_.add(lot);
  }

  store::Writer& writer_;
  std::map<std::string, base::MaterialId> materials_;
};

}  // namespace

ImportPreview preview_import(const store::Reader& reader, const exchange::Sheet& sheet, const ImportSettings& settings,
                             const Importer& importer) {
  return read_rows(reader, sheet, settings, importer, [](const ImportedRecord&) {});
}

ImportKept keep_import(store::Writer& writer, const exchange::Sheet& sheet, const ImportSettings& settings,
                       const Importer& importer) {
  Keeper keeper(writer);
  std::set<base::LightId> lights_read;
  std::set<base::LightId> lights_told_of;
  const ImportPreview all = read_rows(writer, sheet, settings, importer, [&](const ImportedRecord& record) {
    keeper(record);
    if (const auto* reading = std::get_if<fleet::ReadingEntry>(&record)) lights_read.insert(reading->light);
    if (const auto* made = std::get_if<practice::Restoration>(&record)) lights_told_of.insert(made->light);
  });
  base::Problems problems;
  for (const ImportQuestion& question : all.plan.questions) {
    problems.push_back({.file = {},
                        .field = question.field,
                        .what = "a question stands",
                        .remedy = "Answer it: " + question.sentence});
  }
  for (const ImportRejection& rejection : all.rejected) {
    if (problems.size() == kMostProblemsOfKeeping) break;
    problems.push_back({.file = {},
                        .field = rejection.field,
                        .what = "row " + std::to_string(rejection.row) + ": " + rejection.what,
                        .remedy = rejection.remedy + ", or leave the row out"});
  }
  base::refuse_if_any(problems);
  lights_told_of.insert(lights_read.begin(), lights_read.end());
  for (const base::LightId light : lights_told_of) follow_additions(writer, light);
  return {.added = all.accepted,
          .already = all.already,
          .left_out = all.left_out,
          .lights_read = {lights_read.begin(), lights_read.end()}};
}

}  // namespace throughcure::desk
