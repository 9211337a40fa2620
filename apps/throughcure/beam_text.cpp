#include "beam_text.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

namespace throughcure::apps {

namespace {

std::string whole(double value) { return fmt::format("{:.0f}", value); }
std::string percent(double share) { return fmt::format("{:.0f} %", 100 * share); }

std::string with_interval(const optics::Interval& interval) {
  if (!interval.low || !interval.high) return whole(interval.value);
  return fmt::format("{:.0f} ({:.0f} to {:.0f})", interval.value, *interval.low, *interval.high);
}

class Table {
 public:
  void head(std::string_view words) { text_ += fmt::format("\n{}\n", words); }
  void row(std::string_view name, std::string_view value) { text_ += fmt::format("  {:<42} {}\n", name, value); }
  [[nodiscard]] const std::string& text() const { return text_; }

 private:
  std::string text_;
};

/// No sign on what rounds to nothing.
std::string tenth(double mm) { return std::abs(mm) < 0.05 ? "0.0" : fmt::format("{:+.1f}", mm); }
std::string place(double x_mm, double y_mm) { return tenth(x_mm) + ", " + tenth(y_mm) + " mm"; }

std::string spot(const optics::Spot& spot) {
  return fmt::format("{:.0f} mW/cm2 at {}", spot.irradiance_mw_cm2, place(spot.x_mm, spot.y_mm));
}

}  // namespace

std::vector<std::string> beam_sentences(const optics::Light& light, const optics::BeamReport& report) {
  const optics::Spots& spots = report.spots;
  std::vector<std::string> lines;
  lines.push_back(fmt::format("This light gives {} mW/cm2 over its {:g} mm tip.", with_interval(report.exitance_mw_cm2),
                              light.tip_diameter_mm));
  const double ratio =
      spots.coldest.irradiance_mw_cm2 > 0 ? spots.hottest.irradiance_mw_cm2 / spots.coldest.irradiance_mw_cm2 : 0;
  if (ratio > 0 && ratio < 1.05) {
    lines.emplace_back("The beam is even all over the tip.");
  } else {
    lines.push_back(fmt::format("Its brightest place gives {:.0f} mW/cm2, its dimmest {:.0f}.",
                                spots.hottest.irradiance_mw_cm2, std::max(0.0, spots.coldest.irradiance_mw_cm2)));
  }
  lines.push_back(
      report.weak.share_of_area > 0
          ? fmt::format("Below {:g} mW/cm2 lies {} of the tip, with {} of the power.", report.weak.below_mw_cm2,
                        report.weak.share_of_area < 0.005 ? "under 1 %" : percent(report.weak.share_of_area),
                        report.weak.share_of_power < 0.005 ? "under 1 %" : percent(report.weak.share_of_power))
          : fmt::format("Nowhere on the tip is it below {:g} mW/cm2.", report.weak.below_mw_cm2));
  const auto at = [&](double mm) {
    return std::ranges::find(report.on_axis, mm, &optics::AxialReading::distance_mm)->irradiance_mw_cm2;
  };
  lines.push_back(
      fmt::format("At a distance of 8 mm, {} of its irradiance on the axis is left.", percent(at(8) / at(0))));
  return lines;
}

std::string beam_text(const optics::Light& light, const optics::BeamReport& report) {
  Table t;
  t.head("Output");
  t.row("radiant power", with_interval(report.radiant_power_mw) + " mW");
  t.row("radiant exitance", with_interval(report.exitance_mw_cm2) + " mW/cm2");
  t.row("optical tip", fmt::format("{:g} mm, {:.1f} mm2", light.tip_diameter_mm, report.tip_area_mm2));
  t.head("Spectrum, share of the power");
  t.row("below 385 nm", fmt::format("{:.1f} %", 100 * report.spectrum.below_385_nm));
  t.row("385 to 515 nm", fmt::format("{:.1f} %", 100 * report.spectrum.from_385_to_515_nm));
  t.row("above 515 nm", fmt::format("{:.1f} %", 100 * report.spectrum.above_515_nm));
  t.row("largest at", whole(report.peak_nm) + " nm");
  t.head("Beam at the tip (places: to the right, upwards, looking at the tip's face)");
  t.row(
      "diameters D4sigma (ISO 11146)",
      fmt::format("{:.2f} and {:.2f} mm, the larger at {:.0f} degrees{}", report.axes.larger_mm, report.axes.smaller_mm,
                  report.axes.tilt_deg, report.axes.converged ? "" : "; the window did not come to rest"));
  t.row("centroid", place(report.axes.centroid_x_mm, report.axes.centroid_y_mm));
  const optics::ClipLevel& clip = report.clip;
  const std::string level = fmt::format(" above {:g} % of the largest", 100 * clip.clip_level);
  t.row("area" + level,
        fmt::format("{:.1f} mm2 with {} of the light (ISO 13694)", clip.area_mm2, percent(clip.fractional_power)));
  t.row("flatness there", fmt::format("{:.2f} (1 for a flat top)", clip.flatness));
  t.row("unevenness there (clip-level uniformity)", fmt::format("{:.2f} (0 for a flat top)", clip.uniformity));
  t.row("edge steepness, 10 to 90 %", fmt::format("{:.2f} (0 for upright edges)", report.edge_steepness));
  if (report.picture_share_inside) {
    t.row("of the picture's light, on the tip", percent(*report.picture_share_inside));
  }
  t.head(fmt::format("Local irradiance over an aperture of {:g} mm", report.spots.aperture_mm));
  t.row("largest", spot(report.spots.hottest));
  t.row("smallest", spot(report.spots.coldest));
  t.row(fmt::format("below {:g} mW/cm2", report.weak.below_mw_cm2),
        fmt::format("{:.1f} mm2: {} of the tip, {} of the power", report.weak.area_mm2,
                    percent(report.weak.share_of_area), percent(report.weak.share_of_power)));
  t.head(fmt::format("Irradiance on the axis through a sensor of {:g} mm", report.sensor_aperture_mm));
  for (const optics::AxialReading& reading : report.on_axis) {
    t.row(fmt::format("at {:g} mm", reading.distance_mm),
          fmt::format("{:.0f} mW/cm2, {}", reading.irradiance_mw_cm2,
                      percent(reading.irradiance_mw_cm2 / report.on_axis.front().irradiance_mw_cm2)));
  }
  std::string out;
  for (const std::string& sentence : beam_sentences(light, report)) out += sentence + "\n";
  return out + t.text();
}

}  // namespace throughcure::apps
