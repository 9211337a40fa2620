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

}  // namespace

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

std::vector<RunsOutRow> what_runs_out(const store::Reader& reader, base::Instant now) {
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
  const store::Query of_late{.where = {{"expires_at", store::Compare::kAbove, (now - kSoon).us},
                                       {"expires_at", store::Compare::kBelow, (now + kSoon).us}},
                             .order_by = {},
                             .limit = kAllOfThem};
  for (const auto& lot : reader.list<practice::Lot>(of_late)) {
    if (!lot.record.expires_at) continue;
    const std::string name = materials[lot.record.material] + ", lot " + lot.record.number;
    rows.push_back({RunsOut::kLot, name, *lot.record.expires_at, is_day_over(*lot.record.expires_at, now)});
  }
  std::ranges::stable_sort(rows, {}, &RunsOutRow::until);
  return rows;
}

}  // namespace throughcure::desk
