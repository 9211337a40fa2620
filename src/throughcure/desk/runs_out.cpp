#include "throughcure/desk/runs_out.hpp"

#include <algorithm>
#include <chrono>
#include <map>

#include "throughcure/desk/light_record.hpp"
#include "throughcure/desk/local_day.hpp"
#include "throughcure/desk/scope.hpp"

namespace throughcure::desk {

namespace {

constexpr std::chrono::hours kSoon{24 * 30};

/// Records whose day lies within 30 days of `now`, before it or after.
store::Query near(const std::string& day, base::Instant now) {
  return {.where = {{day, store::Compare::kAbove, (now - kSoon).us}, {day, store::Compare::kBelow, (now + kSoon).us}},
          .order_by = {},
          .limit = kAllOfThem};
}

}  // namespace

std::string_view word(RunsOut what) {
  switch (what) {
    case RunsOut::kCertificate:
      return "certificate";
    case RunsOut::kLot:
      return "lot";
    case RunsOut::kWarranty:
      return "warranty";
  }
  return "";
}

Certificates::Certificates(const store::Reader& reader, base::Instant at)
    : newest_first_(reader.list<fleet::CertificateEntry>(
          {.where = {}, .order_by = "calibrated_at", .descending = true, .limit = kAllOfThem})) {
  std::erase_if(newest_first_, [&](const auto& one) { return one.record.calibrated_at > at; });
}

const store::Kept<fleet::CertificateEntry>* Certificates::newest(base::RadiometerId radiometer) const {
  const auto at =
      std::ranges::find_if(newest_first_, [&](const auto& one) { return one.record.radiometer == radiometer; });
  return at == newest_first_.end() ? nullptr : &*at;
}

std::optional<base::Instant> Certificates::until(const store::Kept<fleet::RadiometerEntry>& radiometer) const {
  const auto* const certificate = newest(radiometer.id);
  return certificate != nullptr ? certificate->record.valid_until : radiometer.record.certificate_until;
}

std::vector<RunsOutRow> what_runs_out(const store::Reader& reader, std::span<const base::LightId> seen,
                                      base::Instant now) {
  const store::Query all{.where = {}, .order_by = {}, .limit = kAllOfThem};
  std::vector<RunsOutRow> rows;
  const Certificates certificates(reader, now);
  for (const auto& radiometer : reader.list<fleet::RadiometerEntry>(all)) {
    const std::optional<base::Instant> until = certificates.until(radiometer);
    if (!until || *until > now + kSoon) continue;
    rows.push_back({RunsOut::kCertificate, radiometer.record.name, *until, is_day_over(*until, now)});
  }
  std::map<base::MaterialId, std::string> materials;
  for (const auto& material : reader.list<practice::MaterialEntry>(all)) {
    materials.emplace(material.id,
                      material.record.name + (material.record.shade.empty() ? "" : " ") + material.record.shade);
  }
  for (const auto& lot : reader.list<practice::Lot>(near("expires_at", now))) {
    if (!lot.record.expires_at) continue;
    const std::string name = materials[lot.record.material] + ", lot " + lot.record.number;
    rows.push_back({RunsOut::kLot, name, *lot.record.expires_at, is_day_over(*lot.record.expires_at, now)});
  }
  for (const auto& light : reader.list<fleet::LightEntry>(near("warranty_until", now))) {
    if (!light.record.warranty_until || std::ranges::find(seen, light.id) == seen.end()) continue;
    const base::Instant until = *light.record.warranty_until;
    rows.push_back({RunsOut::kWarranty, light.record.name, until, is_day_over(until, now), light.id});
  }
  std::ranges::stable_sort(rows, {}, &RunsOutRow::until);
  return rows;
}

}  // namespace throughcure::desk
