#include "throughcure/optics/local_irradiance.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>
#include <vector>

#include "throughcure/optics/exitance_image.hpp"

namespace throughcure::optics {

namespace {

/// Means over a disc of pixels, from running sums along the rows.
class DiscMean {
 public:
  DiscMean(const BeamImage& image, double diameter_mm)
      : image_(image), running_((image.width + 1) * image.height, 0.0) {
    for (std::size_t row = 0; row < image.height; ++row) {
      double* sum = &running_[row * (image.width + 1)];
      for (std::size_t column = 0; column < image.width; ++column) {
        sum[column + 1] = sum[column] + image.at(column, row);
      }
    }
    const double radius = diameter_mm / 2 / image.mm_per_pixel;
    for (std::int64_t up = 0; static_cast<double>(up) <= radius; ++up) {
      const auto height = static_cast<double>(up);
      half_width_.push_back(static_cast<std::int64_t>(std::sqrt(std::max(0.0, radius * radius - height * height))));
    }
  }

  /// Pixels beyond the picture are left out of the mean.
  [[nodiscard]] double at(std::size_t column, std::size_t row) const {
    const auto x = static_cast<std::int64_t>(column);
    const auto y = static_cast<std::int64_t>(row);
    const auto width = static_cast<std::int64_t>(image_.width);
    const auto last = static_cast<std::int64_t>(half_width_.size()) - 1;
    double sum = 0;
    std::int64_t count = 0;
    for (std::int64_t j = std::max<std::int64_t>(0, y - last);
         j <= std::min(static_cast<std::int64_t>(image_.height) - 1, y + last); ++j) {
      const std::int64_t half = half_width_[static_cast<std::size_t>(std::abs(j - y))];
      const std::int64_t from = std::max<std::int64_t>(0, x - half);
      const std::int64_t to = std::min(width, x + half + 1);
      const double* running = &running_[static_cast<std::size_t>(j * (width + 1))];
      sum += running[to] - running[from];
      count += to - from;
    }
    return sum / static_cast<double>(count);
  }

 private:
  const BeamImage& image_;
  std::vector<double> running_;           ///< of each row, the sum of what lies left of each pixel
  std::vector<std::int64_t> half_width_;  ///< of the disc, in pixels, by rows from its middle
};

/// Whether `here` outdoes the best spot so far by `lead`, or equals it but for rounding and lies nearer to the axis.
bool passes(const Spot& here, const Spot& best, double lead) {
  const double rounding = 1e-9 * std::max(std::abs(here.irradiance_mw_cm2), std::abs(best.irradiance_mw_cm2));
  if (std::abs(lead) > rounding) return lead > 0;
  return here.x_mm * here.x_mm + here.y_mm * here.y_mm < best.x_mm * best.x_mm + best.y_mm * best.y_mm;
}

/// The pixel nearest to the tip's axis.
std::size_t nearest(double centre_px, std::size_t count) {
  return static_cast<std::size_t>(std::clamp(std::round(centre_px), 0.0, static_cast<double>(count - 1)));
}

}  // namespace

Spots spots(const BeamImage& mw_cm2, double tip_diameter_mm, double aperture_mm) {
  const DiscMean mean(mw_cm2, aperture_mm);
  const auto spot_at = [&](std::size_t column, std::size_t row) {
    return Spot{mw_cm2.x_mm(column), -mw_cm2.y_mm(row), mean.at(column, row)};
  };
  const double reach = (tip_diameter_mm - aperture_mm) / 2;
  std::optional<Spots> found;
  for (std::size_t row = 0; row < mw_cm2.height && reach > 0; ++row) {
    for (std::size_t column = 0; column < mw_cm2.width; ++column) {
      if (!on_tip(mw_cm2, column, row, reach)) continue;
      const Spot here = spot_at(column, row);
      if (!found) found = Spots{aperture_mm, here, here};
      Spot& hottest = found->hottest;
      Spot& coldest = found->coldest;
      if (passes(here, hottest, here.irradiance_mw_cm2 - hottest.irradiance_mw_cm2)) hottest = here;
      if (passes(here, coldest, coldest.irradiance_mw_cm2 - here.irradiance_mw_cm2)) coldest = here;
    }
  }
  if (found) return *found;
  const Spot middle =
      spot_at(nearest(mw_cm2.tip_centre_x_px, mw_cm2.width), nearest(mw_cm2.tip_centre_y_px, mw_cm2.height));
  return {aperture_mm, middle, middle};
}

WeakPart weak_part(const BeamImage& mw_cm2, double tip_diameter_mm, double below_mw_cm2) {
  double pixels = 0;
  double weak_pixels = 0;
  double sum = 0;
  double weak_sum = 0;
  for (std::size_t row = 0; row < mw_cm2.height; ++row) {
    for (std::size_t column = 0; column < mw_cm2.width; ++column) {
      if (!on_tip(mw_cm2, column, row, tip_diameter_mm / 2)) continue;
      const double here = mw_cm2.at(column, row);
      const bool weak = here < below_mw_cm2;
      ++pixels;
      sum += std::max(0.0, here);
      if (!weak) continue;
      ++weak_pixels;
      weak_sum += std::max(0.0, here);
    }
  }
  return {.below_mw_cm2 = below_mw_cm2,
          .area_mm2 = weak_pixels * mw_cm2.mm_per_pixel * mw_cm2.mm_per_pixel,
          .share_of_area = pixels > 0 ? weak_pixels / pixels : 0,
          .share_of_power = sum > 0 ? weak_sum / sum : 0};
}

}  // namespace throughcure::optics
