// What a request must show before anything is done for it, and what every answer carries to keep the page to itself.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/service/http.hpp"
#include "throughcure/service/sessions.hpp"

namespace throughcure::service {

/// Where we listen, as a browser spells it: "127.0.0.1:8420", and "http://127.0.0.1:8420".
std::string authority(std::string_view address, std::uint16_t port);
std::string origin(std::string_view address, std::uint16_t port);

/// Whether the request was sent to the very address and port that we listen on. A page of another name that was made to
/// point here (DNS rebinding) fails it, and so does a request with no Host or two.
bool host_is_ours(const Request& request, std::string_view authority);

/// Whether a request that changes something comes from our own page: its Origin is ours, what the browser says of where
/// it comes from agrees, and, where somebody is signed in, it carries the session's page token.
bool change_is_ours(const Request& request, std::string_view origin, const std::optional<Session>& session);

/// The header in which the page sends its token back.
constexpr std::string_view kPageTokenHeader = "x-throughcure-token";

/// The session cookie. Its name holds the port, since browsers share cookies between the ports of a host.
std::string cookie_name(std::uint16_t port);
std::string session_cookie(std::uint16_t port, std::string_view value, std::chrono::seconds lasts);

/// Adds what every answer carries: our own scripts and styles only, no frames, no referrer, no guessing of types, and
/// no copy kept anywhere unless the answer already says otherwise.
void harden(Response& response);

}  // namespace throughcure::service
