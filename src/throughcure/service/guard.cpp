#include "throughcure/service/guard.hpp"

#include <algorithm>
#include <array>

namespace throughcure::service {

namespace {

bool has_header(const Response& response, std::string_view name) {
  return std::any_of(response.headers.begin(), response.headers.end(),
                     [name](const Header& header) { return header.name == name; });
}

}  // namespace

std::string authority(std::string_view address, std::uint16_t port) {
  return std::string(address) + (port == 80 ? "" : ":" + std::to_string(port));
}

std::string origin(std::string_view address, std::uint16_t port) { return "http://" + authority(address, port); }

bool host_is_ours(const Request& request, std::string_view authority) { return request.header("host") == authority; }

bool change_is_ours(const Request& request, std::string_view origin, const std::optional<Session>& session) {
  const std::string_view site = request.header("sec-fetch-site");
  return request.header("origin") == origin && (site.empty() || site == "same-origin") &&
         (!session || same_secret(request.header(kPageTokenHeader), session->page_token));
}

std::string cookie_name(std::uint16_t port) { return "throughcure_" + std::to_string(port); }

std::string session_cookie(std::uint16_t port, std::string_view value, std::chrono::seconds lasts) {
  return cookie_name(port) + "=" + std::string(value) + "; Path=/; Max-Age=" + std::to_string(lasts.count()) +
         "; HttpOnly; SameSite=Strict";
}

void harden(Response& response) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 7> always{{
      {"content-security-policy",
       "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; connect-src "
       "'self'; "
       "manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"},
      {"x-content-type-options", "nosniff"},
      {"x-frame-options", "DENY"},
      {"referrer-policy", "no-referrer"},
      {"cross-origin-opener-policy", "same-origin"},
      {"cross-origin-resource-policy", "same-origin"},
      {"permissions-policy", "geolocation=(), microphone=(), payment=(), usb=()"},
  }};
  for (const auto& [name, value] : always) response.headers.push_back({std::string(name), std::string(value)});
  if (!has_header(response, "cache-control")) response.headers.push_back({"cache-control", "no-store"});
}

}  // namespace throughcure::service
