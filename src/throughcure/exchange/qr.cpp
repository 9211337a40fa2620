#include "throughcure/exchange/qr.hpp"

#include <memory>

#include <qrencode.h>

#include "throughcure/base/problem.hpp"

namespace throughcure::exchange {

QrSymbol qr_symbol(const std::string& text) {
  const std::unique_ptr<QRcode, void (*)(QRcode*)> code(QRcode_encodeString8bit(text.c_str(), 0, QR_ECLEVEL_Q),
                                                        QRcode_free);
  if (!code) throw base::Failure("\"" + text.substr(0, 60) + "\" cannot be written as a QR code");
  QrSymbol symbol{.side = static_cast<std::size_t>(code->width), .dark = {}};
  symbol.dark.reserve(symbol.side * symbol.side);
  // The lowest bit of a module says whether it is dark; the others tell what it is for.
  for (std::size_t i = 0; i < symbol.side * symbol.side; ++i) symbol.dark.push_back((code->data[i] & 1U) != 0);
  return symbol;
}

}  // namespace throughcure::exchange
