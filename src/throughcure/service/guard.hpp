// What a request must show before anything is done for it, and what every answer carries to keep the page to itself.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/service/http.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::service {

/// Where a browser reaches us.
struct Reach {
  bool tls = false;
  std::uint16_t port = 0;
  std::vector<std::string> hosts{"127.0.0.1"};  ///< addresses and names in lower case; the first is the one to show
};

/// As a browser spells it: "127.0.0.1:8420", and "http://127.0.0.1:8420" or "https://..." of the first host.
std::string authority(const Reach& reach, std::string_view host);
std::string origin(const Reach& reach);

/// The origin under which a browser reached us with this request. Only for one whose host is ours.
std::string asked_origin(const Request& request, const Reach& reach);

/// Whether the request was sent to a host and the port that we are reached at. A page of another name that was made to
/// point here (DNS rebinding) fails it, and so does a request with no Host or two.
bool host_is_ours(const Request& request, const Reach& reach);

/// Whether a request that changes something comes from our own page: its Origin is the very host that it is sent to,
/// one of ours, what the browser says of where it comes from agrees, and, where somebody is signed in, it carries the
/// session's page token.
bool change_is_ours(const Request& request, const Reach& reach, const std::optional<Session>& session);

/// The header in which the page sends its token back.
constexpr std::string_view kPageTokenHeader = "x-throughcure-token";

/// The session cookie. Its name holds the port, since browsers share cookies between the ports of a host. Over TLS it
/// is Secure, and "__Host-" before its name has the browser take it from nobody but this host (RFC 6265bis, 4.1.3.2).
std::string cookie_name(const Reach& reach);
std::string session_cookie(const Reach& reach, std::string_view value, std::chrono::seconds lasts);

/// Adds what every answer carries: our own scripts and styles only, no frames, no referrer, no guessing of types, and
/// no copy kept anywhere unless the answer already says otherwise.
void harden(Response& response);

}  // namespace throughcure::service
