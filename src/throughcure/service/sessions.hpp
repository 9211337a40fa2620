// Who has signed in: one-time links and sessions, in memory, so that a request is judged without a database. What must
// outlive the program is handed out as store::SignIn and taken in again.
#pragma once

#include <chrono>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/practice/member.hpp"
#include "throughcure/service/token.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// Callers pass it in, so nothing here looks at a clock.
using Instant = base::Instant;

/// What the system's clock says.
Instant system_now();

/// One signed-in browser.
struct Session {
  practice::Member member{};
  std::string person{};      ///< its account's number as text: whose jobs these are
  std::string page_token{};  ///< what the page must send back with every change (against forged requests)
  /// By the short PIN, never enough to change who may do what: whose full sign-in it rests on, and ends with.
  std::optional<base::AccountId> rests_on{};
  bool shared = false;   ///< on a device that stays in a room
  Instant pins_until{};  ///< on a shared device: people may change over by PIN until then
  Instant ends{};
  [[nodiscard]] bool by_pin() const { return rests_on.has_value(); }
};

/// How long things last, and how many there may be at once (the oldest to end gives way).
struct SessionRules {
  std::chrono::minutes link_lasts{10};
  std::chrono::hours session_lasts{12};
  std::chrono::hours pins_last{12};  ///< after a full sign-in on a shared device
  std::size_t most_links = 8;
  std::size_t most_sessions = 1000;
};

/// How somebody signed in.
struct SignedBy {
  std::optional<base::AccountId> rests_on{};  ///< by PIN: on whose full sign-in; none: by password
  bool shared = false;
  std::optional<Instant> pins_until{};  ///< by PIN: of the session before; else none
};

/// A new session: the cookie's value for the browser, and what to keep of it.
struct NewSession {
  std::string cookie;
  Session session;
  store::SignIn kept;
};

/// Safe to call from any thread. Keeps fingerprints of the secrets, never the secrets.
class Sessions {
 public:
  explicit Sessions(SessionRules rules = {}) : rules_(rules) {}

  /// A new one-time token for somebody; it opens one session before `link_lasts` is over.
  std::string invite(const practice::Member& member, Instant now);
  /// Uses a one-time token up; nothing when it is unknown, used or too old.
  std::optional<NewSession> accept(std::string_view token, Instant now);
  NewSession open(const practice::Member& member, const SignedBy& by, Instant now);
  /// A session from before the program was stopped.
  void take_in(const store::SignIn& kept, const practice::Member& member);

  /// The session of a cookie's value, while it lasts.
  [[nodiscard]] std::optional<Session> find(std::string_view cookie, Instant now) const;

  /// Ends a session; nothing happens when there is none.
  void close(std::string_view cookie);
  /// Ends all of an account, and those by PIN that rest on its full sign-ins.
  void close_all(base::AccountId account);
  /// What an account's person may do has changed.
  void refresh(const practice::Member& member);

 private:
  struct Link {
    practice::Member member;
    Instant ends{};
  };
  SessionRules rules_;
  mutable std::mutex mutex_;
  std::map<Fingerprint, Link> links_;
  std::map<Fingerprint, Session> sessions_;
};

/// A cookie's fingerprint as it is kept.
std::string kept_fingerprint(std::string_view cookie);

}  // namespace throughcure::service
