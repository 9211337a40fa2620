// How the resin of one cell cures: the rate law under light, the initiator it uses up, and what goes on in the dark.
#pragma once

#include <vector>

#include "throughcure/cure/material.hpp"
#include "throughcure/cure/priors.hpp"
#include "throughcure/optics/mode.hpp"

namespace throughcure::cure {

/// The fluence rate at which `k_ref_per_s` holds, by definition [mW/cm2].
inline constexpr double kPhiRef_mw_cm2 = 1000;
/// When the dark gain is `DarkCure::gain`, by definition [s].
inline constexpr double kDay_s = 86400;

/// Conversion goes on after the light: X(t) = X_off + gain g(X_off) ln(1 + t/t1) / ln(1 + 24 h/t1).
/// g is 0 at X = 0, rises straight to 1 at `gel`, and falls straight to 0 over the last 2 gain below `final`.
struct DarkCure {
  double gain = 0;   ///< absolute conversion gained by 24 h where g is 1 [1]
  double t1_s = 60;  ///< > 0
  double gel = 0;    ///< X_g, the conversion of gelation, taken to be what a spatula finds [1]
  double final = 1;  ///< X_inf, which X never passes [1]
};

/// One choice of the rate law's parameters (docs/physics.md, 3.1):
///   dX/dt = k_ref (c phi/phi_ref)^p A(T) (1 + b X) max(0, 1 - X/X_lim(T))^q
///   A(T) = exp(-Ea/R (1/T - 1/T_ref)),  X_lim(T) = limit + limit_per_kelvin (T - T_ref)
///   c = exp(-bleaching * H), H the fluence so far; nothing happens before H exceeds the induction.
struct RateLaw {
  double p = 1;                         ///< > 0
  double k_ref_per_s = 0;               ///< >= 0
  double b = 0;                         ///< >= 0
  double q = 1;                         ///< >= 1
  double limit = 1;                     ///< X_lim at the reference temperature, in (0, 1]
  double limit_per_kelvin = 0;          ///< [1/K]
  double reference_temperature_c = 37;  ///< [C]
  double activation_kj_mol = 0;
  double bleaching_cm2_per_j = 0;  ///< of fluence
  double induction_j_cm2 = 0;      ///< of fluence
  DarkCure dark{};
};

/// The prior of X_lim for a class: runny materials (flowable, adhesive, sealant) or pastes.
const base::Sourced& class_limit(const Priors& priors, MaterialClass material_class);

/// The law at the middle of the priors, for a class and what is known of the very material.
RateLaw nominal_law(const Priors& priors, MaterialClass material_class, const KnownLimits& known = {});

/// A(T): 1 at the reference temperature.
double arrhenius(const RateLaw& law, double temperature_c);
/// X_lim(T), kept within (0, 1].
double limit_at(const RateLaw& law, double temperature_c);

/// What a cell remembers. The initiator left follows from the fluence; in the dark X itself is the state.
struct CellState {
  double x = 0;              ///< conversion [0..1]
  double fluence_j_cm2 = 0;  ///< all the light so far
};
double initiator_left(const RateLaw& law, const CellState& state);

/// A stretch of a press with constant power.
struct Piece {
  double share = 1;    ///< of the light's radiant power [0..1]
  double seconds = 0;  ///< >= 0
};
/// A press as pieces of constant power. Ramps become 16 steps (the integral of share^p is off by 0.1 % of the rise at
/// the most for p from 0.5 to 1). Pulses become their lit time in one piece: what happens in the dark between pulses is
/// neglected.
std::vector<Piece> pieces(const optics::Course& course, double seconds);

/// v = k_ref A(T) times the integral of (c phi/phi_ref)^p dt over `seconds` of constant `phi`, exact with bleaching and
/// induction; the conversion is ConversionCurve(v) (conversion_curve.hpp). `fluence_before_j_cm2` is the cell's so far.
double progress(const RateLaw& law, double temperature_c, double phi_mw_cm2, double seconds,
                double fluence_before_j_cm2 = 0);

/// The same over a whole press: `phi_mw_cm2` is the fluence rate at full power.
double progress(const RateLaw& law, double temperature_c, double phi_mw_cm2, const std::vector<Piece>& press,
                double fluence_before_j_cm2 = 0);

/// The v at which the law, from X = 0, reaches `x`: the closed integral of the law. Infinite from the limit on.
/// Good to 1e-9 up to 0.99 of the limit.
double progress_to_reach(const RateLaw& law, double temperature_c, double x);

/// One step of the law as an ordinary differential equation, for temperatures and fluence rates that change with time:
/// fourth-order Runge-Kutta, X clamped to the limit after the step. Steps of 0.05 s or less.
CellState step(const RateLaw& law, const CellState& state, double phi_mw_cm2, double temperature_c, double seconds);

/// Conversion after `seconds` in the dark from `x_off`. Never falls; 0 stays 0; a second wait restarts the clock.
double after_dark(const DarkCure& dark, double x_off, double seconds);

/// ln(1 + t/t1) / ln(1 + 24 h/t1): what of a day's gain has come after `seconds`. 0 for none.
double dark_share(const DarkCure& dark, double seconds);
/// `after_dark` where that share is at hand.
double after_dark_share(const DarkCure& dark, double x_off, double share);

}  // namespace throughcure::cure
