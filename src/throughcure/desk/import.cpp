#include "throughcure/desk/import.hpp"

#include <functional>

#include "throughcure/base/problem.hpp"
#include "throughcure/desk/import_held.hpp"

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

void keep(store::Writer& writer, const ImportedRecord& record) {
  const auto* const light = std::get_if<NewLight>(&record);
  if (light != nullptr) {
    const base::LightId id = writer.add(light->light);
    if (!light->tip) return;
    fleet::TipEntry tip = *light->tip;
    tip.light = id;
    writer.add(tip);
  } else if (const auto* reading = std::get_if<fleet::ReadingEntry>(&record)) {
    writer.add(*reading);
  } else if (const auto* radiometer = std::get_if<fleet::RadiometerEntry>(&record)) {
    writer.add(*radiometer);
  } else {
    writer.add(std::get<practice::Restoration>(record));
  }
}

}  // namespace

ImportPreview preview_import(const store::Reader& reader, const exchange::Sheet& sheet, const ImportSettings& settings,
                             const Importer& importer) {
  return read_rows(reader, sheet, settings, importer, [](const ImportedRecord&) {});
}

ImportKept keep_import(store::Writer& writer, const exchange::Sheet& sheet, const ImportSettings& settings,
                       const Importer& importer) {
  const ImportPreview all =
      read_rows(writer, sheet, settings, importer, [&](const ImportedRecord& record) { keep(writer, record); });
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
  return {.added = all.accepted, .already = all.already, .left_out = all.left_out};
}

}  // namespace throughcure::desk
