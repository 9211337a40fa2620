// How the tables came to be as they are: one step a version, forwards only.
#pragma once

#include <span>
#include <string_view>

#include "throughcure/store/session.hpp"

namespace throughcure::store {

/// The steps, the first one first. `whole`, `real` and `text` in braces stand for the database's own types.
std::span<const std::string_view> migrations();

/// Version of the tables; 0 where there are none.
int version_of(Session& session);

/// Brings the tables to the newest version, all steps in one transaction. Throws base::Failure when they are of a newer
/// program. `up_to` is for tests.
void migrate(Session& session, int up_to);
/// The same inside a transaction that has begun.
void migrate_within(Session& session, int up_to);
void migrate(Session& session);

}  // namespace throughcure::store
