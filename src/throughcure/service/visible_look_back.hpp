// The look-back that an address names, and how much of it is there for whoever asks.
#pragma once

#include "throughcure/desk/look_back_share.hpp"
#include "throughcure/practice/look_back.hpp"
#include "throughcure/service/records_desk.hpp"

namespace throughcure::service {

struct VisibleLookBack {
  store::Kept<practice::LookBack> kept;
  desk::LookBackShare share;
};

/// The look-back at "{id}" of the path. Throws desk::Missing where there is none, or neither its light nor any of its
/// restorations is of a site that whoever asks may see.
VisibleLookBack visible_look_back(const store::Reader& reader, const Call& call);

/// The same for what is done with it as a whole. Throws desk::Forbidden where its light is at another site.
VisibleLookBack own_look_back(const store::Reader& reader, const Call& call);

}  // namespace throughcure::service
