// The audit log as the records hold it: read in pieces, and exported with its head signed by the practice's own key.
#pragma once

#include <functional>
#include <string>

#include "throughcure/practice/signed_head.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// The secret of the key that signs the log's heads; made and kept where there is none yet. It lies with the records'
/// other secrets, so that a backup carries it: whoever can read the database can sign as the practice, and a log that
/// was rewritten as a whole is told only by a root that stands elsewhere, on paper.
practice::KeySeed signing_seed(store::Store& records, base::Instant now);

/// The public key that belongs to it, 64 hexadecimal digits; empty where none was made yet.
std::string public_key_text(const store::Reader& reader);

/// Calls `each` with every change of one moment, in order.
void each_change(store::Store& records, const std::function<void(const practice::Change&)>& each);

/// The log's tree as it stands.
practice::RightEdge edge_of(store::Store& records);

}  // namespace throughcure::desk
