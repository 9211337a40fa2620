#include "throughcure/service/visible_look_back.hpp"

#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::service {

store::Kept<practice::LookBack> visible_look_back(const store::Reader& reader, const Call& call) {
  const auto kept = reader.get<practice::LookBack>({number_in_path(call, "id")});
  if (!kept || !member_of(call).sees(desk::Places(reader).site_of(kept->record.light))) {
    throw desk::Missing("There is no look-back of that number here.");
  }
  return *kept;
}

}  // namespace throughcure::service
