// What a light gives, worked out for the page.
#pragma once

#include <string>

#include "throughcure/optics/light.hpp"
#include "throughcure/service/light_view.hpp"

namespace throughcure::service {

/// The row of the list and the document of one light. `id` is what it is asked for by. The view takes some tens of
/// milliseconds: for a job, not for an HTTP thread.
LightRow row_of(const optics::Light& light, std::string id);
LightView view_of(const optics::Light& light, std::string id);

}  // namespace throughcure::service
