#include "throughcure/service/visible_look_back.hpp"

#include <utility>

#include "throughcure/desk/members.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::service {

VisibleLookBack visible_look_back(const store::Reader& reader, const Call& call) {
  const auto missing = [] { return desk::Missing("There is no look-back of that number here."); };
  auto kept = reader.get<practice::LookBack>({number_in_path(call, "id")});
  if (!kept) throw missing();
  desk::LookBackShare share(reader, desk::Places(reader), member_of(call), *kept);
  if (!share.sees_any()) throw missing();
  return {.kept = *std::move(kept), .share = std::move(share)};
}

VisibleLookBack own_look_back(const store::Reader& reader, const Call& call) {
  VisibleLookBack visible = visible_look_back(reader, call);
  if (!visible.share.sees_light()) {
    throw desk::Forbidden(
        "The light of this look-back is at another site: it is closed, merged and opened again there, or by one who "
        "leads everywhere.");
  }
  return visible;
}

}  // namespace throughcure::service
