// A practice of a size that a group of clinics comes to after some years, invented: for measuring its records.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::bench {

/// How much of everything.
struct RecordsSize {
  std::size_t lights = 200;
  std::size_t readings = 1'000'000;    ///< all lights together
  std::size_t restorations = 100'000;  ///< all of them in one look-back, of the last light
  std::size_t phones = 50;             ///< each an assistant with an account
};

/// Fills records that have no light yet; others are left as they are. Three checks a day of each light, up to `now`,
/// every fourth with a barrier on. The last light failed twice in the last hour: it is withdrawn, and its look-back
/// of 180 days names every restoration, each fourth with the case that it was solved with.
void invent_records(store::Store& records, const RecordsSize& size, base::Instant now);

/// The lead, who sees everything.
practice::Member lead_of(store::Store& records);

/// A light that is in use, with what a check of it names.
struct CheckedLight {
  base::LightId light;
  base::TipId tip;
  base::RoomId room;
  base::RadiometerId radiometer;
};
std::vector<CheckedLight> lights_in_use(store::Store& records);

/// A browser that is signed in from `now` on, in a program that is started later: no password is asked for.
struct SignedIn {
  std::string cookie;
  std::string page_token;
};
SignedIn sign_in(store::Store& records, base::AccountId account, base::Instant now);

/// Accounts by number: the lead's is the first, then the phones' come.
inline constexpr base::AccountId kLeadAccount{1};
constexpr base::AccountId account_of_phone(std::size_t phone) { return {static_cast<std::int64_t>(phone) + 2}; }

}  // namespace throughcure::bench
