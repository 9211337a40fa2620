#include "throughcure/desk/recomputations.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace throughcure::desk {

namespace {

/// Estimates that differ by less are the same one, read back from a database [ln].
constexpr double kSame = 1e-9;

}  // namespace

Recomputations::Recomputations(const store::Reader& reader, const store::Kept<practice::LookBack>& look_back,
                               const std::string& engine) {
  const std::vector<store::Wanted> wanted = {
      {"id"},           {"restoration"},        {"of_revision"}, {"output_ln_mean"},
      {"output_ln_sd"}, {"chance_under_cured"}, {"engine"},      {"at"}};
  for (const auto& one : family_of(reader, look_back)) {
    const store::Query query{
        .where = {{"look_back", store::Compare::kEqual, one.id.number}}, .order_by = {}, .limit = kAllOfThem};
    reader.pick(store::table_of<practice::Recomputed>(), wanted, query, [&](const std::vector<base::Value>& row) {
      newest_.push_back({.restoration = {base::Kept<std::int64_t>::from(row[1])},
                         .recomputed = {base::Kept<std::int64_t>::from(row[0])},
                         .chance_under_cured = base::Kept<std::optional<double>>::from(row[5]),
                         .of_revision = base::Kept<std::int64_t>::from(row[2]),
                         .output_ln_mean = base::Kept<double>::from(row[3]),
                         .output_ln_sd = base::Kept<double>::from(row[4]),
                         .of_this_engine = base::Kept<std::string>::from(row[6]) == engine,
                         .at = {base::Kept<std::int64_t>::from(row[7])}});
    });
  }
  // Of each restoration the newest comes first, of equally new ones the one that was kept last.
  std::ranges::reverse(newest_);
  std::ranges::stable_sort(newest_, {}, [](const Outcome& o) { return std::pair(o.restoration, -o.at.us); });
  const auto older = std::ranges::unique(newest_, {}, &Outcome::restoration);
  newest_.erase(older.begin(), older.end());
}

const Outcome* Recomputations::find(base::RestorationId restoration, std::int64_t revision, base::Instant placed_at,
                                    const LookBackOutput& output) const {
  const auto at = std::ranges::lower_bound(newest_, restoration, {}, &Outcome::restoration);
  if (at == newest_.end() || at->restoration != restoration) return nullptr;
  if (at->of_revision != revision || !at->of_this_engine) return nullptr;
  const OutputThen then = output.at(placed_at);
  const bool holds =
      std::abs(at->output_ln_mean - then.ln_mean) < kSame && std::abs(at->output_ln_sd - then.ln_sd) < kSame;
  return holds ? &*at : nullptr;
}

}  // namespace throughcure::desk
