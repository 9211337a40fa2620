// The inner loop against the plain functions, cell by cell.
#include "throughcure/cure/cells.hpp"

#include <cmath>
#include <limits>
#include <vector>

#include <gtest/gtest.h>

#include "unit/cure/invented_paste.hpp"

namespace throughcure::cure {
namespace {

struct Poses {
  std::vector<std::vector<double>> phi;
  std::vector<std::vector<double>> ln_phi;
};

Poses poses() {
  Poses made;
  for (const double scale : {1.0, 0.3, 2.0}) {
    std::vector<double> phi;
    std::vector<double> ln_phi;
    for (int i = 0; i < 60; ++i) {
      // The first cell is dark in the second exposure only.
      phi.push_back(i == 0 && scale < 1 ? 0 : scale * std::exp(0.15 * i));
      ln_phi.push_back(phi.back() > 0 ? std::log(phi.back() / kPhiRef_mw_cm2)
                                      : -std::numeric_limits<double>::infinity());
    }
    made.phi.push_back(phi);
    made.ln_phi.push_back(ln_phi);
  }
  return made;
}

TEST(Cells, CureAsTheyDoOneByOne) {
  const Poses seen = poses();
  const std::vector<Piece> ramp = pieces(optics::Ramp{.from_share = 0.1, .rise_s = 4, .to_share = 1}, 10);
  const std::vector<Piece> steady = {{1, 20}};
  const std::vector<const std::vector<Piece>*> presses = {&steady, &ramp, &steady};
  const std::vector<double> pauses = {0, 0, 30};
  for (std::uint64_t id = 0; id < 40; ++id) {
    const RateLaw law = prior_draw(invented::paste(), 1, id).law;
    const ConversionCurve curve(law, 35);
    std::vector<CellExposure> exposures;
    exposures.reserve(3);
    for (std::size_t e = 0; e < 3; ++e) {
      exposures.push_back({seen.phi[e], seen.ln_phi[e], *presses[e], pauses[e]});
    }
    std::vector<double> x(60);
    cure_cells(law, curve, 35, exposures, kDay_s, x);
    for (std::size_t cell = 1; cell < x.size(); ++cell) {
      CellState state;
      for (std::size_t e = 0; e < 3; ++e) {
        state = expose(law, curve, 35, state, seen.phi[e][cell], *presses[e], pauses[e]);
      }
      ASSERT_NEAR(x[cell], after_dark(law.dark, state.x, kDay_s), 1e-5) << "draw " << id << ", cell " << cell;
    }
    // Dark all through the second exposure: the wait is one wait.
    CellState first = expose(law, curve, 35, {}, seen.phi[0][0], steady);
    first = expose(law, curve, 35, first, seen.phi[2][0], steady, 10 + 30);
    ASSERT_NEAR(x[0], after_dark(law.dark, first.x, kDay_s), 1e-5);
  }
}

TEST(Cells, WithoutLightStayAsTheyAre) {
  const RateLaw law = nominal_law(exchange::reference_cure(), MaterialClass::kPaste);
  const ConversionCurve curve(law, 37);
  const std::vector<double> dark = {0, 0};
  const std::vector<double> ln_dark(2, -std::numeric_limits<double>::infinity());
  const std::vector<Piece> press = {{1, 20}};
  const std::vector<CellExposure> exposures = {{dark, ln_dark, press, 0}, {dark, ln_dark, press, 60}};
  std::vector<double> x = {1, 1};
  cure_cells(law, curve, 37, exposures, kDay_s, x);
  EXPECT_EQ(x[0], 0);
  cure_cells(law, curve, 37, {}, kDay_s, x);
  EXPECT_EQ(x[1], 0);
}

}  // namespace
}  // namespace throughcure::cure
