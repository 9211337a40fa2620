#include "throughcure/service/guard.hpp"

#include <algorithm>
#include <array>

namespace throughcure::service {

namespace {

bool has_header(const Response& response, std::string_view name) {
  return std::any_of(response.headers.begin(), response.headers.end(),
                     [name](const Header& header) { return header.name == name; });
}

std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  return out;
}

std::string scheme(const Reach& reach) { return reach.tls ? "https://" : "http://"; }

}  // namespace

std::string authority(const Reach& reach, std::string_view host) {
  const std::uint16_t usual = reach.tls ? 443 : 80;
  return std::string(host) + (reach.port == usual ? "" : ":" + std::to_string(reach.port));
}

std::string origin(const Reach& reach) { return scheme(reach) + authority(reach, reach.hosts.front()); }

std::string asked_origin(const Request& request, const Reach& reach) {
  return scheme(reach) + lower(request.header("host"));
}

bool host_is_ours(const Request& request, const Reach& reach) {
  const std::string asked = lower(request.header("host"));
  return std::any_of(reach.hosts.begin(), reach.hosts.end(),
                     [&](const std::string& host) { return asked == authority(reach, host); });
}

bool change_is_ours(const Request& request, const Reach& reach, const std::optional<Session>& session) {
  const std::string_view site = request.header("sec-fetch-site");
  return host_is_ours(request, reach) && request.header("origin") == asked_origin(request, reach) &&
         (site.empty() || site == "same-origin") &&
         (!session || same_secret(request.header(kPageTokenHeader), session->page_token));
}

std::string cookie_name(const Reach& reach) {
  return (reach.tls ? "__Host-throughcure_" : "throughcure_") + std::to_string(reach.port);
}

std::string session_cookie(const Reach& reach, std::string_view value, std::chrono::seconds lasts) {
  return cookie_name(reach) + "=" + std::string(value) + "; Path=/; Max-Age=" + std::to_string(lasts.count()) +
         "; HttpOnly; SameSite=Strict" + (reach.tls ? "; Secure" : "");
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
  const bool has_policy = has_header(response, always.front().first);
  for (const auto& [name, value] : always) {
    if (has_policy && name == always.front().first) continue;
    response.headers.push_back({std::string(name), std::string(value)});
  }
  if (!has_header(response, "cache-control")) response.headers.push_back({"cache-control", "no-store"});
}

}  // namespace throughcure::service
