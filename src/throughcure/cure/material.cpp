#include "throughcure/cure/material.hpp"

namespace throughcure::cure {

std::string_view word(MaterialClass material_class) {
  switch (material_class) {
    case MaterialClass::kPaste:
      return "paste";
    case MaterialClass::kFlowable:
      return "flowable";
    case MaterialClass::kBulkFill:
      return "bulk-fill";
    case MaterialClass::kAdhesive:
      return "adhesive";
    case MaterialClass::kCement:
      return "cement";
    case MaterialClass::kSealant:
      return "sealant";
    case MaterialClass::kBracketAdhesive:
      return "bracket adhesive";
  }
  return "";
}

}  // namespace throughcure::cure
