// What a start has to say of the records that it found.
#pragma once

#include <string>
#include <vector>

#include "throughcure/store/store.hpp"

namespace throughcure::service {

/// Sentences for whoever starts the program; none after a start like any other. `was_cut_off`: the program before ended
/// without being stopped. Then the whole audit log is held against its root, which takes some seconds for a million
/// changes. Throws base::Failure where the records cannot be read.
std::vector<std::string> start_up_sentences(store::Store& records, bool was_cut_off);

}  // namespace throughcure::service
