#include "throughcure/service/plan_request.hpp"

#include <algorithm>
#include <filesystem>
#include <utility>
#include <variant>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/case_document.hpp"
#include "throughcure/exchange/json_text.hpp"

namespace throughcure::service {

namespace {

using exchange::PlainTable;
using exchange::PlainValue;

constexpr const char* kRequest = "request";

const PlainValue* member(const PlainTable& table, std::string_view key) {
  const auto found = std::ranges::find(table, key, &exchange::PlainMember::key);
  return found == table.end() ? nullptr : &found->value;
}

template <class T>
const T* member_as(const PlainTable& table, std::string_view key) {
  const PlainValue* value = member(table, key);
  return value == nullptr ? nullptr : std::get_if<T>(&value->is);
}

PlainTable parse(const std::string& body) {
  base::Problems problems;
  auto all = exchange::parse_json(body, kRequest, problems);
  if (!all) throw base::InputError(std::move(problems));
  return *std::move(all);
}

PlainTable document_of(const PlainTable& all) {
  const auto* document = member_as<PlainTable>(all, "document");
  if (document == nullptr) {
    throw base::InputError({{kRequest, 0, 0, "document", "it is missing or no object", "Send the case's document"}});
  }
  return *document;
}

/// The document without what a kept case does not depend on.
std::string key_of(const PlainTable& document) {
  PlainTable kept;
  for (const exchange::PlainMember& part : document) {
    if (part.key != "case" && part.key != "exposure" && part.key != "patient") kept.push_back(part);
  }
  return exchange::json_text(kept);
}

void name_inside(base::Problems& problems, const std::filesystem::path& folder) {
  for (base::Problem& problem : problems) {
    const std::filesystem::path inside = std::filesystem::path(problem.file).lexically_relative(folder);
    if (!inside.empty() && *inside.begin() != "..") problem.file = inside.string();
  }
}

std::optional<std::size_t> count(const PlainTable& table, std::string_view key) {
  const auto* number = member_as<std::int64_t>(table, key);
  if (number == nullptr || *number < 0) return std::nullopt;
  return static_cast<std::size_t>(*number);
}

}  // namespace

exchange::PlainTable read_plan_document(const std::string& body) { return document_of(parse(body)); }

PlanRequest read_plan_request(const std::string& body, const exchange::CaseFiles& files) {
  const PlainTable all = parse(body);
  PlainTable document = document_of(all);
  base::Problems problems;
  auto c = exchange::parse_case_json(exchange::json_text(document), "restoration", files, problems);
  if (!c) {
    name_inside(problems, files.folder);
    throw base::InputError(std::move(problems));
  }
  PlanRequest request{.c = *std::move(c), .document = {}, .key = key_of(document)};
  request.document = std::move(document);
  if (const auto* view = member_as<PlainTable>(all, "view")) {
    const auto* plane = member_as<std::string>(*view, "plane");
    if (plane != nullptr && *plane == "buccolingual") request.cut = anatomy::CutDirection::kBuccolingual;
    request.exposure = count(*view, "exposure");
    const auto* dark = member_as<bool>(*view, "dark");
    request.dark = dark != nullptr && *dark;
  }
  request.state = count(all, "state");
  const auto* precision = member_as<std::string>(all, "precision");
  request.dragging = precision != nullptr && *precision == "drag";
  return request;
}

}  // namespace throughcure::service
