// Two radiometers read side by side, as a light's page tells of them. Outside: the arithmetic below, by hand, with
// Student's t from published tables (GUM 4.2.3, G.3.2). Everything is invented.
#include <array>

#include <gtest/gtest.h>

#include "throughcure/fleet/equipment.hpp"
#include "throughcure/fleet/reading_entry.hpp"
#include "throughcure/practice/place.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

class RadiometerLinksTest : public testing::Test {
 protected:
  RadiometerLinksTest() : lead_(office_.begin()) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      first_ = w.add(fleet::RadiometerEntry{"Radiometer A", "R-1", 8.0, {}});
      second_ = w.add(fleet::RadiometerEntry{"Radiometer B", "R-2", 8.0, {}});
      room_ = w.add(practice::Room{{1}, "Room 1", first_, {}});
      light_ = w.add(fleet::LightEntry{.room = room_,
                                       .name = "Lamp A",
                                       .serial = "K-1",
                                       .claimed_mw_cm2 = 1200,
                                       .approval_number = "1",
                                       .approved_by = "agency",
                                       .bought_in = {},
                                       .warranty_until = {},
                                       .accepted_at = office_.now,
                                       .withdrawn_at = {},
                                       .check_mode = "standard"});
      tip_ = w.add(fleet::TipEntry{light_, "straight", 8});
    });
  }
  void read(base::RadiometerId radiometer, double shown, const char* purpose) {
    const Told told = office_.post(lead_, "/api/checks",
                                   {{"light", light_.number},
                                    {"tip", tip_.number},
                                    {"radiometer", radiometer.number},
                                    {"room", room_.number},
                                    {"taken_at", base::instant_text(office_.now)},
                                    {"mode", "standard"},
                                    {"shown_mw_cm2", shown},
                                    {"barrier_on", false},
                                    {"tip_clean", true},
                                    {"purpose", purpose}});
    EXPECT_EQ(told.status, 201) << told.text;
    office_.now += minutes(5);
  }
  nlohmann::json links() { return office_.get(lead_, "/api/fleet/1").body["radiometer_links"]; }

  Office office_;
  Browser lead_;
  base::RadiometerId first_;
  base::RadiometerId second_;
  base::RoomId room_;
  base::LightId light_;
  base::TipId tip_;
};

TEST_F(RadiometerLinksTest, AreToldWithTheirInterval) {
  read(first_, 1000, "check");
  read(second_, 900, "check");
  EXPECT_EQ(links(), nlohmann::json::array()) << "no reading was taken side by side";
  for (const double shown : std::array{900.0, 940.0, 980.0}) {
    office_.now += hours(2);
    read(first_, 1000, "side_by_side");
    read(second_, shown, "side_by_side");
  }
  // ln of 0.90, 0.94, 0.98: -0.105361, -0.061875, -0.020203; their mean -0.062480, so the ratio is 0.93943.
  // Squares about it: 0.0018388 + 0.0000004 + 0.0017873 = 0.0036265, of 2 degrees of freedom. The belief of 3 % a
  // reading, so 2 * 0.03^2 = 0.0018 a ratio, weighs as eight: s^2 = (8 * 0.0018 + 0.0036265) / (8 + 2) = 0.00180265.
  // u = sqrt(0.00180265 / 3) = 0.0245129, of 10 degrees of freedom: t = 2.228139, u t = 0.0546182.
  // From exp(-0.062480 - 0.054618) = 0.88950 to exp(-0.062480 + 0.054618) = 0.99217.
  const nlohmann::json told = links();
  ASSERT_EQ(told.size(), 1U) << told.dump();
  const nlohmann::json& link = told.at(0);
  EXPECT_EQ(link["from"], first_.number);
  EXPECT_EQ(link["from_name"], "Radiometer A");
  EXPECT_EQ(link["to"], second_.number);
  EXPECT_EQ(link["to_name"], "Radiometer B");
  EXPECT_EQ(link["tip"], tip_.number);
  EXPECT_EQ(link["tip_name"], "straight");
  EXPECT_EQ(link["mode"], "standard");
  EXPECT_EQ(link["pairs"], 3);
  EXPECT_NEAR(link["ratio"], 0.93943, 1e-5);
  EXPECT_NEAR(link["low"], 0.88950, 1e-5);
  EXPECT_NEAR(link["high"], 0.99217, 1e-5);
}

}  // namespace
}  // namespace throughcure::tests
