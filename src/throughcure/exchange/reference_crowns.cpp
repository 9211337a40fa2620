#include "throughcure/exchange/reference_crowns.hpp"

#include <algorithm>
#include <vector>

#include "throughcure/exchange/embedded_reference.hpp"
#include "throughcure/exchange/sourced_number.hpp"
#include "throughcure/exchange/toml_document.hpp"

namespace throughcure::exchange {

namespace {

using anatomy::Arch;
using anatomy::ToothClass;

struct Crown {
  Arch arch;
  ToothClass tooth_class;
  anatomy::CrownDimensions dimensions;
};

anatomy::CrownDimensions read_crown(const TomlTable& crown) {
  constexpr Limits length{.above = 0, .at_most = 30, .unit = "mm"};
  constexpr Limits maybe_none{.at_least = 0, .at_most = 10, .unit = "mm"};
  return {.crown_length = sourced_number(crown, "crown_length", length),
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
}

std::vector<Crown> read_crowns() {
  using enum ToothClass;
  const TomlDocument file = reference_document("crowns");
  std::vector<Crown> crowns;
  for (const Arch arch : {Arch::kUpper, Arch::kLower}) {
    for (const ToothClass tooth_class : {kIncisor, kCanine, kPremolar, kMolar}) {
      crowns.push_back({arch, tooth_class, read_crown(file.root().table(word(arch)).table(word(tooth_class)))});
    }
  }
  base::refuse_if_any(file.problems());
  return crowns;
}

}  // namespace

const anatomy::CrownDimensions& reference_crown(Arch arch, ToothClass tooth_class) {
  static const std::vector<Crown> all = read_crowns();
  return std::ranges::find_if(all, [&](const Crown& one) { return one.arch == arch && one.tooth_class == tooth_class; })
      ->dimensions;
}

}  // namespace throughcure::exchange
