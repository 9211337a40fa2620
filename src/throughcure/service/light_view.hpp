// What the page is told of a light: the values behind its sentence, pictures and table, as JSON.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "throughcure/optics/beam_report.hpp"

namespace throughcure::service {

/// A number of the beam: its name in the trade's words, its unit ("" for none), and where its definition comes from.
struct MeasureView {
  std::string name;
  double value = 0;
  std::string unit;
  std::string source;
};

/// One row of the list. A light whose file cannot be used has its problems and nothing else.
struct LightRow {
  std::string id;  ///< the name of its file without the ending
  std::string name;
  std::optional<double> tip_diameter_mm;
  std::optional<optics::Interval> exitance_mw_cm2;
  std::vector<std::string> problems;
};

/// One light. Arrays that belong together have the same length.
struct LightView {
  std::string id;
  std::string name;
  double tip_diameter_mm = 0;
  optics::Interval power_mw;
  optics::Interval exitance_mw_cm2;
  double share_below_385_nm = 0;  ///< of the radiant power [0..1]
  double share_385_to_515_nm = 0;
  double share_above_515_nm = 0;

  /// Irradiance at the tip's plane, row by row from the top; the middle of the first pixel lies at (left, top).
  struct Map {
    std::size_t columns = 0;
    std::size_t rows = 0;
    double mm_per_pixel = 0;
    double left_mm = 0;
    double top_mm = 0;
    std::vector<double> irradiance_mw_cm2;
  } map;

  std::vector<MeasureView> beam;

  struct Spectrum {
    std::vector<double> wavelength_nm;
    std::vector<double> power_mw_per_nm;
  } spectrum;

  /// Irradiance on the axis over the sensor's aperture against the gap from the tip; readings where there are any.
  struct Distance {
    double aperture_mm = 0;
    std::vector<double> mm;
    std::vector<double> irradiance_mw_cm2;
    std::vector<double> measured_mm;
    std::vector<double> measured_mw_cm2;
  } distance;
};

/// The documents of GET /api/lights and GET /api/lights/{id}. Numbers are rounded to six significant digits: more would
/// only be bytes.
std::string to_json(const std::vector<LightRow>& rows);
std::string to_json(const LightView& light);

}  // namespace throughcure::service
