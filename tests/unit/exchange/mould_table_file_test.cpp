// The kept light of the scrape test's mould as a file: what is written is read again, and a spoilt one is refused.
#include "throughcure/exchange/mould_table_file.hpp"

#include <gtest/gtest.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/exchange/embedded_reference.hpp"

namespace throughcure::exchange {
namespace {

TEST(MouldTableFile, TheEmbeddedOneIsWhatItsTableWrites) {
  const cure::MouldTable table = reference_mould_table();
  EXPECT_EQ(mould_table_text(table), reference_text("mould"));
  EXPECT_EQ(table.provenance.kind, base::Kind::kDerived);
  const cure::MouldGrid& grid = table.light.grid;
  EXPECT_EQ(table.light.log_fluence.size(), grid.reduced_scattering_per_mm.size() * grid.wall_reflectance.size() *
                                                grid.mua_per_mm.size() * table.light.depths);
  EXPECT_LT(reference_text("mould").size(), 300'000U);
}

TEST(MouldTableFile, ASpoiltRowIsRefusedByName) {
  std::string text(reference_text("mould"));
  const std::size_t row = text.find("s1w0a3 = \"");
  ASSERT_NE(row, std::string::npos);
  text.insert(row + 10, "x");
  try {
    (void)parse_mould_table(text, "mould.toml");
    FAIL() << "it was taken";
  } catch (const base::InputError& error) {
    EXPECT_NE(std::string(error.what()).find("s1w0a3"), std::string::npos) << error.what();
  }
  EXPECT_THROW((void)parse_mould_table("[mould]\n", "mould.toml"), base::InputError);
}

}  // namespace
}  // namespace throughcure::exchange
