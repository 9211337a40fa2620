// Tickets: a page keeps one beside what was done while there was no connection, so that it goes in later under the
// person who did it, whoever is signed in by then. A ticket lets in nothing else.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/kinds.hpp"

namespace throughcure::service {

using TicketKey = std::array<std::uint8_t, 32>;

/// "ACCOUNT.UNTIL.MAC": the account's number, the instant until which it is good, and HMAC-SHA-512-256 of both under a
/// key of this practice (libsodium's crypto_auth).
std::string ticket(base::AccountId account, base::Instant until, const TicketKey& key);

/// Whose it is; nothing where it was not made with this key, or is too old.
std::optional<base::AccountId> account_of_ticket(std::string_view ticket, base::Instant now, const TicketKey& key);

}  // namespace throughcure::service
