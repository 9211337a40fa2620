#include "throughcure/exchange/notation.hpp"

namespace throughcure::exchange {

std::string table_words(Notation notation, const std::string& field) {
  return notation == Notation::kJson ? "an object, \"" + field + '"' : "a table, [" + field + ']';
}

std::string tables_words(Notation notation, const std::string& field) {
  return notation == Notation::kJson ? "an array of objects, \"" + field + '"' : "tables, each under [[" + field + "]]";
}

}  // namespace throughcure::exchange
