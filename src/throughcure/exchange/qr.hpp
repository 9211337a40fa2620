// A text as a square of dark and light modules that a phone's camera reads (QR code, ISO/IEC 18004).
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace throughcure::exchange {

struct QrSymbol {
  std::size_t side = 0;    ///< modules; the quiet zone about it, 4 modules wide, is not among them
  std::vector<bool> dark;  ///< side x side, row by row from the top left
};

/// As small as the text allows at error correction level Q: a quarter of it may be scratched or soiled. Throws
/// base::Failure where the text is too long (1663 bytes) or empty.
QrSymbol qr_symbol(const std::string& text);

}  // namespace throughcure::exchange
