#include "throughcure/exchange/reference_crowns.hpp"

#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

anatomy::CrownDimensions reference_crown(anatomy::Arch arch, anatomy::ToothClass tooth_class) {
  constexpr Limits length{.above = 0, .at_most = 30, .unit = "mm"};
  constexpr Limits maybe_none{.at_least = 0, .at_most = 10, .unit = "mm"};
  const TomlDocument file = reference_document("crowns");
  const TomlTable crown = file.root().table(word(arch)).table(word(tooth_class));
  anatomy::CrownDimensions dimensions{.crown_length = sourced_number(crown, "crown_length", length),
                                      .mesiodistal = sourced_number(crown, "mesiodistal", length),
                                      .mesiodistal_cervix = sourced_number(crown, "mesiodistal_cervix", length),
                                      .buccolingual = sourced_number(crown, "buccolingual", length),
                                      .buccolingual_cervix = sourced_number(crown, "buccolingual_cervix", length),
                                      .cusp_height = sourced_number(crown, "cusp_height", maybe_none),
                                      .enamel_at_cusp = sourced_number(crown, "enamel_at_cusp", length),
                                      .enamel_in_fossa = sourced_number(crown, "enamel_in_fossa", maybe_none),
                                      .enamel_at_side = sourced_number(crown, "enamel_at_side", length),
                                      .pulp_roof = sourced_number(crown, "pulp_roof", length),
                                      .pulp_height = sourced_number(crown, "pulp_height", length),
                                      .pulp_horn = sourced_number(crown, "pulp_horn", maybe_none),
                                      .pulp_mesiodistal = sourced_number(crown, "pulp_mesiodistal", length),
                                      .pulp_buccolingual = sourced_number(crown, "pulp_buccolingual", length)};
  base::refuse_if_any(file.problems());
  return dimensions;
}

}  // namespace throughcure::exchange
