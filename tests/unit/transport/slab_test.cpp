// Slabs against published tables (source and kind beside each), identities, and the ledger.
// A bound is 3 combined standard errors (reference errors included where the source gives them): a false alarm once in
// 370 checks at a random seed; the seeds are fixed.
#include "throughcure/transport/slab.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>

#include "throughcure/base/parallel.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::transport {
namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kAimedError = 2e-4;

const base::Running& everywhere() {
  static const base::Running running{.threads = base::hardware_threads()};
  return running;
}

void expect(const base::Estimate& ours, double published, double its_error, const char* what) {
  EXPECT_LE(ours.se, kAimedError) << what << ": too few photons for this check";
  EXPECT_NEAR(ours.value, published, 3 * std::hypot(ours.se, its_error)) << what;
}

void expect_ledger(const SlabResult& r) {
  EXPECT_NEAR(r.ledger.accounted, r.ledger.launched, 1e-10 * r.ledger.launched);
  EXPECT_EQ(r.ledger.lost, 0);
  EXPECT_LE(std::abs(r.ledger.roulette.value), 3 * r.ledger.roulette.se + 1e-300);
}

// Source: van de Hulst 1980, Multiple Light Scattering, table 35, as in the MCML manual, table 6.1; kind: published.
TEST(Slab, CaseA_VanDeHulst) {
  const SlabResult r = run_slab({.layers = {{1, 9, 0.75, 1, 0.2}}, .photons = 2'500'000, .seed = 101}, everywhere());
  expect(r.Rd, 0.09739, 5e-6, "Rd");
  expect(r.Tt, 0.66096, 5e-6, "Tt");
  EXPECT_EQ(r.Rsp.value, 0);
  expect_ledger(r);
}

// Source: Giovanelli 1955, Optica Acta 2:153 (0.2600, specular included), refined by adding-doubling with 32 points to
// 0.25994; kind: published / computed.
TEST(Slab, CaseB_GiovanelliSemiInfinite) {
  const SlabResult r = run_slab({.layers = {{1, 9, 0, 1.5, kInf}}, .photons = 2'800'000, .seed = 102}, everywhere());
  expect({r.Rsp.value + r.Rd.value, r.Rd.se}, 0.25994, 5e-6, "Rsp + Rd");
  EXPECT_NEAR(r.Rsp.value, 0.04, 1e-12);
  EXPECT_EQ(r.Tt.value, 0);
  expect_ledger(r);
}

// Source: adding-doubling (iad C library, 32 points) for the three layers of Gardner 1992 / the MCML manual, tables 6.6
// and 6.7; absorption by layer from an independent Monte Carlo whose standard error is 1.3e-4 at most; kind: computed.
TEST(Slab, CaseC_ThreeLayers) {
  const SlabResult r = run_slab({.layers = {{0.1, 10, 0.9, 1.37, 1}, {0.1, 1, 0, 1.37, 1}, {0.2, 1, 0.7, 1.37, 2}},
                                 .photons = 2'800'000,
                                 .seed = 103},
                                everywhere());
  expect(r.Rd, 0.23787, 5e-6, "Rd");
  expect(r.Tt, 0.09605, 5e-6, "Tt");
  expect(r.A_by_layer[0], 0.26201, 1.3e-4, "A of layer 1");
  expect(r.A_by_layer[1], 0.14873, 1.3e-4, "A of layer 2");
  expect(r.A_by_layer[2], 0.23083, 1.3e-4, "A of layer 3");
  expect_ledger(r);
}

