#include "throughcure/exchange/knowledge.hpp"

#include <memory>

#include "throughcure/exchange/light_file.hpp"
#include "throughcure/exchange/mould_table_file.hpp"
#include "throughcure/exchange/reference_cure.hpp"

namespace throughcure::exchange {

plan::Knowledge knowledge() {
  return {reference_cure(), [](const std::filesystem::path& file) { return read_light(file); },
          std::make_shared<const cure::MouldTable>(reference_mould_table())};
}

}  // namespace throughcure::exchange
