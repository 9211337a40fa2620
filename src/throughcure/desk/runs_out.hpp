// What is good until a day: a radiometer's certificate, a material's lot, a light's warranty; and which of them run out
// soon.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/material.hpp"
#include "throughcure/store/store.hpp"

namespace throughcure::desk {

/// The certificates of calibration that were on record at an instant.
class Certificates {
 public:
  Certificates(const store::Reader& reader, base::Instant at);

  /// The newest one of a radiometer; null where there is none.
  [[nodiscard]] const store::Kept<fleet::CertificateEntry>* newest(base::RadiometerId radiometer) const;
  /// The last day for which it vouches; where no certificate is on record, the one that the radiometer's own entry
  /// names.
  [[nodiscard]] std::optional<base::Instant> until(const store::Kept<fleet::RadiometerEntry>& radiometer) const;

 private:
  std::vector<store::Kept<fleet::CertificateEntry>> newest_first_;
};

enum class RunsOut : std::uint8_t { kCertificate, kLot, kWarranty };

/// "certificate", "lot", "warranty"
std::string_view word(RunsOut what);

struct RunsOutRow {
  RunsOut what = RunsOut::kCertificate;
  std::string name;  ///< of the radiometer; of the material with its lot; of the light
  base::Instant until{};
  bool over = false;
  std::optional<base::LightId> light{};  ///< whose warranty it is
};

/// What runs out within 30 days of `now`, and what did: certificates however long ago, lots and warranties within 30
/// days, since those are used up or thrown away, and these bring nothing any more. Of the lights in `seen` only. The
/// first day first.
std::vector<RunsOutRow> what_runs_out(const store::Reader& reader, std::span<const base::LightId> seen,
                                      base::Instant now);

}  // namespace throughcure::desk