// Source: van de Hulst 1980, pages 256 and 424, oblique incidence; kind: published.
TEST(Slab, CasesEAndF_ObliqueIncidence) {
  const SlabResult e =
      run_slab({.layers = {{0.01, 0.99, 0, 1, 1}}, .mu0 = 0.5, .photons = 8'000'000, .seed = 104}, everywhere());
  expect(e.Rd, 0.48652, 5e-6, "E, R");
  expect(e.Tt, 0.49163, 5e-6, "E, T");
  const SlabResult f =
      run_slab({.layers = {{0.01, 0.99, 0.5, 1, 4}}, .mu0 = 0.5, .photons = 6'000'000, .seed = 105}, everywhere());
  expect(f.Rd, 0.61996, 5e-6, "F, R");
  expect(f.Tt, 0.30605, 5e-6, "F, T");
  expect_ledger(e);
  expect_ledger(f);
}

// Source: adding-doubling with 32 points (iad C library); the last digit of H and I moves by 1e-4 between builds, taken
// as their error; kind: computed.
TEST(Slab, CasesGHI_ForwardScatteringWithAndWithoutGlass) {
  const SlabLayer sample{0.5, 0.5, 0.9, 1, 1};
  const SlabResult g = run_slab({.layers = {sample}, .photons = 24'000'000, .seed = 106}, everywhere());
  expect(g.Rd, 0.00496, 5e-6, "G, UR1");
  expect(g.Tt, 0.59072, 5e-5, "G, UT1");
  SlabLayer denser = sample;
  denser.n = 1.4;
  const SlabResult h = run_slab({.layers = {denser}, .photons = 4'000'000, .seed = 107}, everywhere());
  expect({h.Rsp.value + h.Rd.value, std::hypot(h.Rsp.se, h.Rd.se)}, 0.03895, 1e-5, "H, UR1");
  expect(h.Tt, 0.54511, 1e-4, "H, UT1");
  const SlabLayer glass{0, 0, 0, 1.5, 1};
  const SlabResult i = run_slab({.layers = {glass, denser, glass}, .photons = 4'000'000, .seed = 108}, everywhere());
  expect({i.Rsp.value + i.Rd.value, std::hypot(i.Rsp.se, i.Rd.se)}, 0.05602, 1e-5, "I, UR1");
  expect(i.Tt, 0.53036, 1e-4, "I, UT1");
}

// Source: MCML 2.0 sample file sample.mco (case C, 0.01 cm bins, 1/cm); its own scatter is not printed, taken as 0.5 %
// of each bin; kind: published.
TEST(Slab, CaseC_AbsorptionByDepth) {
  const SlabResult r = run_slab({.layers = {{0.1, 10, 0.9, 1.37, 1}, {0.1, 1, 0, 1.37, 1}, {0.2, 1, 0.7, 1.37, 2}},
                                 .photons = 400'000,
                                 .seed = 109,
                                 .depth_bin_mm = 0.1,
                                 .depth_bins = 40},
                                everywhere());
  const struct {
    std::size_t bin;
    double per_cm;
  } rows[] = {{1, 2.7990}, {2, 2.8099},   {3, 2.8125},  {4, 2.7845},
              {5, 2.7265}, {20, 0.95971}, {21, 1.7314}, {40, 0.83724}};
  for (const auto& row : rows) {
    const base::Estimate& ours = r.absorbed_per_mm[row.bin - 1];
    EXPECT_NEAR(ours.value, row.per_cm / 10, 3 * std::hypot(ours.se, 0.005 * row.per_cm / 10)) << "bin " << row.bin;
  }
  double sum = 0;
  for (const base::Estimate& e : r.absorbed_per_mm) sum += 0.1 * e.value;
  EXPECT_NEAR(sum, r.A.value, 1e-9) << "the bins must hold all that is absorbed";
}

