// What a restoration is planned and recorded with: lights, pastes, barriers and people, as they are today.
#pragma once

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// Answers GET /api/restoration-sheet. With "made" in the query also what the revisions of that restoration name.
Response restoration_sheet(const Call& call, const RecordsDesk& desk);

}  // namespace throughcure::service
