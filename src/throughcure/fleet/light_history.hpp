// What is known of one light: its claim, every reading with what it was taken with, and what was done to it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "throughcure/base/instant.hpp"
#include "throughcure/base/kinds.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"

namespace throughcure::fleet {

/// The share of the light that a barrier lets through, measured or published [0..1], and its standard uncertainty.
struct BarrierFactor {
  double passes = 1;
  double sd = 0;
  friend bool operator==(const BarrierFactor&, const BarrierFactor&) = default;
};

struct LightReading {
  base::ReadingId id{};
  base::Instant at{};
  std::size_t tip = 0;         ///< of LightHistory::tips
  std::size_t radiometer = 0;  ///< of LightHistory::radiometers
  std::size_t mode = 0;        ///< any numbering; 0 is the mode that the claim is of
  double shown_mw_cm2 = 0;     ///< relative output, never irradiance at the paste
  bool barrier_on = false;
  std::optional<BarrierFactor> barrier{};  ///< with a barrier on: what it passes, where that is known
  bool tip_clean = true;
  std::optional<double> battery{};  ///< level [0..1]
  std::optional<double> second_of_press{};
  Purpose purpose = Purpose::kCheck;
  std::optional<bool> tip_whole{};       ///< as it was seen; none: nobody looked
  std::optional<bool> barrier_smooth{};  ///< likewise
  std::optional<bool> vents_clear{};     ///< likewise
  friend bool operator==(const LightReading&, const LightReading&) = default;
};

/// The part of the spectrum that a radiometer is made for.
enum class SpectralClass : std::uint8_t {
  kUnknown,
  kBlue,   ///< about 400 to 500 nm: violet counts little
  kBroad,  ///< violet as well as blue
};

/// A calibration of a radiometer, and the time for which its certificate vouches.
struct Calibration {
  base::Instant from{};
  base::Instant until{};             ///< not included
  std::optional<double> expanded{};  ///< expanded uncertainty (k = 2), as a share; none: the certificate does not say
  friend bool operator==(const Calibration&, const Calibration&) = default;
};

struct HistoryRadiometer {
  std::optional<double> aperture_mm{};
  SpectralClass spectral_class = SpectralClass::kUnknown;
  std::vector<Calibration> calibrations{};  ///< by `from`
  friend bool operator==(const HistoryRadiometer&, const HistoryRadiometer&) = default;
};

struct HistoryTip {
  double diameter_mm = 0;  ///< optical
  friend bool operator==(const HistoryTip&, const HistoryTip&) = default;
};

/// Something done to the light; lending and giving back change nothing.
struct ServiceEvent {
  base::Instant at{};
  Deed what = Deed::kOther;
  friend bool operator==(const ServiceEvent&, const ServiceEvent&) = default;
};

/// Who says what the light gives.
enum class ClaimKind : std::uint8_t {
  kMaker,        ///< its papers
  kCertificate,  ///< a laboratory that measured this very light
};

struct LightHistory {
  base::Instant accepted_at{};
  std::optional<double> claimed_mw_cm2{};  ///< radiant exitance of mode 0
  ClaimKind claim = ClaimKind::kMaker;
  bool emits_violet = false;             ///< is known to have an emitter below some 420 nm besides blue
  std::vector<LightReading> readings{};  ///< in any order
  std::vector<HistoryRadiometer> radiometers{};
  std::vector<HistoryTip> tips{};
  std::vector<ServiceEvent> services{};      ///< in any order
  std::optional<base::Instant> mended_at{};  ///< when it was mended last before it was accepted: baselines begin anew
  friend bool operator==(const LightHistory&, const LightHistory&) = default;
};

}  // namespace throughcure::fleet
