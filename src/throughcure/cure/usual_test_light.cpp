#include "throughcure/cure/usual_test_light.hpp"

namespace throughcure::cure {

optics::Light usual_test_light() {
  optics::Light light;
  light.name = "a usual blue light";
  light.tip_diameter_mm = 8;
  light.spectrum.wavelength_nm = {430, 448, 460, 472, 490};
  light.spectrum.power_per_nm = {0, 0.5, 1, 0.5, 0};
  light.shape = optics::shape_of_half_angle(20, 0);
  light.modes = {{.name = "continuous", .course = optics::Continuous{}, .buttons_s = {20}}};
  return light;
}

}  // namespace throughcure::cure
