#include "throughcure/exchange/case_light.hpp"

#include <algorithm>
#include <string_view>
#include <vector>

#include "throughcure/exchange/reference_cure.hpp"
#include "throughcure/exchange/sourced_number.hpp"

namespace throughcure::exchange {

namespace {

constexpr Limits kOutput{.above = 0, .at_most = 2};
constexpr Limits kPass{.above = 0, .at_most = 1};

base::Sourced one(std::string source) {
  return {.value = 1, .kind = base::Kind::kDerived, .source = std::move(source)};
}

base::Sourced pass_of(const BarrierLoss& barrier) {
  const base::Sourced& lost = barrier.share_lost;
  base::Sourced pass{.value = 1 - lost.value,
                     .sd = lost.sd,
                     .kind = base::Kind::kDerived,
                     .source = "1 - the loss of " + barrier.name + ": " + lost.source,
                     .note = lost.note};
  if (lost.high) pass.low = 1 - *lost.high;
  if (lost.low) pass.high = 1 - *lost.low;
  return pass;
}

base::Sourced read_barrier(const TomlTable& part, const base::Provenance& otherwise) {
  if (part.has("barrier_pass") && part.optional_text("barrier")) {
    part.refuse("barrier_pass", "both the barrier's name and what it lets through are given",
                "Give what was measured, else the name");
  }
  if (auto pass = optional_ranged_number(part, "barrier_pass", kPass, otherwise)) return *std::move(pass);
  if (!part.has("barrier")) return one("no barrier is named");
  const std::vector<BarrierLoss>& known = reference_barriers();
  std::vector<std::string_view> names{"none"};
  for (const BarrierLoss& barrier : known) names.emplace_back(barrier.name);
  const std::size_t place = part.choice_among("barrier", names);
  return place == 0 ? one("no barrier") : pass_of(known[place - 1]);
}

}  // namespace

CaseLight read_case_light(const TomlTable& root, const base::Provenance& otherwise, NamedFiles& files) {
  const TomlTable part = root.table("light");
  return {.light = files.light(part, "file"),
          .output_share = optional_ranged_number(part, "output_share", kOutput, otherwise)
                              .value_or(one("not known to differ from the light's stated power")),
          .barrier_pass = read_barrier(part, otherwise)};
}

}  // namespace throughcure::exchange
