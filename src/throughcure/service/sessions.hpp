// Who has signed in: one-time links and the sessions they open, in memory. Accounts and roles come behind this seam.
#pragma once

#include <chrono>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/service/token.hpp"

namespace throughcure::service {

/// A moment of the steady clock; callers pass it in, so nothing here looks at a clock.
using Instant = std::chrono::steady_clock::time_point;

/// One signed-in browser.
struct Session {
  std::string person;      ///< whose it is; one person until there are accounts
  std::string page_token;  ///< what the page must send back with every change (against forged requests)
  Instant ends{};
};

/// How long things last, and how many there may be at once (the oldest to end gives way).
struct SessionRules {
  std::chrono::minutes link_lasts{10};
  std::chrono::hours session_lasts{12};
  std::size_t most_links = 8;
  std::size_t most_sessions = 64;
};

/// Safe to call from any thread. Keeps fingerprints of the secrets, never the secrets.
class Sessions {
 public:
  explicit Sessions(SessionRules rules = {}) : rules_(rules) {}

  /// A new one-time token for `person`; it opens one session before `link_lasts` is over.
  std::string invite(std::string_view person, Instant now);

  /// Uses a one-time token up. The value of the session's cookie; nothing when the token is unknown, used or too old.
  std::optional<std::string> accept(std::string_view token, Instant now);

  /// The session of a cookie's value, while it lasts.
  [[nodiscard]] std::optional<Session> find(std::string_view cookie, Instant now) const;

  /// Ends a session; nothing happens when there is none.
  void close(std::string_view cookie);

 private:
  struct Link {
    std::string person;
    Instant ends{};
  };
  SessionRules rules_;
  mutable std::mutex mutex_;
  std::map<Fingerprint, Link> links_;
  std::map<Fingerprint, Session> sessions_;
};

}  // namespace throughcure::service
