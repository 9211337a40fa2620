// One limit of a light, on one scale, wherever it is told: by its check, its page, its month and its look-back. No
// outside source: this is our own contract; limits are the policy's as delivered. Everything is invented.
#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/read_print.hpp"
#include "throughcure/desk/local_month.hpp"
#include "throughcure/desk/members.hpp"
#include "throughcure/desk/month_report.hpp"
#include "throughcure/fleet/equipment.hpp"
#include "throughcure/practice/place.hpp"
#include "throughcure/service/light_month_chart.hpp"
#include "unit/service/office.hpp"

namespace throughcure::tests {
namespace {

using std::chrono::hours;
using std::chrono::minutes;

constexpr double kBaseline = 1004;
constexpr double kLimit = 0.8 * kBaseline;
constexpr double kReadsLow = 0.85;
constexpr int kWeeks = 12;

/// A light of which a good radiometer shows 15 % less than it gives: its tip fills 85 % of the radiometer's aperture.
class OneLimitTest : public testing::Test {
 protected:
  OneLimitTest() : lead_(office_.begin()) {
    office_.records().write({"1", office_.now}, [&](store::Writer& w) {
      meter_ = w.add(fleet::RadiometerEntry{"Radiometer A", "R-1", 8 / kReadsLow, {}});
      w.add(fleet::CertificateEntry{meter_, "C-1", "a laboratory", office_.now, office_.now + hours(24 * 400), 0.08});
      room_ = w.add(practice::Room{{1}, "Room 1", meter_, {}});
      light_ = w.add(fleet::LightEntry{.room = room_,
                                       .name = "Lamp A",
                                       .serial = "K-1",
                                       .claimed_mw_cm2 = kBaseline / kReadsLow,
                                       .approval_number = "1",
                                       .approved_by = "agency",
                                       .bought_in = {},
                                       .warranty_until = {},
                                       .accepted_at = office_.now,
                                       .withdrawn_at = {},
                                       .check_mode = "standard"});
      tip_ = w.add(fleet::TipEntry{light_, "straight", 8});
    });
    // Weekly, losing a little, with a scatter of 1 %.
    constexpr std::array scatter = {1.0, 1.008, 0.993, 1.001, 0.99, 1.006};
    for (int week = 0; week < kWeeks; ++week) {
      check(std::round(kBaseline * (1 - 0.005 * week) * scatter.at(static_cast<std::size_t>(week) % scatter.size())));
      office_.now += hours(24 * 7);
    }
    sign_in();
  }

  void sign_in() {
    lead_ = Office::signed_in(office_.post(
        {}, "/api/door/sign-in", {{"sign_in_name", "marta"}, {"password", Office::kPassword}, {"shared", false}}));
  }
  nlohmann::json check(double shown) { return check_on(meter_, shown); }
  nlohmann::json check_on(base::RadiometerId meter, double shown) {
    office_.now += minutes(10);
    sign_in();
    const Told told = office_.post(lead_, "/api/checks",
                                   {{"light", light_.number},
                                    {"tip", tip_.number},
                                    {"radiometer", meter.number},
                                    {"room", room_.number},
                                    {"taken_at", base::instant_text(office_.now)},
                                    {"mode", "standard"},
                                    {"shown_mw_cm2", shown},
                                    {"second_of_press", 10},
                                    {"barrier_on", false},
                                    {"tip_clean", true},
                                    {"purpose", "check"}});
    EXPECT_EQ(told.status, 201) << told.text;
    return told.body;
  }
  nlohmann::json page() { return office_.get(lead_, "/api/fleet/1").body; }
  desk::LightMonth month() {
    std::vector<desk::LightMonth> found;
    office_.records().read([&](const store::Reader& reader) {
      const desk::LocalMonth now = desk::month_of(office_.now, "Europe/Lisbon");
      found = desk::month_report(reader, *desk::member(reader, {1}), now, light_, office_.now).lights;
    });
    return found.at(0);
  }
  static std::vector<draw::ChartLevel> limits_of(const draw::TimeChart& chart) {
    std::vector<draw::ChartLevel> found;
    std::ranges::copy_if(chart.levels, std::back_inserter(found),
                         [](const draw::ChartLevel& level) { return level.kind == draw::LevelKind::kLimit; });
    return found;
  }

