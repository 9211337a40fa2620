// What a start has to say of the records that it found.
#pragma once

#include <string>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// Sentences for whoever starts the program; none after a start like any other. `was_cut_off`: the program before ended
/// without being stopped. Then the whole audit log is held against its root, and every record against the log: some
/// seconds for a hundred thousand records. A clock that is behind the log is told as well. Throws base::Failure where
/// the records cannot be read.
std::vector<std::string> start_up_sentences(store::Store& records, bool was_cut_off, base::Instant now);

}  // namespace throughcure::service