// Source: MCML 2.0 sample1a.mco (case A, 30 bins of 3 degrees, 10^6 photons), radiance per sr times 100; its relative
// error is that of its counts, w^2-scatter unknown, taken as 1 / sqrt(photons in the bin); kind: published.
TEST(Slab, CaseA_AngularRadiance) {
  constexpr double published[30] = {2.0195, 1.9380, 2.0465, 1.9762, 2.0162, 2.0892, 2.1555, 2.1990, 2.2504, 2.4275,
                                    2.4030, 2.5158, 2.6242, 2.7458, 2.8557, 3.0479, 3.2064, 3.3210, 3.5522, 3.7322,
                                    3.8610, 4.0431, 4.2213, 4.3561, 4.4449, 4.4481, 4.3882, 4.3065, 4.0226, 3.6550};
  const SlabResult r =
      run_slab({.layers = {{1, 9, 0.75, 1, 0.2}}, .photons = 2'000'000, .seed = 110, .angle_bins = 30}, everywhere());
  double chi_square = 0;
  for (std::size_t i = 0; i < 30; ++i) {
    const double theirs = published[i] / 100;
    const double a = std::sin(M_PI / 60 * static_cast<double>(i));
    const double b = std::sin(M_PI / 60 * static_cast<double>(i + 1));
    const double their_share = theirs * M_PI * (b * b - a * a);
    const double their_error = theirs / std::sqrt(1e6 * their_share);
    const double z = (r.reflected_radiance[i].value - theirs) / std::hypot(r.reflected_radiance[i].se, their_error);
    chi_square += z * z;
  }
  // 30 degrees of freedom: above 59.7 once in 1000.
  EXPECT_LT(chi_square, 59.7);
}

// Identities.
TEST(Slab, ClearGlassIsTheHandbooksPlate) {
  // Two surfaces with all their echoes: 2 r / (1 + r), r = 0.04 (Born & Wolf 1.6, incoherent); kind: identity.
  const SlabResult r = run_slab({.layers = {{0, 0, 0, 1.5, 1}}, .photons = 400'000, .seed = 111}, everywhere());
  EXPECT_NEAR(r.Rsp.value, 0.0769230769, 3 * r.Rsp.se);
  EXPECT_NEAR(r.Tt.value, 1 - 0.0769230769, 3 * r.Tt.se);
  EXPECT_EQ(r.Rd.value, 0);
}

TEST(Slab, PureAbsorberIsBeerLambert) {
  const SlabResult r = run_slab({.layers = {{0.7, 0, 0, 1, 2}}, .mu0 = 0.5, .photons = 1000, .seed = 1}, {});
  EXPECT_NEAR(r.Tt.value, std::exp(-0.7 * 2 / 0.5), 1e-12);
}

TEST(Slab, NothingIsLostWithoutAbsorption) {
  const SlabResult r =
      run_slab({.layers = {{0, 5, 0.8, 1.5, 1}, {0, 20, 0.5, 1.3, 0.5}}, .n_below = 1.4, .photons = 20'000, .seed = 1},
               everywhere());
  EXPECT_NEAR(r.Rsp.value + r.Rd.value + r.Tt.value, 1, 1e-12);
  const SlabResult deep = run_slab({.layers = {{0, 5, 0.8, 1.5, kInf}}, .photons = 2'000, .seed = 1}, everywhere());
  EXPECT_NEAR(deep.Rsp.value + deep.Rd.value, 1, 1e-12) << "a half-space that does not absorb returns everything";
}

TEST(Slab, SameAnswerOnAnyNumberOfThreads) {
  const SlabInput input{.layers = {{0.1, 10, 0.9, 1.37, 1}}, .photons = 5000, .seed = 9};
  const SlabResult one = run_slab(input, {.threads = 1});
  const SlabResult three = run_slab(input, {.threads = 3});
  EXPECT_EQ(one.Rd.value, three.Rd.value);
  EXPECT_EQ(one.Tt.se, three.Tt.se);
}

TEST(Slab, RefusesWhatCannotBeAndSaysAllOfIt) {
  try {
    (void)run_slab({.layers = {{-1, 1, 0, 1, kInf}, {1, 1, 1, 0.5, 0}}, .mu0 = 0}, {});
    FAIL();
  } catch (const base::InputError& error) {
    EXPECT_EQ(error.problems().size(), 6U) << error.what();
  }
}

}  // namespace
}  // namespace throughcure::transport
