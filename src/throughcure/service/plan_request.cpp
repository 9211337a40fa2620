#include "throughcure/service/plan_request.hpp"

#include <algorithm>
#include <filesystem>
#include <string_view>
#include <utility>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_file.hpp"
#include "throughcure/exchange/json_text.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::service {

namespace {

using exchange::PlainMember;
using exchange::PlainTable;
using exchange::TomlDocument;
using exchange::TomlTable;

constexpr const char* kRequest = "request";
/// Of a count that the case does not bound.
constexpr std::size_t kMostPlaces = 1000;
/// A body taken apart: the case's document, and all beside it, to be read by name as a file is.
struct Body {
  std::optional<PlainTable> document;
  TomlDocument beside;
};

Body take_apart(const std::string& body) {
  base::Problems problems;
  auto all = exchange::parse_json(body, kRequest, problems);
  if (!all) throw base::InputError(std::move(problems));
  std::optional<PlainTable> document;
  const auto found = std::ranges::find(*all, "document", &PlainMember::key);
  if (found != all->end()) {
    if (auto* table = std::get_if<PlainTable>(&found->value.is)) document = std::move(*table);
    all->erase(found);
  }
  Body parts{std::move(document), TomlDocument::of_json(*all, kRequest)};
  const TomlTable root = parts.beside.root();
  if (!parts.document) {
    (void)root.has("document");  // makes its name known, for who misspelt it
    root.refuse("document", "it is missing or no object", "Send the case's document");
  }
  return parts;
}

std::optional<std::size_t> optional_place(const TomlTable& table, std::string_view key, std::size_t most) {
  const auto place = table.optional_whole(key, 0, static_cast<std::int64_t>(most) - 1);
  return place ? std::optional(static_cast<std::size_t>(*place)) : std::nullopt;
}

/// Of a schedule with so many exposures.
PlanManner read_manner(const TomlTable& root, PlanQuestion question, std::size_t exposures) {
  using anatomy::CutDirection;
  PlanManner manner;
  if (question == PlanQuestion::kVerdict) {
    const TomlTable view = root.table_or_empty("view");
    manner.cut = view.optional_choice<CutDirection>("plane", {{"mesiodistal", CutDirection::kMesiodistal},
                                                              {"buccolingual", CutDirection::kBuccolingual}})
                     .value_or(manner.cut);
    manner.exposure = optional_place(view, "exposure", exposures);
    manner.dark = view.optional_flag("dark").value_or(false);
    manner.dragging = root.optional_choice<bool>("precision", {{"drag", true}, {"full", false}}).value_or(false);
  } else if (question == PlanQuestion::kMeshes) {
    manner.state = optional_place(root, "state", kMostPlaces);
  }
  return manner;
}

/// The document without what a kept case does not depend on: a tooth is the same one in any notation.
std::string key_of(const PlainTable& document, const anatomy::ToothNumber& number) {
  PlainTable kept;
  for (const PlainMember& part : document) {
    if (part.key != "case" && part.key != "exposure" && part.key != "patient") kept.push_back(part);
    if (part.key != "tooth") continue;
    if (auto* tooth = std::get_if<PlainTable>(&kept.back().value.is)) {
      std::erase_if(*tooth, [](const PlainMember& one) { return one.key == "number" || one.key == "notation"; });
      tooth->push_back({"number", exchange::plain(static_cast<std::size_t>(number.iso()))});
    }
  }
  return exchange::json_text(kept);
}

void name_inside(base::Problems& problems, const std::filesystem::path& folder) {
  for (base::Problem& problem : problems) {
    const std::filesystem::path inside = std::filesystem::path(problem.file).lexically_relative(folder);
    if (!inside.empty() && *inside.begin() != "..") problem.file = inside.string();
  }
}

}  // namespace

exchange::PlainTable read_plan_document(const std::string& body) {
  Body parts = take_apart(body);
  base::Problems problems = parts.beside.finish();
  if (!parts.document || !problems.empty()) throw base::InputError(std::move(problems));
  return *std::move(parts.document);
}

PlanRequest read_plan_request(const std::string& body, PlanQuestion question, const exchange::CaseFiles& files) {
  Body parts = take_apart(body);
  base::Problems problems;
  std::optional<plan::Case> c;
  if (parts.document) {
    c = exchange::parse_case(*parts.document, "restoration", files, problems);
    name_inside(problems, files.folder);
  }
  const std::size_t exposures = c ? c->schedule.size() : kMostPlaces;
  const PlanManner manner = read_manner(parts.beside.root(), question, exposures);
  const base::Problems beside = parts.beside.finish();
  problems.insert(problems.end(), beside.begin(), beside.end());
  if (!parts.document || !c || !problems.empty()) throw base::InputError(std::move(problems));
  std::string key = key_of(*parts.document, c->site.tooth);
  return {manner, *std::move(c), *std::move(parts.document), std::move(key)};
}

}  // namespace throughcure::service
