// Records of every kind over HTTP, by one way for all of them.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

/// Who may add and who may correct records of a kind by these routes; a kind that is not named here has routes of its
/// own.
struct RecordRights {
  std::string_view kind;
  Access see = Access::signed_in;
  Access add = Access::lead;
  Access correct = Access::lead;
};
std::span<const RecordRights> record_rights();

/// GET, POST /api/records/KIND and GET, PUT /api/records/KIND/{id}, its history.
std::vector<Route> record_routes(const RecordsDesk& desk);

}  // namespace throughcure::service
