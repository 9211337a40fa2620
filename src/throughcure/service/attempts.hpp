// How often somebody may try to sign in: waits that grow with the failures of a name, and a limit for each address.
#pragma once

#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>
#include <string_view>

#include "throughcure/service/buckets.hpp"
#include "throughcure/service/sessions.hpp"
#include "throughcure/service/token.hpp"

namespace throughcure::service {

/// NIST SP 800-63B, 5.2.2: no more than 100 failures in a row on one account, and waits that grow "e.g., 30 seconds up
/// to an hour" on the way there. The other values are common practice, no source.
struct AttemptRules {
  unsigned free_failures = 5;              ///< of one name, before it waits
  std::chrono::seconds first_wait{30};     ///< after that many; doubles with each failure more
  std::chrono::seconds longest_wait{900};  ///< so that who was locked out by a stranger is not so for the day
  unsigned most_failures = 100;            ///< of one name in a row; then it is closed
  unsigned burst = 20;                     ///< tries of one address at once
  std::chrono::seconds pace{6};            ///< and one more each so long
  std::size_t most_names = 4096;
  std::size_t most_addresses = 4096;
};

/// What becomes of a try.
struct Admission {
  std::chrono::seconds wait{0};  ///< 0: it may be made; else how long until one may be, rounded up
  bool closed = false;           ///< the name takes no try until it is cleared
  [[nodiscard]] bool granted() const { return wait.count() == 0 && !closed; }
};

/// Counts tries in memory: a restart forgets them. Knows nothing of which names there are, so that one that nobody has
/// is treated as any other. Keeps fingerprints, since people type passwords where a name should stand. Safe to call
/// from any thread.
///
/// Room for names is bounded. When it is full, the name with the fewest failures gives way, the one that failed longest
/// ago first: to have k failures of one name forgotten, a stranger must fail k times with each of `most_names` others.
class Attempts {
 public:
  explicit Attempts(AttemptRules rules = {})
      : rules_(rules), addresses_({.burst = rules.burst, .pace = rules.pace, .most = rules.most_addresses}) {}

  /// Asks for a try. One that is granted counts as a failure from now on, so that many at once gain nothing; clear the
  /// name when it succeeds. One that is refused counts for nothing. `name` as the accounts tell names apart; `address`
  /// without a port.
  Admission begin(std::string_view name, std::string_view address, Instant now);

  /// Forgets the failures of a name: its secret was right, or somebody who may has opened it again.
  void clear(std::string_view name);

  /// How many names and addresses are remembered.
  [[nodiscard]] std::size_t names() const;
  [[nodiscard]] std::size_t addresses() const;

 private:
  struct Failures {
    unsigned count = 0;
    Instant last;
    Instant next;  ///< when the next try may be made
  };
  [[nodiscard]] std::chrono::seconds wait_after(unsigned failures) const;
  void make_room_for_a_name();

  AttemptRules rules_;
  mutable std::mutex mutex_;
  std::map<Fingerprint, Failures> names_;
  Buckets addresses_;
};

}  // namespace throughcure::service
