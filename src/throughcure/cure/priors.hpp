// What is known of curing before anything is known of the material: priors of the rate law, the criterion, the policy.
#pragma once

#include "throughcure/base/sourced.hpp"

namespace throughcure::cure {

/// dX/dt = k_ref (c phi / phi_ref)^p A(T) (1 + b X) max(0, 1 - X / X_lim)^q; see docs/physics.md.
struct RatePriors {
  base::Sourced exponent;                      ///< p [1], uniform from low to high
  base::Sourced attenuation_paste_per_mm;      ///< of a wide layer [1/mm]
  base::Sourced attenuation_bulk_fill_per_mm;  ///< of a wide layer [1/mm]
  base::Sourced p_times_attenuation_per_mm;    ///< of a paste in the steel mould [1/mm]
  base::Sourced k_ref_per_s;                   ///< [1/s] at a fluence rate of phi_ref
  base::Sourced phi_ref_mw_cm2;                ///< [mW/cm2]
  base::Sourced autoacceleration;              ///< b [1]
  base::Sourced autodeceleration;              ///< q [1]
  base::Sourced activation_kj_mol;             ///< [kJ/mol]
  base::Sourced induction_j_cm2;               ///< [J/cm2] of fluence
  base::Sourced bleaching_cm2_per_j;           ///< kappa [cm2/J] of fluence
};

/// X_lim(T) = limit + per_kelvin (T - reference temperature).
struct LimitPriors {
  base::Sourced paste;       ///< [1]
  base::Sourced flowable;    ///< [1]
  base::Sourced per_kelvin;  ///< [1/K]
  base::Sourced reference_temperature_c;
};

/// After the light: X grows by `gain` until 24 h, as ln(1 + t / t1), never above `final`.
struct DarkPriors {
  base::Sourced gain;   ///< absolute conversion [1]
  base::Sourced t1_s;   ///< [s]
  base::Sourced final;  ///< [1]
};

/// Hardness from conversion: ratio = 1 - (1 - X / X_ref) / slope. And the conversion that a spatula finds.
struct HardnessPriors {
  base::Sourced slope;              ///< [1]
  base::Sourced scrape_conversion;  ///< [1]
  base::Sourced at_scraped_depth;   ///< hardness at half the scraped length by that at the top [1]
};

/// What a cell must reach: a hardness ratio to the reference piece of the same material.
struct Criterion {
  base::Sourced hardness_ratio;            ///< [1]
  base::Sourced reference_exposure_j_cm2;  ///< at the reference piece's surface [J/cm2]
  base::Sourced reference_depth_mm;        ///< low to high is where its conversion is read [mm]
  base::Sourced after_h;                   ///< [h]
  base::Sourced at_temperature_c;          ///< [C]
};

/// Where a probability becomes a word. A policy, not physics.
struct Policy {
  base::Sourced through_cured_from;  ///< [0..1]
  base::Sourced under_cured_to;      ///< [0..1]
};

/// The scrape test, and how its results scatter.
struct ScrapeStandard {
  base::Sourced mould_diameter_mm;
  base::Sourced mould_least_height_mm;
  base::Sourced depth_per_length;
  base::Sourced allowed_below_claim_mm;
  base::Sourced sd_within_laboratory_mm;
  base::Sourced ratio_between_laboratories;  ///< for comparisons with published readings, never in a verdict
};

/// How published readings of conversion and hardness scatter: for comparisons with them, never in a verdict.
struct ReadingScatter {
  base::Sourced conversion_within;      ///< sd in one laboratory, absolute [1]
  base::Sourced conversion_between;     ///< sd of laboratories' means, absolute [1]
  base::Sourced hardness_ratio_within;  ///< sd in one laboratory [1]
  base::Sourced hardness_ratio_across;  ///< sd of one reading over all laboratories [1]
};

struct Priors {
  RatePriors rate;
  LimitPriors limit;
  DarkPriors dark;
  HardnessPriors hardness;
  Criterion criterion;
  Policy policy;
  ScrapeStandard scrape;
  ReadingScatter readings;
};

}  // namespace throughcure::cure
