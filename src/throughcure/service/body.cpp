#include "throughcure/service/body.hpp"

#include <map>
#include <set>
#include <utility>

#include <nlohmann/json.hpp>

namespace throughcure::service {

struct Body::Inside {
  nlohmann::json json;
  std::set<std::string, std::less<>> asked;
  base::Problems problems;
  std::map<std::string, std::unique_ptr<Body>, std::less<>> parts;

  const nlohmann::json* find(std::string_view name) {
    asked.emplace(name);
    const auto at = json.find(std::string(name));
    return at == json.end() || at->is_null() ? nullptr : &*at;
  }
  void add(std::string_view field, std::string what, std::string remedy) {
    problems.push_back({.file = {}, .field = std::string(field), .what = std::move(what), .remedy = std::move(remedy)});
  }
  /// The field, where it is there and right.
  const nlohmann::json* wanted(std::string_view name, bool (nlohmann::json::*is)() const noexcept,
                               const std::string& what) {
    const nlohmann::json* const at = find(name);
    if (at != nullptr && (at->*is)()) return at;
    add(name, at == nullptr ? "it is missing" : "it is not " + what, "Give " + what);
    return nullptr;
  }
};

Body::Body(std::string_view document) : inside_(std::make_unique<Inside>()) {
  inside_->json = nlohmann::json::parse(document, nullptr, false);
  if (inside_->json.is_object()) return;
  throw base::InputError(
      {{.file = {}, .field = {}, .what = "the body is no JSON object", .remedy = "Send the fields as one"}});
}

Body::Body(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Body::~Body() = default;

std::string Body::text(std::string_view name) const {
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_string, "a text");
  return at == nullptr ? std::string() : at->get<std::string>();
}

std::optional<std::string> Body::text_or_none(std::string_view name) const {
  if (inside_->find(name) == nullptr) return std::nullopt;
  return text(name);
}

std::int64_t Body::whole(std::string_view name) const {
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_number_integer, "a whole number");
  if (at == nullptr || (at->is_number_unsigned() && at->get<std::uint64_t>() > INT64_MAX)) return 0;
  return at->get<std::int64_t>();
}

std::optional<std::int64_t> Body::whole_or_none(std::string_view name) const {
  if (inside_->find(name) == nullptr) return std::nullopt;
  return whole(name);
}

double Body::number(std::string_view name) const {
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_number, "a number");
  return at == nullptr ? 0 : at->get<double>();
}

bool Body::yes(std::string_view name) const {
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_boolean, "true or false");
  return at != nullptr && at->get<bool>();
}

bool Body::yes(std::string_view name, bool usual) const { return inside_->find(name) == nullptr ? usual : yes(name); }

const Body& Body::part(std::string_view name) const {
  const auto known = inside_->parts.find(name);
  if (known != inside_->parts.end()) return *known->second;
  auto inside = std::make_unique<Inside>();
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_object, "an object");
  inside->json = at == nullptr ? nlohmann::json::object() : *at;
  const auto made = inside_->parts.emplace(std::string(name), std::unique_ptr<Body>(new Body(std::move(inside))));
  return *made.first->second;
}

std::vector<const Body*> Body::list(std::string_view name) const {
  std::vector<const Body*> all;
  const auto* const at = inside_->wanted(name, &nlohmann::json::is_array, "a list");
  if (at == nullptr) return all;
  for (std::size_t i = 0; i < at->size(); ++i) {
    const std::string place = std::string(name) + "." + std::to_string(i);
    auto inside = std::make_unique<Inside>();
    inside->json = (*at)[i].is_object() ? (*at)[i] : nlohmann::json::object();
    if (!(*at)[i].is_object()) inside_->add(place, "it is not an object", "Give an object");
    const auto made = inside_->parts.emplace(place, std::unique_ptr<Body>(new Body(std::move(inside))));
    all.push_back(made.first->second.get());
  }
  return all;
}

void Body::gather(base::Problems& problems, const std::string& before) const {
  for (base::Problem problem : inside_->problems) {
    problem.field = before + problem.field;
    problems.push_back(std::move(problem));
  }
  for (const auto& [key, value] : inside_->json.items()) {
    if (inside_->asked.contains(key)) continue;
    problems.push_back({.file = {}, .field = before + key, .what = "there is no such field", .remedy = "Leave it out"});
  }
  for (const auto& [name, part] : inside_->parts) part->gather(problems, before + name + ".");
}

void Body::finish() const {
  base::Problems problems;
  gather(problems, "");
  base::refuse_if_any(problems);
}

}  // namespace throughcure::service
