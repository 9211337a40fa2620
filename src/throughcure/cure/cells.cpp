#include "throughcure/cure/cells.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::cure {

namespace {

// 1 - exp(-d) for d >= 0, to 1e-9: most cells are dim and d is small.
double lost(double d) {
  if (d > 0.05) return 1 - std::exp(-d);
  return d * (1 - d / 2 * (1 - d / 3 * (1 - d / 4 * (1 - d / 5))));
}

// What a draw's cells have in common.
struct Common {
  double p;
  double rate_per_s;     // k_ref A(T)
  double bleaching;      // p kappa [cm2/J]
  double induction;      // [J/cm2]
  double left_at_start;  // c^p when the induction is over

  Common(const RateLaw& law, double temperature_c)
      : p(law.p),
        rate_per_s(law.k_ref_per_s * arrhenius(law, temperature_c)),
        bleaching(law.p * law.bleaching_cm2_per_j),
        induction(law.induction_j_cm2),
        left_at_start(std::exp(-bleaching * induction)) {}
};

// Most waits of a schedule are the same for all cells: their logarithms are taken once.
struct Wait {
  double seconds = 0;
  double share = 0;

  double gained(const DarkCure& dark, double x, double for_s) {
    if (for_s != seconds) *this = {for_s, dark_share(dark, for_s)};
    return after_dark_share(dark, x, share);
  }
};

// A cell while it is being lit. `v` counts from X = 0, or from the conversion that the last pause left.
struct Lit {
  double v = 0;
  double fluence = 0;  // [J/cm2]
  double left;         // c^p
};

// The same integral as `progress`, with c^p carried along instead of computed anew.
void shine(const Common& common, double phi_mw_cm2, double phi_to_p, double seconds, double share_to_p, double share,
           Lit& cell) {
  const double watts = phi_mw_cm2 * share * 1e-3;
  const double end = cell.fluence + watts * seconds;
  const double begin = std::max(cell.fluence, common.induction);
  cell.fluence = end;
  if (end <= begin || watts <= 0) return;
  const double decay = common.bleaching * (end - begin);
  const double gone = lost(decay);
  const double lasting_s = decay > 1e-12 ? gone / (common.bleaching * watts) : (end - begin) / watts;
  cell.v += common.rate_per_s * phi_to_p * share_to_p * cell.left * lasting_s;
  cell.left *= 1 - gone;
}

}  // namespace

void cure_cells(const RateLaw& law, const ConversionCurve& curve, double temperature_c,
                std::span<const CellExposure> exposures, double dark_s, std::span<double> x) {
  const Common common(law, temperature_c);
  Wait pause;
  Wait end;
  for (std::size_t cell = 0; cell < x.size(); ++cell) {
    Lit lit{.left = common.left_at_start};
    double least = 0;     // what the last pause left: light adds to it
    double waited_s = 0;  // in the dark, since the cell was last lit
    for (const CellExposure& exposure : exposures) {
      waited_s += exposure.pause_before_s;
      if (exposure.phi_mw_cm2[cell] <= 0) {
        for (const Piece& piece : exposure.press) waited_s += piece.seconds;
        continue;
      }
      if (waited_s > 0 && lit.v > 0) {
        least = pause.gained(law.dark, std::max(least, curve.at(lit.v)), waited_s);
        lit.v = curve.inverse(least);
      }
      waited_s = 0;
      const double phi_to_p = std::exp(common.p * exposure.ln_phi[cell]);
      for (const Piece& piece : exposure.press) {
        const double share_to_p = piece.share == 1 ? 1 : std::pow(piece.share, common.p);
        shine(common, exposure.phi_mw_cm2[cell], phi_to_p, piece.seconds, share_to_p, piece.share, lit);
      }
    }
    x[cell] = end.gained(law.dark, std::max(least, curve.at(lit.v)), waited_s + dark_s);
  }
}

}  // namespace throughcure::cure
