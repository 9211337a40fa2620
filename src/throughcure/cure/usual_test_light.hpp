// The light of a test whose own light is not known.
#pragma once

#include "throughcure/optics/light.hpp"

namespace throughcure::cure {

/// The light that a fact is taken to have been found with when it says only an irradiance: blue, one narrow peak at
/// 460 nm, even over a tip of 8 mm, radiance halved at 20 degrees (kind: common practice, no source).
optics::Light usual_test_light();

}  // namespace throughcure::cure
