#include "throughcure/desk/recomputations.hpp"

#include <cmath>
#include <utility>

namespace throughcure::desk {

namespace {

/// Estimates that differ by less are the same one, read back from a database [ln].
constexpr double kSame = 1e-9;

}  // namespace

Recomputations::Recomputations(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back,
                               std::string engine)
    : engine_(std::move(engine)) {
  for (const auto& one : family_of(reader, look_back)) {
    const store::Query query{
        .where = {{"look_back", store::Compare::kEqual, one.id.number}}, .order_by = {}, .limit = kAllOfThem};
    for (auto& kept : reader.list<practice::Recomputed>(query)) {
      const auto [place, is_new] = newest_.try_emplace(kept.record.restoration.number, kept.record);
      if (!is_new && place->second.at <= kept.record.at) place->second = std::move(kept.record);
    }
  }
}

const practice::Recomputed* Recomputations::find(const store::Kept<practice::Restoration>& restoration,
                                                 const OutputThen& output) const {
  const auto at = newest_.find(restoration.id.number);
  if (at == newest_.end()) return nullptr;
  const practice::Recomputed& one = at->second;
  const bool holds = one.of_revision == restoration.revision && one.engine == engine_ &&
                     std::abs(one.output_ln_mean - output.ln_mean) < kSame &&
                     std::abs(one.output_ln_sd - output.ln_sd) < kSame;
  return holds ? &one : nullptr;
}

}  // namespace throughcure::desk
