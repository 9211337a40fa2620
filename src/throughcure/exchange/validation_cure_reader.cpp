#include "throughcure/exchange/validation_cure_reader.hpp"

#include <cmath>
#include <string>

#include "throughcure/base/number_text.hpp"
#include "throughcure/exchange/sourced_number.hpp"

namespace throughcure::exchange {

namespace {

constexpr Limits kIrradiance{.above = 0, .at_most = 10'000, .unit = "mW/cm2"};
constexpr Limits kSeconds{.above = 0, .at_most = 3600, .unit = "s"};
constexpr Limits kTip{.above = 0, .at_most = 30, .unit = "mm"};
constexpr Limits kBore{.at_least = 2, .at_most = 20, .unit = "mm"};
constexpr Limits kDepth{.at_least = 0, .at_most = 9, .unit = "mm"};
constexpr Limits kThickness{.above = 0, .at_most = 9, .unit = "mm"};
constexpr Limits kTemperature{.at_least = 0, .at_most = 80, .unit = "C"};
constexpr Limits kHours{.at_least = 0, .at_most = 10'000, .unit = "h"};
constexpr Limits kHardness{.above = 0, .at_most = 500};
constexpr Limits kShare{.at_least = 0, .at_most = 1};

cure::MaterialClass material_class(const Asked& asked) {
  using enum cure::MaterialClass;
  return asked.at("material_class")
      .choice<cure::MaterialClass>("material_class",
                                   {{"paste", kPaste}, {"bulk-fill", kBulkFill}, {"flowable", kFlowable}});
}

/// Class, shade and temperature of a specimen.
LitSpecimen read_unlit(const Asked& asked) {
  LitSpecimen specimen;
  specimen.material_class = material_class(asked);
  using enum ShadeDepth;
  specimen.shade = asked.at("shade")
                       .optional_choice<ShadeDepth>(
                           "shade", {{"light", kLight}, {"medium", kMedium}, {"dark", kDark}, {"opaque", kOpaque}})
                       .value_or(kMedium);
  specimen.temperature_c = asked.number_or("temperature_c", kTemperature, specimen.temperature_c);
  specimen.leave_out_slope = asked.at("leave_out_slope").optional_flag("leave_out_slope").value_or(false);
  return specimen;
}

/// The same with its light.
LitSpecimen read_lit(const Asked& asked) {
  const base::Provenance study = read_provenance(asked.study);
  LitSpecimen specimen = read_unlit(asked);
  using enum LampClass;
  specimen.lamp_class =
      asked.at("lamp_class")
          .choice<LampClass>("lamp_class",
                             {{"blue LED", kBlueLed}, {"violet and blue LED", kVioletBlueLed}, {"halogen", kHalogen}});
  const std::string mode = asked.at("mode").optional_text("mode").value_or("");
  specimen.lamp = asked.at("lamp").optional_text("lamp").value_or("") + (mode.empty() ? "" : " " + mode);
  specimen.tip_mm = asked.number_or("tip_mm", kTip, specimen.tip_mm);
  specimen.irradiance_mw_cm2 = ranged_number(asked.at("irradiance_mw_cm2"), "irradiance_mw_cm2", kIrradiance, study);
  specimen.seconds = ranged_number(asked.at("seconds"), "seconds", kSeconds, study);
  specimen.presses = static_cast<int>(asked.whole_or("presses", 1, 20, 1));
  if (const auto rise = asked.optional("rise_s", kSeconds)) specimen.course = optics::Ramp{.rise_s = *rise};
  if (specimen.presses > 1 && asked.at("rise_s").has("rise_s")) {
    asked.row.refuse("presses", "of a rising mode are not simulated", "Give one press, or a mode that is constant");
  }
  specimen.bore_mm = asked.optional("mould_mm", kBore);
  return specimen;
}

}  // namespace

Question read_scrape(const Asked& asked) {
  return ScrapeQuestion{
      .specimen = read_lit(asked),
      .whole_length = asked.at("quantity").choice<bool>("quantity", {{"depth mm", false}, {"length mm", true}}),
      .height_mm = asked.optional("height_mm", kThickness)};
}

Question read_conversion(const Asked& asked) {
  using enum ConversionQuestion::Quantity;
  ConversionQuestion question{
      .quantity = asked.at("quantity")
                      .choice<ConversionQuestion::Quantity>("quantity", {{"conversion", kConversion},
                                                                         {"conversion lost with depth", kLostWithDepth},
                                                                         {"dark gain", kDarkGain}}),
      .after_h = asked.number("after_h", kHours)};
  if (question.quantity == kDarkGain) {
    question.from_h = asked.number_or("from_h", kHours, 0);
    question.x_at_from = asked.optional("x_at_from", kShare);
    if (question.from_h >= question.after_h) {
      asked.row.refuse("after_h", "is not later than from_h", "Say from when to when the gain was taken");
    }
  }
  // What a specimen was found to have says all that its light did.
  question.specimen = question.x_at_from ? read_unlit(asked) : read_lit(asked);
  if (!question.x_at_from) question.depth_mm = asked.number_or("depth_mm", kDepth, 0);
  const auto one_of =
      asked.at("one_of").optional_choice<OneOf>("one_of", {{"least", OneOf::kLeast}, {"most", OneOf::kMost}});
  if (one_of) {
    question.one_of = *one_of;
    question.materials = static_cast<int>(asked.at("materials").whole("materials", 1, 100));
  }
  return question;
}

Question read_hardness(const Asked& asked) {
  HardnessQuestion question{
      .specimen = read_lit(asked),
      .as_conversion =
          asked.at("quantity").choice<bool>("quantity", {{"hardness ratio", false}, {"conversion ratio", true}}),
      .thickness_mm = asked.number("thickness_mm", kThickness),
      .after_h = asked.number_or("after_h", kHours, 24)};
  if (asked.row.has("top_vhn") || asked.row.has("bottom_vhn")) {
    const double ratio = asked.row.number("bottom_vhn", kHardness) / asked.row.number("top_vhn", kHardness);
    const double room = asked.number_or("rounding", kShare, 0);
    if (std::abs(ratio - asked.row.number("published")) > room + 1e-9) {
      asked.row.refuse("published", "is not the ratio of the two hardnesses, " + base::number_text(ratio),
                       "Mend the number, or the hardnesses");
    }
  }
  return question;
}

Question read_hardness_line(const Asked& asked) {
  return HardnessLineQuestion{.hardness_ratio = asked.number("hardness_ratio", {.above = 0, .at_most = 1})};
}

}  // namespace throughcure::exchange
