#include "throughcure/exchange/validation_question.hpp"

#include <cstdint>
#include <utility>

#include "throughcure/exchange/validation_asked.hpp"
#include "throughcure/exchange/validation_cure_reader.hpp"

namespace throughcure::exchange {

namespace {

constexpr Limits kIndex{.at_least = 1, .at_most = 4};
constexpr Limits kCosine{.above = 0, .at_most = 1};
constexpr Limits kAnisotropy{.above = -1, .below = 1};
constexpr Limits kPerMm{.at_least = 0, .at_most = 1000, .unit = "1/mm"};
constexpr Limits kThickness{.above = 0, .at_most = 1000, .unit = "mm"};
constexpr Limits kDistance{.at_least = 0, .at_most = 100, .unit = "mm"};
constexpr Limits kTip{.above = 0, .at_most = 30, .unit = "mm"};
constexpr Limits kWavelength{.at_least = 300, .at_most = 800, .unit = "nm"};
constexpr Limits kShare{.at_least = 0, .at_most = 1};
constexpr Limits kExponent{.at_least = 0, .at_most = 400};

SlabSetup read_setup(const Asked& asked) {
  SlabSetup setup{.layers = {},
                  .n_above = asked.number_or("n_above", kIndex, 1),
                  .n_below = asked.number_or("n_below", kIndex, 1),
                  .mu0 = asked.number_or("mu0", kCosine, 1),
                  .depth_bin_mm = asked.number_or("depth_bin_mm", kThickness, 0),
                  .depth_bins = static_cast<std::uint32_t>(asked.whole_or("depth_bins", 1, 10'000, 0)),
                  .angle_bins = static_cast<std::uint32_t>(asked.whole_or("angle_bins", 1, 1000, 0))};
  const std::vector<TomlTable> layers = asked.at("layers").tables("layers", {.at_least = 1, .at_most = 50});
  for (const TomlTable& layer : layers) {
    ValidationLayer read{.mua_per_mm = layer.number("mua_per_mm", kPerMm),
                         .mus_per_mm = layer.number("mus_per_mm", kPerMm),
                         .g = layer.number("g", kAnisotropy),
                         .n = layer.number("n", kIndex)};
    const auto thickness = layer.optional_number("thickness_mm", kThickness);
    if (thickness) read.thickness_mm = *thickness;
    if (!thickness && setup.layers.size() + 1 < layers.size()) {
      layer.refuse("thickness_mm", "is missing in a layer that is not the last",
                   "Give its thickness; only the last layer may have none and go on for ever");
    }
    setup.layers.push_back(read);
  }
  return setup;
}

Question read_slab(const Asked& asked) {
  using enum SlabQuestion::Quantity;
  SlabQuestion question{
      .setup = read_setup(asked),
      .quantity = asked.row.choice<SlabQuestion::Quantity>("quantity", {{"Rsp", kRsp},
                                                                        {"Rd", kRd},
                                                                        {"UR1", kUr1},
                                                                        {"Tt", kTt},
                                                                        {"A", kA},
                                                                        {"A of layer", kAOfLayer},
                                                                        {"absorbed per mm", kAbsorbedPerMm},
                                                                        {"reflected radiance", kReflectedRadiance}})};
  const auto pick = [&](std::string_view key, std::size_t count) {
    question.index = static_cast<std::size_t>(asked.row.whole(key, 1, static_cast<std::int64_t>(count))) - 1;
  };
  const auto need_bins = [&](std::string_view key, std::uint32_t bins) {
    if (bins == 0) asked.row.refuse("quantity", "needs bins", "Say " + std::string(key) + " in the study");
    return std::max<std::size_t>(1, bins);
  };
  if (question.quantity == kAOfLayer) pick("layer", std::max<std::size_t>(1, question.setup.layers.size()));
  if (question.quantity == kAbsorbedPerMm) pick("bin", need_bins("depth_bins", question.setup.depth_bins));
  if (question.quantity == kReflectedRadiance) pick("bin", need_bins("angle_bins", question.setup.angle_bins));
  return question;
}

Question read_fresnel(const Asked& asked) {
  using enum FresnelQuestion::Quantity;
  return FresnelQuestion{.n1 = asked.number("n1", kIndex),
                         .n2 = asked.number("n2", kIndex),
                         .cosine = asked.number("cosine", kCosine),
                         .quantity = asked.row.choice<FresnelQuestion::Quantity>(
                             "quantity", {{"reflectance", kReflectance}, {"cosine beyond", kCosineBeyond}})};
}

Question read_phase_function(const Asked& asked) {
  using enum PhaseFunctionQuestion::Quantity;
  return PhaseFunctionQuestion{
      .g = asked.number("g", kAnisotropy),
      .quantity = asked.row.choice<PhaseFunctionQuestion::Quantity>(
          "quantity", {{"forward", kForward}, {"backward", kBackward}, {"forward half", kForwardHalf}})};
}

Question read_diffuse_fresnel(const Asked& asked) {
  return DiffuseFresnelQuestion{.n1 = asked.number("n1", kIndex), .n2 = asked.number("n2", kIndex)};
}

optics::AngularShape read_shape(const Asked& asked) {
  return {.core_exponent = asked.number("core_exponent", kExponent),
          .tail_exponent = asked.number_or("tail_exponent", kExponent, 0),
          .tail_share = asked.number_or("tail_share", kShare, 0)};
}

Question read_tip_fluence(const Asked& asked) {
  return TipFluenceQuestion{.tip_diameter_mm = asked.number("tip_diameter_mm", kTip),
                            .distance_mm = asked.number("distance_mm", {.at_least = 0.1, .at_most = 100, .unit = "mm"}),
                            .shape = read_shape(asked)};
}

Question read_tip_irradiance(const Asked& asked) {
  return TipIrradianceQuestion{.tip_diameter_mm = asked.number("tip_diameter_mm", kTip),
                               .sensor_diameter_mm = asked.number("sensor_diameter_mm", kTip),
                               .distance_mm = asked.number("distance_mm", kDistance),
                               .shape = read_shape(asked)};
}

PaintedBeam read_beam(const Asked& asked) {
  constexpr Limits place{.at_least = -20, .at_most = 20, .unit = "mm"};
  constexpr Limits size{.above = 0, .at_most = 20, .unit = "mm"};
  PaintedBeam beam;
  beam.flat_top = asked.at("form").choice<bool>("form", {{"gaussian", false}, {"flat top", true}});
  beam.x_mm = asked.number_or("x_mm", place, 0);
  beam.y_mm = asked.number_or("y_mm", place, 0);
  beam.a_mm = asked.number("a_mm", size);
  beam.b_mm = asked.number("b_mm", size);
  beam.tilt_deg = asked.number_or("tilt_deg", {.at_least = -90, .at_most = 90, .unit = "deg"}, 0);
  beam.mm_per_pixel = asked.number_or("mm_per_pixel", {.at_least = 0.001, .at_most = 1, .unit = "mm"}, 0.05);
  beam.pixels = static_cast<std::size_t>(asked.whole_or("pixels", 10, 2000, 400));
  return beam;
}

Question read_beam_width(const Asked& asked) {
  using enum BeamWidthQuestion::Quantity;
  return BeamWidthQuestion{
      .beam = read_beam(asked),
      .quantity = asked.row.choice<BeamWidthQuestion::Quantity>("quantity", {{"larger width mm", kLarger},
                                                                             {"smaller width mm", kSmaller},
                                                                             {"tilt deg", kTiltDeg},
                                                                             {"centroid x mm", kCentroidX},
                                                                             {"centroid y mm", kCentroidY}})};
}

Question read_clip_level(const Asked& asked) {
  using enum ClipLevelQuestion::Quantity;
  const auto quantity =
      asked.row.choice<ClipLevelQuestion::Quantity>("quantity", {{"area mm2", kArea},
                                                                 {"fractional power", kFractionalPower},
                                                                 {"flatness", kFlatness},
                                                                 {"uniformity", kUniformity},
                                                                 {"edge steepness", kEdgeSteepness}});
  ClipLevelQuestion question{.beam = read_beam(asked), .quantity = quantity};
  if (quantity != kEdgeSteepness) question.level = asked.number("level", {.at_least = 0, .below = 1});
  return question;
}

Question read_distance_loss(const Asked& asked) {
  DistanceLossQuestion question{.distance_mm = asked.number("distance_mm", kDistance),
                                .tip_from_mm = asked.number("tip_from_mm", kTip),
                                .tip_to_mm = asked.number("tip_to_mm", kTip),
                                .sensor_from_mm = asked.number("sensor_from_mm", kTip),
                                .sensor_to_mm = asked.number("sensor_to_mm", kTip),
                                .known_at_mm = asked.optional("known_at_mm", kDistance),
                                .known_loss = asked.optional("known_loss", kShare)};
  if (question.known_at_mm.has_value() != question.known_loss.has_value()) {
    asked.row.refuse("", "known_at_mm and known_loss belong together", "Give both or neither");
  }
  return question;
}

Question read_initiator(const Asked& asked) {
  using enum InitiatorQuestion::Quantity;
  InitiatorQuestion question;
  question.initiator = asked.at("initiator").text("initiator");
  question.quantity =
      asked.row.choice<InitiatorQuestion::Quantity>("quantity", {{"absorption 1/mm", kAbsorptionPerMm},
                                                                 {"concentration mol/L", kConcentrationMolPerL},
                                                                 {"bleaching cm2/J", kBleachingCm2PerJ}});
  if (question.quantity != kConcentrationMolPerL) question.at_nm = asked.number("at_nm", kWavelength);
  if (question.quantity != kBleachingCm2PerJ) {
    question.mass_percent = asked.number("mass_percent", {.above = 0, .at_most = 10, .unit = "%"});
    question.density_g_ml = asked.number("density_g_ml", {.above = 0, .at_most = 5, .unit = "g/mL"});
  }
  return question;
}

Question read_photons(const Asked& asked) { return PhotonsQuestion{.at_nm = asked.number("at_nm", kWavelength)}; }

Question read_transmission(const Asked& asked) {
  using enum cure::MaterialClass;
  using enum TransmissionQuestion::Tissue;
  TransmissionQuestion question;
  using Medium = std::variant<TransmissionQuestion::Tissue, cure::MaterialClass>;
  question.medium = asked.at("medium").choice<Medium>("medium", {{"enamel", kEnamel},
                                                                 {"dentine", kDentine},
                                                                 {"gingiva", kGingiva},
                                                                 {word(kPaste), kPaste},
                                                                 {word(kFlowable), kFlowable},
                                                                 {word(kBulkFill), kBulkFill}});
  question.shade = asked.at("shade")
                       .optional_choice<ShadeDepth>("shade", {{"light", ShadeDepth::kLight},
                                                              {"medium", ShadeDepth::kMedium},
                                                              {"dark", ShadeDepth::kDark},
                                                              {"opaque", ShadeDepth::kOpaque}})
                       .value_or(ShadeDepth::kMedium);
  question.thickness_mm = asked.number("thickness_mm", kThickness);
  question.quantity = asked.row.choice<TransmissionQuestion::Quantity>(
      "quantity", {{"transmitted", TransmissionQuestion::Quantity::kTransmitted},
                   {"returned", TransmissionQuestion::Quantity::kReturned}});
  return question;
}

/// Written down, with what is known of it, although nothing can simulate it.
Question read_nothing(const Asked&) { return NotYetQuestion{}; }

using Reader = Question (*)(const Asked&);

}  // namespace

Question read_question(const TomlTable& study, const TomlTable& row) {
  const auto reader = study.choice<Reader>("experiment", {
                                                             {"slab", read_slab},
                                                             {"fresnel", read_fresnel},
                                                             {"phase function", read_phase_function},
                                                             {"diffuse fresnel", read_diffuse_fresnel},
                                                             {"tip irradiance", read_tip_irradiance},
                                                             {"tip fluence", read_tip_fluence},
                                                             {"beam width", read_beam_width},
                                                             {"clip level", read_clip_level},
                                                             {"distance loss", read_distance_loss},
                                                             {"initiator", read_initiator},
                                                             {"photons per joule", read_photons},
                                                             {"slab transmission", read_transmission},
                                                             {"scrape", read_scrape},
                                                             {"conversion", read_conversion},
                                                             {"hardness", read_hardness},
                                                             {"hardness line", read_hardness_line},
                                                             {"not simulated", read_nothing},
                                                         });
  return reader({study, row});
}

}  // namespace throughcure::exchange
