// What the experiments on curing want to know from the file of a study.
#pragma once

#include "throughcure/exchange/validation_asked.hpp"
#include "throughcure/exchange/validation_study.hpp"

namespace throughcure::exchange {

/// A scrape test: material_class, shade, lamp_class, lamp, mode, tip_mm, irradiance_mw_cm2, seconds, presses, rise_s,
/// temperature_c, mould_mm, leave_out_slope; quantity "depth mm" or "length mm"; height_mm of the specimen.
Question read_scrape(const Asked& asked);

/// The same specimen; quantity "conversion", "conversion lost with depth" or "dark gain"; depth_mm, after_h, from_h,
/// x_at_from; one_of "least" or "most" among `materials`.
Question read_conversion(const Asked& asked);

/// The same specimen; quantity "hardness ratio" or "conversion ratio"; thickness_mm, after_h. Where both hardnesses
/// stand there (top_vhn, bottom_vhn) the published number must be their ratio.
Question read_hardness(const Asked& asked);

Question read_hardness_line(const Asked& asked);

}  // namespace throughcure::exchange
