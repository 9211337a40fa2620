// Units as people write them behind a number or in the name of a column.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace throughcure::exchange {

/// What is measured; a number is kept in the unit that stands beside it.
enum class Quantity : std::uint8_t {
  kPowerPerArea,  ///< mW/cm2
  kPower,         ///< mW
  kLength,        ///< mm
  kTime,          ///< s
  kShare,         ///< of one
  kEnergyPerArea  ///< J/cm2
};

struct Unit {
  Quantity quantity = Quantity::kShare;
  double factor = 1;  ///< times a number in this unit is the number in the unit in which it is kept
};

/// "mW/cm²", "W/cm2", "mw / cm^2", "mW·cm⁻²", "mm", "sec", "%". Nothing where it is none of those that are known.
std::optional<Unit> unit_called(std::string_view text);

/// The unit that the name of a column ends with: "Reading (mW/cm²)", "Output [W/cm2]", "Tip diameter, mm",
/// "shown_mw_cm2". Empty where there is none.
std::string_view unit_in_name(std::string_view name);

/// In words: "power per area"
std::string_view word(Quantity quantity);

/// The unit in which it is kept: "mW/cm2"
std::string_view kept_unit(Quantity quantity);

}  // namespace throughcure::exchange