  Office office_;
  Browser lead_;
  base::RadiometerId meter_;
  base::RoomId room_;
  base::LightId light_;
  base::TipId tip_;
};

TEST_F(OneLimitTest, IsTheSameNumberInCheckPageMonthAndLookBack) {
  const nlohmann::json good = check(std::ceil(kLimit) + 1);
  EXPECT_EQ(good["verdict"], "look") << "a little above it passes, and is watched";
  EXPECT_DOUBLE_EQ(good["limit_mw_cm2"], kLimit);
  const nlohmann::json sheet = office_.get(lead_, "/api/check-sheet").body;
  EXPECT_DOUBLE_EQ(sheet["lights"].at(0)["last"]["limit_mw_cm2"], kLimit);
  EXPECT_DOUBLE_EQ(office_.get(lead_, "/api/fleet").body["lights"].at(0)["limit_mw_cm2"], kLimit);
  const nlohmann::json of_light = page();
  EXPECT_DOUBLE_EQ(of_light["limit_mw_cm2"], kLimit);
  EXPECT_DOUBLE_EQ(of_light["series"].at(0)["limit_mw_cm2"], kLimit);
  EXPECT_EQ(of_light["limit_why"], "80 % of its baseline");
  EXPECT_EQ(of_light["shown_by"], "Radiometer A");
  const auto drawn = limits_of(service::light_month_chart(month()));
  ASSERT_EQ(drawn.size(), 1U);
  EXPECT_DOUBLE_EQ(drawn[0].value, kLimit);
  EXPECT_EQ(drawn[0].words, "limit 803");
  const std::string print =
      words_in_a_row(office_.get(lead_, "/api/report.pdf?month=" + base::instant_text(office_.now).substr(0, 7)).text);
  EXPECT_THAT(print, testing::HasSubstr("Its limit is 803 mW/cm² as Radiometer A shows it: 80 % of its baseline."));

  EXPECT_EQ(check(std::floor(kLimit) - 1)["verdict"], "again") << "a little below it fails";
  EXPECT_DOUBLE_EQ(page()["limit_mw_cm2"], kLimit) << "whatever the estimate says by now";
  ASSERT_EQ(check(std::floor(kLimit) - 1)["verdict"], "failed");
  const nlohmann::json look_back = office_.get(lead_, "/api/look-backs/1").body;
  EXPECT_DOUBLE_EQ(look_back["limit_mw_cm2"], kLimit);
  EXPECT_EQ(look_back["limit_why"], "80 % of its baseline");
  EXPECT_EQ(look_back["shown_by"], "Radiometer A");
}

TEST_F(OneLimitTest, DoesNotMoveWithTheEstimate) {
  const double before = page()["today"]["p50"];
  office_.now += hours(24 * 60);
  sign_in();
  const nlohmann::json later = page();
  EXPECT_GT(std::abs(later["today"]["p50"].get<double>() / before - 1), 0.005) << "or this would prove nothing";
  EXPECT_DOUBLE_EQ(later["limit_mw_cm2"], kLimit);
}

/// Between two points of a band, a straight line.
struct Spread {
  double p10;
  double p50;
  double p90;
};
Spread between(const std::vector<draw::ChartBand>& band, double day) {
  const auto after = std::ranges::lower_bound(band, day, {}, &draw::ChartBand::at_day);
  EXPECT_NE(after, band.end());
  if (after == band.begin()) return {after->p10, after->p50, after->p90};
  const auto before = after - 1;
  const double share = (day - before->at_day) / std::max(1e-12, after->at_day - before->at_day);
  const auto at = [&](double draw::ChartBand::* of) { return (*before).*of + share * ((*after).*of - (*before).*of); };
  return {at(&draw::ChartBand::p10), at(&draw::ChartBand::p50), at(&draw::ChartBand::p90)};
}

TEST_F(OneLimitTest, TheBandIsDrawnWhereTheReadingsAre) {
  const nlohmann::json of_light = page();
  EXPECT_NEAR(of_light["shown_per_exitance"], kReadsLow, 0.03);
  const double gives = of_light["today"]["p50"];
  EXPECT_GT(gives, 1.1 * kBaseline * (1 - 0.005 * kWeeks)) << "what it gives stays radiant exitance";
  EXPECT_THAT(of_light.value("sentence", ""), testing::HasSubstr("mW/cm2 of radiant exitance today"));
  const desk::LightMonth report = month();
  const draw::TimeChart chart = service::light_month_chart(report);
  ASSERT_EQ(chart.dots.size(), static_cast<std::size_t>(kWeeks));
  for (const draw::ChartDot& dot : chart.dots) {
    const Spread drawn = between(chart.band, dot.at_day);
    EXPECT_GT(dot.value, drawn.p10);
    EXPECT_LT(dot.value, drawn.p90);
    EXPECT_NEAR(drawn.p50 / dot.value, 1, 0.04);
  }
  // The page's band is the same one.
  ASSERT_EQ(of_light["band"].size(), report.band.size());
  EXPECT_NEAR(of_light["band"].at(3)["p10"], chart.band[3].p10, 1e-9);
  // What the maker claims is exitance: it is drawn where the radiometer would show it, and says so.
  const auto claim = std::ranges::find(chart.levels, draw::LevelKind::kClaim, &draw::ChartLevel::kind);
  ASSERT_NE(claim, chart.levels.end());
  EXPECT_NEAR(claim->value, kBaseline, 0.03 * kBaseline);
  EXPECT_THAT(claim->words, testing::StartsWith("claim, here "));
}

TEST_F(OneLimitTest, IsForecastForTheDayOnWhichTheDrawnBandMeetsIt) {
  // It loses two in a hundred a week now, so that the day is within what is drawn.
  for (int week = 0; week < 5; ++week) {
    check(std::round(kBaseline * (0.94 - 0.02 * week)));
    office_.now += hours(24 * 7);
  }
  sign_in();
  const nlohmann::json falls_below = page()["falls_below"];
  ASSERT_TRUE(falls_below["p50"].is_string()) << falls_below;
  const auto day = base::parse_instant(falls_below["p50"].get<std::string>());
  ASSERT_TRUE(day);
  const double falls_day = static_cast<double>(day->us) / 86'400e6;
  const draw::TimeChart chart = service::light_month_chart(month());
  ASSERT_LT(falls_day, chart.band.back().at_day);
  EXPECT_NEAR(between(chart.band, falls_day).p50 / kLimit, 1, 0.01);
}

TEST_F(OneLimitTest, ALookBacksCourseIsDrawnWhereItsReadingsAre) {
  check(560);
  ASSERT_EQ(check(555)["verdict"], "failed");
  const nlohmann::json output = office_.get(lead_, "/api/look-backs/1").body["output"];
  const double good = output["readings"].at(0)["mw_cm2"];
  EXPECT_EQ(output["readings"].at(0)["radiometer_name"], "Radiometer A");
  EXPECT_EQ(output["readings"].at(0)["shown_mw_cm2"], good);
  const nlohmann::json& first = output["course"].front();
  const nlohmann::json& last = output["course"].back();
  EXPECT_NEAR(first["p50"].get<double>() / good, 1, 0.05);
  EXPECT_LT(first["p10"], good);
  EXPECT_GT(first["p90"], good);
  EXPECT_NEAR(last["p50"].get<double>() / 557, 1, 0.07);
  EXPECT_NEAR(last["step"].get<double>() / 557, 1, 0.07);
  EXPECT_NEAR(last["decline"].get<double>() / 557, 1, 0.07);
}

TEST_F(OneLimitTest, ReadingsOfSeveralRadiometersStandOnTheScaleOfTheOneThatIsUsedNow) {
  base::RadiometerId other;
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    other = w.add(fleet::RadiometerEntry{"Radiometer B", "R-2", 8, {}});
  });
  // It shows 1.2 times what the first one does; the light goes on losing 0.5 % a week.
  const auto shown = [](int week) { return std::round(1.2 * kBaseline * (1 - 0.005 * week)); };
  for (int week = kWeeks; week < kWeeks + 6; ++week) {
    check_on(other, shown(week));
    office_.now += hours(24 * 7);
  }
  sign_in();
  const double limit = 0.8 * shown(kWeeks);
  const nlohmann::json of_light = page();
  EXPECT_DOUBLE_EQ(of_light["limit_mw_cm2"], limit);
  EXPECT_EQ(of_light["shown_by"], "Radiometer B");
  const nlohmann::json& before = of_light["series"].at(0);
  EXPECT_DOUBLE_EQ(before["limit_mw_cm2"], kLimit) << "as its own radiometer shows it";
  EXPECT_NEAR(before["to_drawn"], 1.2, 0.04);
  EXPECT_EQ(of_light["series"].at(1)["to_drawn"], 1);
  EXPECT_EQ(before["points"].at(0)["shown_mw_cm2"], kBaseline) << "what was shown stays what was shown";
  const draw::TimeChart chart = service::light_month_chart(month());
  for (const draw::ChartDot& dot : chart.dots) {
    const Spread drawn = between(chart.band, dot.at_day);
    EXPECT_GT(dot.value, drawn.p10) << dot.at_day;
    EXPECT_LT(dot.value, drawn.p90) << dot.at_day;
  }
  // Each limit as long as it held: whether a dot lies above the line beside it says whether it passed.
  const auto limits = limits_of(chart);
  ASSERT_EQ(limits.size(), 2U);
  EXPECT_NEAR(limits[0].value, 1.2 * kLimit, 0.04 * kLimit);
  EXPECT_EQ(limits[0].words, "");
  EXPECT_LT(limits[0].to_day, limits[1].from_day);
  EXPECT_DOUBLE_EQ(limits[1].value, limit);
  EXPECT_EQ(check_on(other, std::ceil(limit) + 1)["verdict"], "look");
  EXPECT_EQ(check_on(other, std::floor(limit) - 1)["verdict"], "again");
  // The first one again: its baseline, and its limit, are what they were.
  EXPECT_EQ(check(std::ceil(kLimit) + 1)["verdict"], "look");
  EXPECT_DOUBLE_EQ(page()["limit_mw_cm2"], kLimit);
}

TEST_F(OneLimitTest, OfALightThatWasNeverReadIsTheLowerLimit) {
  office_.records().write({"1", office_.now}, [&](store::Writer& w) {
    w.add(fleet::LightEntry{.room = room_,
                            .name = "Lamp B",
                            .serial = "K-2",
                            .claimed_mw_cm2 = 1200.0,
                            .approval_number = {},
                            .approved_by = {},
                            .bought_in = {},
                            .warranty_until = {},
                            .accepted_at = {},
                            .withdrawn_at = {}});
  });
  const nlohmann::json fresh = office_.get(lead_, "/api/fleet/2").body;
  EXPECT_EQ(fresh["limit_mw_cm2"], 500);
  EXPECT_EQ(fresh["limit_why"], "the practice's lower limit");
  EXPECT_EQ(fresh["shown_per_exitance"], 1);
  EXPECT_TRUE(fresh["shown_by"].is_null());
}

}  // namespace
}  // namespace throughcure::tests
