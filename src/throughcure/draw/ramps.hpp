// The ramps of colour: one for light, one for how far resin has set.
#pragma once

#include "throughcure/draw/oklab.hpp"

namespace throughcure::draw {

/// Light, from none (0: ink) to the brightest (1: white), in one blue hue of
/// 262 degrees; shares outside 0 to 1 are cut off. Built in OKLab: lightness in
/// a straight line from 0.22 to 1; chroma 0.075 sin(pi (0.25 + 0.75 share)), so
/// that there is colour in the middle and none at the white end. The page's
/// ramp is built in the same way.
OkLab light_ramp(double share);

/// Conversion, from unset (0: pale straw) to set (1: deep teal); shares outside
/// 0 to 1 are cut off. Built in OKLab as a straight line, so that equal steps
/// look equal, from lightness 0.93, chroma 0.08, hue 98 degrees to lightness
/// 0.37, chroma 0.06, hue 200 degrees. Lightness falls all the way: it also
/// reads in grey and to colour-blind eyes.
OkLab conversion_ramp(double share);

}  // namespace throughcure::draw
