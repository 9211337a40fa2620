// Coming in: the first start, signing in and out, changing over on a device that stays in a room, passwords and PINs.
#pragma once

#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "throughcure/practice/password.hpp"
#include "throughcure/service/attempts.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// What stands at the door, for as long as the program runs.
struct Door {
  std::string first_code;     ///< printed at the first start; empty: the practice has begun
  practice::HashCost cost{};  ///< of a password's or a PIN's hash
  Attempts attempts{};        ///< of sign-ins, by name and by account
};

/// Counts a try at a secret. Throws TooSoon where that key, or whoever asks, must wait.
void must_be_let_try(Door& door, const std::string& key, const Call& call, base::Instant now);

/// Somebody's code was renewed by whoever may: wrong tries of before count no more.
void open_again(Door& door, base::AccountId account, const std::string& sign_in_name);

/// Signs: whoever is signed in shows their password again. Throws as a sign-in is refused.
void sign(const Call& call, const RecordsDesk& desk, Door& door, const std::string& password);

/// /api/door/... and /api/session/...; `door` must outlive the routes.
std::vector<Route> door_routes(const RecordsDesk& desk, Door& door);

}  // namespace throughcure::service
