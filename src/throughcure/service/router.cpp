#include "throughcure/service/router.hpp"

#include <algorithm>
#include <utility>

namespace throughcure::service {

namespace {

std::vector<std::string> split(std::string_view pattern) {
  std::vector<std::string> segments;
  std::size_t from = 1;
  while (from < pattern.size()) {
    const std::size_t to = std::min(pattern.find('/', from), pattern.size());
    segments.emplace_back(pattern.substr(from, to - from));
    from = to + 1;
  }
  return segments;
}

bool is_parameter(std::string_view segment) { return segment.starts_with('{') && segment.ends_with('}'); }
bool is_rest(std::string_view segment) { return is_parameter(segment) && segment.ends_with("...}"); }

/// The parameters when `segments` fit `pattern`.
std::optional<std::map<std::string, std::string, std::less<>>> fit(const std::vector<std::string>& pattern,
                                                                   const std::vector<std::string>& segments) {
  std::map<std::string, std::string, std::less<>> parameters;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    if (is_rest(pattern[i])) {
      std::string rest;
      for (std::size_t j = i; j < segments.size(); ++j) rest += (j == i ? "" : "/") + segments[j];
      parameters.emplace(pattern[i].substr(1, pattern[i].size() - 5), std::move(rest));
      return parameters;
    }
    if (i >= segments.size()) return std::nullopt;
    if (is_parameter(pattern[i])) {
      parameters.emplace(pattern[i].substr(1, pattern[i].size() - 2), segments[i]);
    } else if (pattern[i] != segments[i]) {
      return std::nullopt;
    }
  }
  if (segments.size() != pattern.size()) return std::nullopt;
  return parameters;
}

bool answers(const Route& route, Method method) {
  return route.method == method || (method == Method::head && route.method == Method::get && route.safe);
}

}  // namespace

Router::Router(std::vector<Route> routes) : routes_(std::move(routes)) {
  for (const Route& route : routes_) patterns_.push_back(split(route.pattern));
}

Match Router::match(Method method, const Target& target) const {
  Match out;
  for (std::size_t i = 0; i < routes_.size(); ++i) {
    auto parameters = fit(patterns_[i], target.segments);
    if (!parameters) continue;
    if (!out.allowed.empty() && is_rest(patterns_[i].back())) break;
    if (answers(routes_[i], method)) {
      out.route = &routes_[i];
      out.parameters = std::move(*parameters);
      out.allowed.clear();
      return out;
    }
    out.allowed.push_back(routes_[i].method);
  }
  return out;
}

bool may_use(const Session& session, Access access) {
  const practice::Role role = session.member.role;
  switch (access) {
    case Access::open:
    case Access::signed_in:
      return true;
    case Access::assistant:
      return role >= practice::Role::kAssistant;
    case Access::clinician:
      return role >= practice::Role::kClinician;
    case Access::lead:
      return role == practice::Role::kLead && !session.by_pin();
  }
  return false;
}

std::string_view method_name(Method method) {
  switch (method) {
    case Method::get:
      return "GET";
    case Method::head:
      return "HEAD";
    case Method::post:
      return "POST";
    case Method::put:
      return "PUT";
    case Method::patch:
      return "PATCH";
    case Method::del:
      return "DELETE";
    case Method::other:
      break;
  }
  return "another method";
}

}  // namespace throughcure::service
