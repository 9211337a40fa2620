// The reader of TOML files on any bytes: it never breaks, and values that it vouches for are within their limits.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "throughcure/exchange/toml_document.hpp"

using throughcure::exchange::TomlDocument;
using throughcure::exchange::TomlTable;

// The name is libFuzzer's.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  TomlDocument file = TomlDocument::parse({reinterpret_cast<const char*>(data), size}, "fuzz.toml", "/folder");
  const TomlTable root = file.root();
  const double depth = root.number("depth", {.at_least = 0, .at_most = 12, .unit = "mm"});
  const auto presses = root.optional_whole("presses", 1, 100);
  const auto series = root.optional_numbers("series", {.above = 0}, {.at_least = 2, .at_most = 50});
  (void)root.choice("kind", {"uniform", "gaussian"});
  (void)root.optional_flag("moved");
  (void)root.optional_file("spectrum");
  for (const TomlTable& layer : root.tables("layer", {.at_most = 8})) (void)layer.text("name");
  const auto keys = root.keys();
  if (!file.finish().empty()) return 0;
  const bool sound = depth >= 0 && depth <= 12 && (!presses || (*presses >= 1 && *presses <= 100)) &&
                     (!series || (series->size() >= 2 && series->size() <= 50)) && !keys.empty();
  if (!sound) std::abort();
  return 0;
}
