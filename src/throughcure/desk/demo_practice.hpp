// The invented practice of the demo: rooms, people, lights, and a year of checks, one light of which wears out.
#pragma once

#include <string>
#include <vector>

#include "throughcure/practice/member.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// With which the demo's lead signs decisions: it guards nothing, for everything there is invented.
inline constexpr const char* kDemoPassword = "all of it is invented";

/// Fills empty records with the demo, its last checks some days before `now`; leaves others alone. Gives its lead. The
/// same instant gives the same records. `cases` are documents that some of its restorations keep. Everything in it is
/// invented.
practice::Member demo_practice(store::Store& records, base::Instant now, const std::vector<std::string>& cases = {});

}  // namespace throughcure::desk
